package table

import (
	"reflect"

	"github.com/parquet-go/parquet-go"
)

// schemaName names the root of the schema; some readers show it.
const schemaName = "case"

// schemaOf puts the columns into a schema in their order. Each has one leaf, so the number of a column is that of its leaf.
func schemaOf(cols []column) *parquet.Schema {
	root := ordered{fields: make([]parquet.Field, 0, len(cols))}
	for _, c := range cols {
		root.fields = append(root.fields, field{Node: c.node(), name: c.name})
	}
	return parquet.NewSchema(schemaName, root)
}

func (c column) node() parquet.Node {
	folded := func(n parquet.Node) parquet.Node {
		if c.fold {
			return parquet.Encoded(n, &parquet.RLEDictionary)
		}
		return parquet.Encoded(n, &parquet.Plain)
	}
	switch c.kind {
	case number:
		return folded(parquet.Int(64))
	case remark:
		return parquet.Optional(folded(parquet.String()))
	case figure:
		return parquet.Optional(folded(parquet.Leaf(parquet.DoubleType)))
	case flag:
		return parquet.Optional(folded(parquet.Leaf(parquet.BooleanType)))
	case list:
		return parquet.List(parquet.Optional(folded(parquet.Leaf(parquet.DoubleType))))
	default: // text, setting
		return folded(parquet.String())
	}
}

// ordered is a group of columns that keeps their order; the library's own sorts them by name.
type ordered struct {
	parquet.Group
	fields []parquet.Field
}

func (o ordered) Fields() []parquet.Field { return o.fields }

// field is a column in a group.
type field struct {
	parquet.Node
	name string
}

func (f field) Name() string { return f.name }

// Value is part of the library's interface and not called: rows are written column by column.
func (f field) Value(base reflect.Value) reflect.Value {
	return base.MapIndex(reflect.ValueOf(f.name))
}
