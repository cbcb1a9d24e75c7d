package sky

import "math"

// split makes the parts of the light that the file does not have, and says so.
func (t *table) split(suns []Sun) {
	c := &t.columns
	if c[ghi] == nil {
		t.fromBeam(suns)
		return
	}
	hadBeam, hadDiffuse := c[dni] != nil, c[dhi] != nil
	if hadBeam && hadDiffuse {
		return
	}
	n := len(c[ghi])
	beam, diffuse := make([]float64, n), make([]float64, n)
	for i, s := range suns {
		normal, cosZ := ExtraterrestrialWM2(s.DistanceAU), s.CosZenith()
		l := SplitGHI(c[ghi][i], cosZ, normal)
		switch {
		case hadBeam:
			l.DNI = c[dni][i]
			l.DHI = math.Max(0, l.GHI-l.DNI*math.Max(0, cosZ))
		case hadDiffuse:
			l.DHI = c[dhi][i]
			l.DNI = 0
			if cosZ > math.Sin(rad(lowestBeamDeg)) {
				l.DNI = math.Min(normal, math.Max(0, (l.GHI-l.DHI)/cosZ))
			}
		}
		beam[i], diffuse[i] = l.DNI, l.DHI
	}
	c[dni], c[dhi] = beam, diffuse
	switch {
	case hadBeam:
		t.note(0, "the file has no diffuse light: it is GHI - DNI cos z")
	case hadDiffuse:
		t.note(0, "the file has no beam: DNI is (GHI - DHI)/cos z, and 0 while the sun is under %d deg", lowestBeamDeg)
	default:
		t.note(0, "the file has global light only: it is parted into beam and diffuse by the hourly curve of Erbs, "+
			"which hits the year's beam within some 10 %% and single hours not")
	}
}

// fromBeam makes global light of a file that has none from its beam.
func (t *table) fromBeam(suns []Sun) {
	c := &t.columns
	hadDiffuse := c[dhi] != nil
	if !hadDiffuse {
		c[dhi] = make([]float64, len(c[dni]))
	}
	c[ghi] = make([]float64, len(c[dni]))
	for i, s := range suns {
		c[ghi][i] = math.Min(t.highest(ghi), c[dhi][i]+c[dni][i]*math.Max(0, s.CosZenith()))
	}
	if hadDiffuse {
		t.note(0, "the file has no global light: it is DHI + DNI cos z")
		return
	}
	t.note(0, "the file has beam only: diffuse light is taken as 0 and global as DNI cos z, so a collector that takes diffuse light is given too little")
}
