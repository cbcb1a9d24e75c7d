// Package chart draws the pictures of an answer: what storage is worth, one week's
// plan, the year as an hour-by-day map, the plant as a one-line diagram. It knows no plant and no program of
// ours: plain numbers come in, and SVG, PNG or lines of text go out.
//
// Start with [Curve] and [WriteSVG]; [Week], [YearMap], [Guide], [Plant] and [SkyMap] are written the same way,
// [WritePNG] gives the same drawing as pixels, and [WriteText] gives a small curve
// for a terminal, [WritePlantText] a diagram. [Thousands] and [Ticks] are what the axes use.
//
// The caller supplies the title, because a title should say the finding. Every
// picture can be read in grey: kinds differ by lightness, dash, mark or hatch, never
// by colour alone. Equal input gives equal bytes on one kind of processor; nothing
// in a file depends on the day or the machine's fonts.
//
// Thousands are grouped by a narrow no-break space in pictures and by a plain space
// in text, and the decimal sign is a point, as ISO 80000-1:2009, 7.3 asks for groups
// of three.
//
// Not here: reading or judging results, choosing words for a finding, colour in a
// terminal, and interactive charts.
package chart
