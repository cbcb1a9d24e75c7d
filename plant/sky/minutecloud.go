package sky

type clouds struct{}

func (c *clouds) pass(s *sharer, dniWM2 float64) {}
func (c *clouds) say() string                    { return "" }
