package offline

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"swellbox/expr"
	"swellbox/expr/ornament"
	"swellbox/proxy/formats/musicxml"
)

// chord is the notes that are rolled as one.
type chord struct {
	part   uint16
	beat   float64
	number uint8
	staff  uint8 // 0 where the roll goes over all staves that have its number
}

// rolled is by how many quarter notes each note of the rolled chords comes late. The first is on the
// beat (common practice for harp and keyboard, no published source). Where one note alone of a chord has
// the sign, the whole chord of its staff is meant.
func rolled(d *musicxml.Document) map[int]float64 {
	chords := map[chord][]musicxml.Roll{}
	together := map[int]bool{}
	for _, r := range d.Rolls {
		n := &d.Score.Notes[r.Note]
		if r.Way == musicxml.Together {
			together[r.Note] = true
			continue
		}
		c := chord{part: n.Part, beat: n.Beat, number: r.Number}
		if r.Number == 0 {
			c.staff = n.Staff
		}
		chords[c] = append(chords[c], r)
	}
	late := map[int]float64{}
	for c, notes := range chords {
		if len(notes) == 1 {
			notes = wholeChord(d.Score.Notes, notes[0], together)
		}
		roll(d.Score.Notes, notes, c, late)
	}
	return late
}

// wholeChord is the chord of a staff, of which one note is to be rolled, without grace notes.
func wholeChord(notes []expr.Written, one musicxml.Roll, without map[int]bool) (all []musicxml.Roll) {
	n := &notes[one.Note]
	from, _ := slices.BinarySearchFunc(notes, n.Beat, func(w expr.Written, beat float64) int { return cmp.Compare(w.Beat, beat) })
	for i := from; i < len(notes) && notes[i].Beat == n.Beat; i++ {
		if w := &notes[i]; w.Part == n.Part && w.Staff == n.Staff && !without[i] && !w.Marks.Has(expr.Grace) {
			all = append(all, musicxml.Roll{Note: i, Way: one.Way})
		}
	}
	return all
}

// roll says how late each note of a chord is.
func roll(notes []expr.Written, of []musicxml.Roll, c chord, late map[int]float64) {
	slices.SortStableFunc(of, func(a, b musicxml.Roll) int { return cmp.Compare(notes[a.Note].Key, notes[b.Note].Key) })
	down := slices.ContainsFunc(of, func(r musicxml.Roll) bool { return r.Way == musicxml.RollDown })
	if down {
		slices.Reverse(of)
	}
	shortest := math.Inf(1)
	for _, r := range of {
		shortest = min(shortest, notes[r.Note].Length)
	}
	if len(of) == 0 {
		return
	}
	step := ornament.RollStep(len(of), shortest, quarterAt(&notes[of[0].Note]))
	for i, r := range of {
		late[r.Note] = float64(i) * step
	}
}

// glided are the notes that are played for those from which a glissando goes in steps. A slide
// is played in steps too: how far a sampler bends is its own affair. late is by how much a note comes late.
func glided(d *musicxml.Document, late map[int]float64) map[int][]ornament.Note {
	runs := map[int][]ornament.Note{}
	for _, g := range d.Glides {
		from, to := &d.Score.Notes[g.From], &d.Score.Notes[g.To]
		length := min(from.Length, to.Beat-from.Beat) - late[g.From]
		if runs[g.From] != nil || !(length > 0) {
			continue
		}
		runs[g.From] = ornament.Glide(nil, from.Key, to.Key, length, quarterAt(from), scaleOf(d, from.Part), int(g.Fifths))
	}
	return runs
}

// scaleOf says which keys a part passes in a glissando: by the standard's identifier of its sound,
// its General MIDI program, and the staves it has; all others than keyboards and harps can play every step.
func scaleOf(d *musicxml.Document, part uint16) ornament.Scale {
	const lastKeyboard, firstMallet, lastMallet, organ, lastOrgan, harp = 8, 9, 14, 17, 21, 47 // General MIDI 1, from memory
	said := false
	for _, x := range d.Instruments {
		if x.Part != part {
			continue
		}
		said = said || x.Program > 0 || x.Sound != ""
		switch p := x.Program; {
		case strings.HasPrefix(x.Sound, "pluck.harp"), p == harp:
			return ornament.Strings
		case strings.HasPrefix(x.Sound, "keyboard."), strings.HasPrefix(x.Sound, "pitched-percussion."),
			p >= 1 && p <= lastKeyboard, p >= firstMallet && p <= lastMallet, p >= organ && p <= lastOrgan:
			return ornament.Keys
		}
	}
	manyStaves := func(n expr.Written) bool { return n.Part == part && n.Staff > 1 }
	if !said && slices.ContainsFunc(d.Score.Notes, manyStaves) {
		return ornament.Keys // as partTrack has it
	}
	return ornament.Chromatic
}
