package report

import (
	"fmt"
	"strings"
)

const (
	xmlHead    = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
	sheetSpace = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relSpace   = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	packSpace  = "http://schemas.openxmlformats.org/package/2006/"

	packageRels = xmlHead + `<Relationships xmlns="` + packSpace + `relationships"><Relationship Id="rId1" Type="` + relSpace + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`
)

func (b *workbook) contentTypes() string {
	const kind = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	var s strings.Builder
	s.WriteString(xmlHead + `<Types xmlns="` + packSpace + `content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="` + kind + `sheet.main+xml"/>` +
		`<Override PartName="/xl/styles.xml" ContentType="` + kind + `styles+xml"/>`)
	for i := range b.sheets {
		fmt.Fprintf(&s, `<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="%sworksheet+xml"/>`, i+1, kind)
	}
	return s.String() + "</Types>"
}

func (b *workbook) bookXML() string {
	var s strings.Builder
	s.WriteString(xmlHead + `<workbook xmlns="` + sheetSpace + `" xmlns:r="` + relSpace + `"><bookViews><workbookView activeTab="0"/></bookViews><sheets>`)
	for i, sh := range b.sheets {
		fmt.Fprintf(&s, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, escaped(sh.name), i+1, i+1)
	}
	// Programs work all formulas out again when they open the file, whatever values stand beside them.
	return s.String() + `</sheets><calcPr calcId="0" fullCalcOnLoad="1"/></workbook>`
}

func (b *workbook) bookRels() string {
	var s strings.Builder
	s.WriteString(xmlHead + `<Relationships xmlns="` + packSpace + `relationships">`)
	for i := range b.sheets {
		fmt.Fprintf(&s, `<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, relSpace, i+1)
	}
	fmt.Fprintf(&s, `<Relationship Id="rId%d" Type="%s/styles" Target="styles.xml"/></Relationships>`, len(b.sheets)+1, relSpace)
	return s.String()
}

// cellFormats are the looks in their order: font, fill, border, number format, and how a text lies.
var cellFormats = []struct {
	font, fill, border, format int
	wrap                       bool
}{
	plainLook: {}, titleLook: {font: 2}, headLook: {font: 1, border: 1, wrap: true}, noteLook: {font: 3, wrap: true}, wrapLook: {wrap: true},
	wholeLook: {format: 164}, tenthLook: {format: 165}, fineLook: {format: 166}, shareLook: {format: 167}, yearLook: {format: 1},
	inputWhole: {fill: 2, format: 164}, inputFine: {fill: 2, format: 0}, inputShare: {fill: 2, format: 167},
	sumWhole: {font: 1, border: 2, format: 164}, sumShare: {font: 1, border: 2, format: 167}, sumFine: {font: 1, border: 2, format: 166},
	exactLook: {},
}

func stylesXML() string {
	var s strings.Builder
	s.WriteString(xmlHead + `<styleSheet xmlns="` + sheetSpace + `"><numFmts count="4"><numFmt numFmtId="164" formatCode="#,##0"/><numFmt numFmtId="165" formatCode="#,##0.0"/>` +
		`<numFmt numFmtId="166" formatCode="0.000000"/><numFmt numFmtId="167" formatCode="0.00%"/></numFmts>` +
		`<fonts count="4"><font><sz val="10"/><name val="Arial"/></font><font><b/><sz val="10"/><name val="Arial"/></font>` +
		`<font><b/><sz val="14"/><color rgb="FF13446E"/><name val="Arial"/></font><font><i/><sz val="9"/><color rgb="FF55555C"/><name val="Arial"/></font></fonts>` +
		`<fills count="3"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>` +
		`<fill><patternFill patternType="solid"><fgColor rgb="FFFFF4CC"/><bgColor indexed="64"/></patternFill></fill></fills>` +
		`<borders count="3"><border><left/><right/><top/><bottom/><diagonal/></border>` +
		`<border><left/><right/><top/><bottom style="thin"><color rgb="FF16161A"/></bottom><diagonal/></border>` +
		`<border><left/><right/><top style="thin"><color rgb="FF16161A"/></top><bottom/><diagonal/></border></borders>` +
		`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>`)
	fmt.Fprintf(&s, `<cellXfs count="%d">`, len(cellFormats))
	for _, f := range cellFormats {
		fmt.Fprintf(&s, `<xf numFmtId="%d" fontId="%d" fillId="%d" borderId="%d" xfId="0" applyNumberFormat="1" applyFont="1" applyFill="1" applyBorder="1" applyAlignment="1">`,
			f.format, f.font, f.fill, f.border)
		if f.wrap {
			s.WriteString(`<alignment wrapText="1" vertical="top"/>`)
		} else {
			s.WriteString(`<alignment vertical="top"/>`)
		}
		s.WriteString("</xf>")
	}
	return s.String() + `</cellXfs><cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>`
}
