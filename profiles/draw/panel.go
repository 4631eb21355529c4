package draw

import (
	"fmt"
	"math"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/profiles/change"
)

// panel is one plot of a profile, in physical units.
type panel struct {
	title string
	x, y  axis
	lines []line
	words []string // what the plot says, for who does not see it
}

// line is one curve of a plot.
type line struct {
	name string
	y    func(x float64) float64
	dots []float64 // the x of what is marked on it
}

// panels are the plots of a profile, of those that have something to show.
func panels(p *expr.Profile) []panel {
	ps := []panel{level(p)}
	if p.Sampler.Level.Has() && p.Dynamics.Carrier != expr.CarryVelocity {
		ps = append(ps, control(p))
	}
	if p.Sampler.Velocity != nil && p.Dynamics.Carrier != expr.CarryController {
		ps = append(ps, answer(p))
	}
	if v := p.Vibrato; p.Amounts.Of(expr.KeyVibrato) > 0 && v.DepthLow+v.DepthHigh > 0 {
		ps = append(ps, depth(p), growth(p))
	}
	if p.Sampler.Brightness.Has() && p.Sampler.BrightPerDB > 0 {
		ps = append(ps, brightness(p))
	}
	return ps
}

// nonBreaking is a space at which a line is not broken.
const nonBreaking = "\u00a0"

// atMarks is a list of values at the dynamic marks, in words.
func atMarks(y func(float64) float64, unit string) string {
	var parts []string
	for _, m := range change.Marks {
		parts = append(parts, m.Name+nonBreaking+short(y(m.Velocity)))
	}
	return strings.Join(parts, ", ") + " " + unit
}

// weightKey is the habit that makes the weight in a hall.
var weightKey = (&habits.OrchestraWeight{}).About().Key

// written is the level that the habits make of a velocity, dB against mf: by itself as in a
// studio, and with the weight that the instrument has in a hall on a usual note.
func written(p *expr.Profile) (studio, hall func(velocity float64) float64) {
	weight := habits.NewOrchestraWeight(habits.UsualPlace())
	key, amount := uint8(0), p.Amounts.Of(weightKey)
	if p.Instrument != nil {
		const a4 = 69
		key = uint8(a4 + int(p.Instrument.Middle))
	}
	hall = func(velocity float64) float64 {
		db := p.Dynamics.Reading.At(velocity)
		n := expr.Note{Profile: p, Amount: amount, Players: p.Players, Key: key, WrittenDB: db}
		g := expr.Gesture{LevelDB: db}
		weight.Shape(&n, &g)
		return g.LevelDB + g.HallDB
	}
	return p.Dynamics.Reading.At, hall
}

func level(p *expr.Profile) panel {
	y, hall := written(p)
	words := []string{"The level of a velocity: " + atMarks(y, "dB against mf") + "."}
	lines := []line{{"level", y, velocities()}}
	if p.Amounts.Of(weightKey) != 0 {
		words = append(words, "Among others in a hall: "+atMarks(hall, "dB against a horn's mf")+".")
		lines = []line{{"by itself", y, velocities()}, {"in a hall", hall, velocities()}}
	}
	if k := p.Amounts.Of(expr.KeyMarks); k != 1 {
		words = append(words, fmt.Sprintf("The amount of the marks is %s: 0 plays as it came, 1 as drawn.", short(k)))
	}
	return panel{
		title: "What a velocity means", x: marked(), y: span("dB against mf", min(y(1), hall(1)), max(y(127), hall(127))),
		lines: lines, words: words,
	}
}

func control(p *expr.Profile) panel {
	c := &p.Sampler.Level
	lo, hi := c.Response.Range()
	lo = max(lo, hi-60) // what is quieter is not played: ours, not published
	at := func(db float64) string { return short(sent(c, db)) }
	return panel{
		title: fmt.Sprintf("What controller %d is sent for a level", c.Number),
		x:     span("dB against full level", lo, hi), y: values(),
		lines: []line{{"value", c.Response.Invert, nil}},
		words: []string{fmt.Sprintf("Full level is controller %d at %s; 20 dB less is at %s.", c.Number, at(hi), at(hi-20))},
	}
}

// sent is the value that a controller is sent for a quantity: a whole one if it has
// 7 bits.
func sent(c *expr.Control, quantity float64) float64 {
	v := c.Response.Invert(quantity)
	if !c.Fine {
		v = math.Round(v)
	}
	return v
}

func answer(p *expr.Profile) panel {
	y := p.Sampler.Velocity.At
	return panel{
		title: "How the sampler answers to velocity", x: marked(), y: span("dB against full level", max(y(1), y(127)-60), y(127)),
		lines: []line{{"level", y, velocities()}},
		words: []string{"The sampler's level at a velocity: " + atMarks(y, "dB against full level") + "."},
	}
}

