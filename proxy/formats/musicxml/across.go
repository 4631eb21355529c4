package musicxml

import (
	"encoding/xml"
	"slices"

	"swellbox/expr"
)

// RollWay is the order in which the notes of a chord are struck.
type RollWay uint8

const (
	NoRoll   RollWay = iota
	RollUp           // from the lowest note to the highest
	RollDown         // from the highest to the lowest
	Together         // at once, though others of the chord are rolled
)

// Roll is a note of a rolled chord.
type Roll struct {
	Note   int   // index of Score.Notes
	Number uint8 // chords with one number are rolled as one, on whatever staff; 0: each staff by itself
	Way    RollWay
}

// Glide is a glissando from a note to another of its part.
type Glide struct {
	From, To int  // indices of Score.Notes
	Smooth   bool // a slide, without steps
	Fifths   int8 // sharps of the key signature, or flats below 0
}

// across is what a note has a share in beside others.
type across struct {
	roll     RollWay
	number   uint8  // of the roll; 0 where the file does not say
	starts   uint32 // glides by number, as bits; see glideBit
	stops    uint32
	fifths   int8
	caesura  bool // a pause of all follows
	harmonic harmonic
}

// maxNumber is the last number that a sign across notes may have (number-level in the standard).
const maxNumber = 16

// glideBit is the place of a glide among the bits: glissandi by number, then slides.
func glideBit(smooth bool, number int) uint32 {
	if smooth {
		number += maxNumber
	}
	return 1 << (number - 1)
}

// acrossNotes reads a notation that joins a note with others, or says how it is touched.
func (w *written) acrossNotes(r *reader, e *xml.StartElement) error {
	number, said := 1, false
	if text := attribute(e, "number"); text != "" {
		if number, said = r.whole("the number of a sign", text, 1, maxNumber); !said {
			number = 1
		}
	}
	a := &w.across
	switch name := e.Name.Local; name {
	case "arpeggiate":
		w.marks |= expr.Spread
		a.roll = RollUp
		if attribute(e, "direction") == "down" {
			a.roll = RollDown
		}
		if said {
			a.number = uint8(number)
		}
	case "non-arpeggiate":
		a.roll = Together
	case "glissando", "slide":
		bit := glideBit(name == "slide", number)
		switch attribute(e, "type") {
		case "start":
			a.starts |= bit
		case "stop":
			a.stops |= bit
		}
	case "technical":
		return r.xml.children(func(e *xml.StartElement) error {
			if e.Name.Local == "harmonic" {
				return a.harmonic.read(r.xml)
			}
			return nil
		})
	}
	return nil
}

// joining pairs what a part has across its notes, as they are played.
type joining struct {
	rolls    []Roll
	glides   []Glide
	caesuras []int
	open     [2 * maxNumber]int // by bit: one more than the note at which a glide starts
}

// join takes what a note that is played has a share in; index is its own, or that of the note of
// which it is the rest.
func (j *joining) join(index int, n *note, begins bool) {
	if n.across.caesura {
		j.caesuras = append(j.caesuras, index)
	}
	if n.across.roll != NoRoll && begins {
		j.rolls = append(j.rolls, Roll{index, n.across.number, n.across.roll})
	}
	if n.across.starts|n.across.stops == 0 {
		return
	}
	for i := range j.open {
		bit := uint32(1) << i
		if n.across.stops&bit != 0 && j.open[i] > 0 && j.open[i]-1 != index {
			j.glides = append(j.glides, Glide{j.open[i] - 1, index, i >= maxNumber, n.across.fifths})
			j.open[i] = 0
		}
		if n.across.starts&bit != 0 {
			j.open[i] = index + 1
		}
	}
}

// sortAcross leaves what is across notes upon them, when each is moved to another place.
func (d *Document) sortAcross(to []int) {
	for i := range d.Rolls {
		d.Rolls[i].Note = to[d.Rolls[i].Note]
	}
	for i := range d.Glides {
		g := &d.Glides[i]
		g.From, g.To = to[g.From], to[g.To]
	}
	for i := range d.Caesuras {
		d.Caesuras[i] = to[d.Caesuras[i]]
	}
	slices.SortFunc(d.Rolls, func(a, b Roll) int { return a.Note - b.Note })
}
