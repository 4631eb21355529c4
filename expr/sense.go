package expr

// Sense is the way in which the parts stand to each other.
type Sense uint8

const (
	// Hall has the parts stand as on a stage: the brass rule a tutti, a low flute
	// vanishes behind trombones.
	Hall Sense = iota
	// Studio has them recorded apart: each as loud as its own mark.
	Studio
)

// String names the sense in the words of the command line.
func (s Sense) String() string {
	if s == Studio {
		return "studio"
	}
	return "hall"
}

// SetSense has a channel stand as in a hall or a studio from now on. What sounds
// moves there gradually, by its level controller; what is carried by velocity
// follows with its next note. A channel that the engine does not have is left alone.
func (e *Engine) SetSense(port, channel int, s Sense) {
	if port < 0 || port >= e.cfg.Ports || channel < 0 || channel > 15 {
		return
	}
	p := &e.parts[port*16+channel]
	if p.sense == s {
		return
	}
	p.sense = s
	if p.shaped && len(p.notes) > 0 {
		e.appoint(p)
	}
}

// Sense is how a channel stands.
func (e *Engine) Sense(port, channel int) Sense { return e.parts[port*16+channel].sense }

// weightDB is the weight of a note in the sense that its part stands in.
func (p *part) weightDB(g *Gesture) float64 {
	if p.sense == Studio {
		return 0
	}
	return g.HallDB
}
