package balance

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swellbox/expr/acoustics"
	"swellbox/proxy/layout"
)

// maxHeard bounds the moments of a stretch on which remedies are tried. Ours.
const maxHeard = 240

// maxFaderDB is the most that a fader is asked to give. Ours: more than that brings
// up the room and the noise of the stand.
const maxFaderDB = 24

// telling is what is told of a stretch, each in one sentence.
type telling struct {
	what, why, try string
	by             []string // who covers it
	alike          string   // the same for stretches of the same case
}

// words says what cannot be heard, why, and what would help.
func (c *caseOf) words() telling {
	c.findMaskers()
	who := c.score.parts[c.stretch.part].name
	if register := c.register(); register != "" {
		who += ", " + register
	}
	who += ", marked " + mark(c.dynamicDB)
	if c.solo() {
		who += " and solo"
	}
	why := "Too soft even if nobody else played"
	if len(c.maskers) > 0 {
		why = "Covered by " + against(c.score, c.maskers)
	}
	t := telling{alike: who + why, try: c.advice(), by: []string{}}
	for i := range c.maskers {
		for _, part := range c.maskers[i].parts {
			t.by = append(t.by, c.score.parts[part].name)
		}
	}
	t.what = who + ": " + c.short() + "."
	if c.in == studio {
		why += c.inTheHall()
	}
	t.why = why + "."
	return t
}

// solo reports whether the part is marked solo somewhere in the stretch.
func (c *caseOf) solo() bool {
	for bar := c.stretch.first; bar <= c.stretch.last && c.notes.solos != nil; bar++ {
		if c.notes.solos[bar][c.stretch.part] {
			return true
		}
	}
	return false
}

// short says how far the line is from what one can follow.
func (c *caseOf) short() string {
	switch {
	case c.state == Lost:
		return fmt.Sprintf("%d dB too soft to be heard", -c.told())
	case c.audibilityDB < acoustics.HeardDB:
		return fmt.Sprintf("it should lead, and is %.0f dB short of standing out", math.Ceil(acoustics.HeardDB-c.audibilityDB))
	}
	return "it should lead, and others are marked louder"
}

// register is the register of the middle one of the part's notes; empty if its
// registers are all alike.
func (c *caseOf) register() string {
	pitches := make([]float64, 0, len(c.moments))
	var in *acoustics.Instrument
	for i := range c.moments {
		if src := c.source(i); src != nil {
			in = src.Instrument
			pitches = append(pitches, src.PitchHz)
		}
	}
	slices.Sort(pitches)
	r := in.RegisterAt(acoustics.PitchOf(pitches[len(pitches)/2]))
	if r == nil {
		return ""
	}
	where := "middle"
	switch r {
	case &in.Registers[0]:
		where = "low"
	case &in.Registers[len(in.Registers)-1]:
		where = "high"
	}
	if r.Name == "" || r.Name == where {
		return where + " register"
	}
	return fmt.Sprintf("%s register (%s)", where, r.Name)
}

// marks are the written dynamics, from the softest.
var marks = []struct {
	name string
	db   float64
}{{"pp", acoustics.PP}, {"p", acoustics.P}, {"mp", acoustics.MP}, {"mf", acoustics.MF}, {"f", acoustics.F}, {"ff", acoustics.FF}}

// mark is the mark nearest to a written dynamic.
func mark(db float64) string { return marks[nearest(db)].name }

func nearest(db float64) (at int) {
	for i := range marks {
		if math.Abs(marks[i].db-db) < math.Abs(marks[at].db-db) {
			at = i
		}
	}
	return at
}

// nextMark is the mark so many above that of a written dynamic, or below it, and whether
// there is one.
func nextMark(db float64, steps int) (name string, ok bool) {
	i := nearest(db) + steps
	if i < 0 || i >= len(marks) {
		return "", false
	}
	return marks[i].name, true
}

// against names who masks: "three trombones at f and Tuba at ff".
func against(s *score, groups []group) string {
	all := make([]string, len(groups))
	for i := range groups {
		all[i] = groups[i].name(s) + " at " + mark(groups[i].dynamicDB)
	}
	return strings.Join(all, " and ")
}

// most is how many players are counted; more are a section, and named.
const most = 8

// name is how a group is called: one part by its own name, equal instruments by their
// number, sections by theirs.
func (g *group) name(s *score) string {
	if len(g.parts) == 1 {
		return s.parts[g.parts[0]].name
	}
	if g.players > most {
		names := make([]string, len(g.parts))
		for i, p := range g.parts {
			names[i] = s.parts[p].name
		}
		return layout.List(names, ", ", "and")
	}
	return numbers[g.players] + " " + plural(g.instrument.Name)
}

var numbers = [most + 1]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight"}

// plural is the instruments of a name: "trombones".
func plural(name string) string {
	switch name {
	case "cor-anglais":
		return "cors anglais"
	case "double-bass":
		return "double basses"
	}
	name = strings.ReplaceAll(name, "-", " ")
	if strings.HasSuffix(name, "s") {
		return name
	}
	return name + "s"
}

// inTheHall says how notes that were looked into in the studio do in the hall.
func (c *caseOf) inTheHall() string {
	h := c.measure(hall, unchanged)
	if h.state == Lost {
		return fmt.Sprintf("; in the hall it is %d dB too soft", -h.told())
	}
	return "; in the hall it is " + h.state.String()
}

// apart is what a studio would do for notes that were looked into in the hall; empty if
// they would not be heard even there.
func (c *caseOf) apart() string {
	if c.in != hall {
		return ""
	}
	h := c.measure(studio, unchanged)
	if h.state >= Heard {
		return "recorded apart"
	}
	up := math.Ceil(acoustics.HeardDB - h.audibilityDB)
	if up > maxFaderDB {
		return ""
	}
	return fmt.Sprintf("recorded apart with its fader %.0f dB up", up)
}

// advice is what was tried and helps.
func (c *caseOf) advice() string {
	var all []string
	for _, r := range c.remedies() {
		then := "then " + r.state.String()
		switch r.state {
		case Lost:
			then = "still lost"
		case Background:
			then = "then in the background"
		}
		all = append(all, fmt.Sprintf("%s (%.0f dB better, %s)", r.words, r.audibilityDB-c.audibilityDB, then))
	}
	apart := c.apart()
	switch {
	case len(all) == 0 && apart == "":
		return "Nothing that was tried helps: thin out what plays with it."
	case len(all) == 0:
		return "Try: " + apart + "; nothing else that was tried helps, so thin out what plays with it."
	case apart != "":
		all = append(all, apart)
	}
	return "Try: " + layout.List(all, ", ", "or") + "."
}

// told is the audibility in whole dB, on the same side of the limits between the states.
func (h *heard) told() int {
	db := int(math.Round(h.audibilityDB))
	switch h.state {
	case Lost, Colour:
		return min(db, -1)
	}
	return db
}

// signed is a number with its sign, by the minus sign proper.
func signed(n int) string {
	if n == 0 {
		return "0"
	}
	return strings.Replace(fmt.Sprintf("%+d", n), "-", "−", 1)
}