// vibrato is the vibrato of a note as the habit makes it.
func vibrato(p *expr.Profile, pitch, writtenDB float64, slurred bool) expr.Gesture {
	free := *p
	free.Vibrato.OpenStrings = nil // said in words
	var g expr.Gesture
	n := expr.Note{Profile: &free, Amount: p.Amounts.Of(expr.KeyVibrato), Key: uint8(min(max(math.Round(pitch), 0), 127)), WrittenDB: writtenDB, Slurred: slurred}
	habits.Vibrato{}.Shape(&n, &g)
	return g
}

func depth(p *expr.Profile) panel {
	v := &p.Vibrato
	x := axis{label: "pitch", lo: max(v.LowPitch-6, 0), hi: min(v.HighPitch+6, 127)}
	for note := math.Ceil(x.lo/12) * 12; note <= x.hi; note += 12 {
		x.ticks = append(x.ticks, tick{note, change.Note(note)})
	}
	var ls []line
	most := 0.0
	for _, m := range []change.Mark{change.Marks[0], change.Marks[3], change.Marks[5]} { // pp, mf, ff
		db := p.Dynamics.Reading.At(m.Velocity)
		y := func(pitch float64) float64 { // a straight line between two notes
			low := math.Floor(pitch)
			a, b := vibrato(p, low, db, false).VibratoCents, vibrato(p, low+1, db, false).VibratoCents
			return a + (pitch-low)*(b-a)
		}
		ls = append(ls, line{name: m.Name, y: y, dots: []float64{v.LowPitch, v.HighPitch}})
		most = max(most, y(v.LowPitch), y(v.HighPitch))
	}
	low, high := vibrato(p, v.LowPitch, 0, false), vibrato(p, v.HighPitch, 0, false)
	words := []string{fmt.Sprintf("The vibrato at mf: %s cents at %s, %s cents at %s; rate %s to %s Hz.",
		short(low.VibratoCents), change.Note(v.LowPitch), short(high.VibratoCents), change.Note(v.HighPitch), short(low.VibratoHz), short(high.VibratoHz))}
	if len(v.OpenStrings) > 0 {
		var names []string
		for _, n := range v.OpenStrings {
			names = append(names, change.Note(float64(n)))
		}
		words = append(words, "None on open strings: "+strings.Join(names, " ")+".")
	}
	return panel{title: "Vibrato depth over the register", x: x, y: span("cents, peak to peak", 0, most), lines: ls, words: words}
}

func growth(p *expr.Profile) panel {
	v := &p.Vibrato
	middle := (v.LowPitch + v.HighPitch) / 2
	fresh, slurred := vibrato(p, middle, 0, false), vibrato(p, middle, 0, true)
	at := func(g expr.Gesture) func(float64) float64 {
		return func(ms float64) float64 { return g.VibratoAt(time.Duration(ms * float64(time.Millisecond))) }
	}
	end := func(g expr.Gesture) float64 { return float64((g.VibratoOnset + g.VibratoGrowth).Milliseconds()) }
	begin := func(g expr.Gesture) float64 { return float64(g.VibratoOnset.Milliseconds()) }
	ls := []line{{"new note", at(fresh), []float64{begin(fresh), end(fresh)}}}
	if begin(slurred) != begin(fresh) {
		ls = append(ls, line{"after a slur", at(slurred), []float64{begin(slurred), end(slurred)}})
	}
	return panel{
		title: "Growth of the vibrato", x: span("ms after the start", 0, max(1.15*end(slurred), 100)), y: span("cents, peak to peak", 0, fresh.VibratoCents),
		lines: ls,
		words: []string{fmt.Sprintf("Straight for %s ms, after a slur for %s ms; then %s ms to the whole depth.", short(begin(fresh)), short(begin(slurred)), short(float64(v.Growth.Milliseconds())))},
	}
}

func brightness(p *expr.Profile) panel {
	level, _ := written(p)
	c := &p.Sampler.Brightness
	y := func(velocity float64) float64 { return sent(c, p.Sampler.BrightPerDB*level(velocity)) }
	return panel{
		title: fmt.Sprintf("What controller %d is sent for the brightness", c.Number), x: marked(), y: values(),
		lines: []line{{"value", y, velocities()}},
		words: []string{fmt.Sprintf("Brighter by %s dB at 3 kHz for each dB of level; controller %d: %s.", short(p.Sampler.BrightPerDB), c.Number, strings.TrimSpace(atMarks(y, "")))},
	}
}
