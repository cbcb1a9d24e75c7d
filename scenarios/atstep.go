package scenarios

import (
	"fmt"
	"reflect"

	"noonkeep/plant/sky"
)

// AtStep gives the case on the axis of a weather year, of finer steps than its own: loads begin and end on their minute,
// measured ones keep the means of their own steps, and yields follow the year's light. What the case assumes and doubts
// stays as it was; it has no variants.
func (c Case) AtStep(year sky.Year) (Case, error) {
	a := year.Axis
	if !a.Start.Equal(c.Axis.Start) || float64(a.N)*a.StepH() != float64(c.Axis.N)*c.Axis.StepH() || len(year.GHI) != a.N {
		return Case{}, fmt.Errorf("%s: weather of %d steps of %v; want another step of the study's own year", c.File, a.N, a.Step)
	}
	o := c.made
	b := builder{decoder: &decoder{faults: faults{file: o.c.File}, root: o.root}, open: o.open, from: o, given: &otherYear{year: &year}}
	b.mapping(o.root, at{line: o.root.Line}, reflect.ValueOf(&b.f).Elem())
	step := &b.f.Time.Step.quantity
	step.num = a.StepH() * step.unit.div / step.unit.mul
	out, err := b.build()
	if err != nil {
		return Case{}, fmt.Errorf("in steps of %v: %w", a.Step, err)
	}
	out.Variant, out.Edits, out.Variants = c.Variant, c.Edits, nil
	out.Assumptions, out.Warnings = c.Assumptions, c.Warnings
	if c.Store != nil {
		return out.Varying(c.Store.Name)
	}
	return out, nil
}
