package demo

import (
	"math"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/proxy"
)

// Compared is one part of two performances.
type Compared struct {
	Report  proxy.PartReport
	Profile *expr.Profile
}

// Compare reads the raw and the shaped performance of a piece as their sample player
// would sound them, and tells for each part what differs: as a picture's rows and as
// a table's. Levels are dB re the mf of their own performance; that the shaped one as
// a whole lies headroomDB lower is left out, so that what is seen is the shaping.
func Compare(raw, shaped *proxy.Timeline, parts []Compared, headroomDB float64) ([]PartView, []Row) {
	r := listen(raw, parts, 0)
	s := listen(shaped, parts, headroomDB)
	views := make([]PartView, len(parts))
	rows := make([]Row, len(parts))
	for i, part := range parts {
		views[i] = PartView{
			Name: part.Report.Name, Profile: part.Report.Profile,
			Raw: r[i].level, Shaped: s[i].level, Vibrato: s[i].vibrato, Notes: r[i].notes,
		}
		rows[i] = tableRow(part, r[i], s[i])
	}
	return views, rows
}

// heard is what a meter read of one part.
type heard struct {
	level, vibrato []Sample
	notes          []Span
	starts         []start
	brightness     []float64 // dB at each note's start
	held           map[byte][]int
}

// start is the level at the start of a note, and the greatest vibrato depth up to its end.
type start struct{ level, vibrato float64 }

// listen plays a performance to a meter. An instrument's mf is where velocity 80 lies:
// common practice, no published source.
func listen(t *proxy.Timeline, parts []Compared, headroomDB float64) []heard {
	const mf = 80
	meter := expr.NewMeter(t.Ports)
	out := make([]heard, len(parts))
	index := map[[2]int]int{}
	for i, p := range parts {
		port, ch := p.Report.Port-1, p.Report.Channel-1
		meter.Seat(port, ch, p.Profile)
		index[[2]int{port, ch}] = i
		out[i].held = map[byte][]int{}
	}
	for i := range t.Events {
		e := &t.Events[i]
		if !e.IsChannel() {
			continue
		}
		meter.Take(e)
		at, ok := index[[2]int{int(e.Port), e.Channel()}]
		if !ok {
			continue
		}
		profile := parts[at].Profile
		level, sounds := meter.Level(int(e.Port), e.Channel())
		if own, ok := meter.KeyLevel(int(e.Port), e.Channel(), e.Msg[1]); ok && e.IsNoteOn() {
			level = own
		}
		reference := headroomDB
		if profile.Player.Velocity != nil {
			reference -= profile.Player.Velocity.At(mf)
		}
		out[at].take(e, level+reference, meter.Vibrato(int(e.Port), e.Channel()), sounds, profile)
	}
	return out
}

func (h *heard) take(e *expr.Event, level, vibrato float64, sounds bool, profile *expr.Profile) {
	bright := &profile.Player.Brightness
	switch {
	case e.IsNoteOn():
		h.held[e.Msg[1]] = append(h.held[e.Msg[1]], len(h.starts))
		h.starts = append(h.starts, start{level: level})
		h.notes = append(h.notes, Span{From: e.At, To: e.At})
	case e.IsNoteOff() && len(h.held[e.Msg[1]]) > 0:
		h.notes[h.held[e.Msg[1]][0]].To = e.At
		h.held[e.Msg[1]] = h.held[e.Msg[1]][1:]
	case bright.Has() && profile.Player.BrightPerDB != 0 && e.Msg[0]&0xF0 == 0xB0 && int(e.Msg[1]) == bright.Number:
		h.brightness = append(h.brightness, bright.Response.At(float64(e.Msg[2])))
	}
	if sounds {
		h.level = changed(h.level, e.At, level)
	}
	h.vibrato = changed(h.vibrato, e.At, vibrato)
	for _, open := range h.held {
		for _, n := range open {
			h.starts[n].vibrato = math.Max(h.starts[n].vibrato, vibrato)
		}
	}
}

// changed adds a sample if it differs from the last; of several at one moment the
// last holds.
func changed(s []Sample, at time.Duration, value float64) []Sample {
	if n := len(s); n > 0 {
		if s[n-1].At == at {
			s[n-1].Value = value
			return s
		}
		if s[n-1].Value == value {
			return s
		}
	}
	return append(s, Sample{At: at, Value: value})
}

// audible is the least depth in cents, peak to peak, that counts as vibrato: what a
// short note has before it ends is less. Ours, not published.
const audible = 10

func tableRow(part Compared, raw, shaped heard) Row {
	r := Row{Part: part.Report.Name, Profile: part.Report.Profile, Notes: len(shaped.starts)}
	var changes, depths []float64
	for i := range min(len(raw.starts), len(shaped.starts)) {
		changes = append(changes, shaped.starts[i].level-raw.starts[i].level)
		if d := shaped.starts[i].vibrato; d >= audible {
			depths = append(depths, d)
		}
	}
	if len(changes) > 0 {
		r.LevelLow, r.LevelHigh = slices.Min(changes), slices.Max(changes)
		r.LevelMedian = median(changes)
		r.VibratoShare = float64(len(depths)) / float64(len(changes))
	}
	r.VibratoCents = median(depths)
	r.BrightnessDB = median(shaped.brightness)
	for _, rule := range expr.StandardRules() {
		r.Rules = append(r.Rules, RuleCount{Rule: rule.Name(), Notes: int(part.Report.Rules[rule.Name()])})
	}
	return r
}

// median is the middle value, 0 of none.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Sorted(slices.Values(v))
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
