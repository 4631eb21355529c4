package musicxml

import "slices"

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
