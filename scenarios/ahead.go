package scenarios

// KnownAhead tells of a load, by its place in Loads, whether it follows the calendar alone, so that tomorrow's is known
// today. One that a meter measured, or that follows the weather, is not.
func (c Case) KnownAhead(load int) bool {
	name := c.Loads[load].Name
	f, err := c.loadNamed(name)
	return err == nil && !measured(f) && !c.made.loads[name].sun
}
