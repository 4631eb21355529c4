package demo

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/meter"
	"swellbox/expr/thresholds"
	"swellbox/proxy/offline"
)

// heard is what a meter read of one part.
type heard struct {
	level, vibrato, pedal []Sample
	tones                 []tone
	brightness            []float64 // dB at each note's start
	held                  map[byte][]int
}

// tone is one note as its sampler sounds it.
type tone struct {
	key     byte
	on, off time.Duration
	level   float64       // at its start
	vibrato float64       // the greatest depth up to its end
	course  []Sample      // level by the note's age, until another note starts on the part
	alone   time.Duration // how long that is; 0: as long as it sounds
}

// apart has a tone be followed no further, as the part's controllers move for another's sake.
func (t *tone) apart(at time.Duration) {
	if t.alone == 0 && at-t.on > thresholds.Shaped {
		t.alone = at - t.on
		if n := len(t.course) - 1; n > 0 && t.course[n].At == t.alone { // moved for the other already
			t.course = t.course[:n]
		}
	}
}

// lasts is how long the tone's course is known.
func (t *tone) lasts() time.Duration {
	if t.alone > 0 {
		return t.alone
	}
	return t.off - t.on
}

// notes is when each note sounds.
func (h *heard) notes() []Span {
	spans := make([]Span, len(h.tones))
	for i, t := range h.tones {
		spans[i] = Span{t.on, t.off}
	}
	return spans
}

// listen plays a performance to a meter. An instrument's mf is where velocity 80 lies:
// common practice, no published source.
func listen(t *offline.Timeline, parts []Compared, headroomDB float64) []heard {
	const mf = 80
	meter := meter.New(t.Ports)
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
		port, ch := int(e.Port), e.Channel()
		at, ok := index[[2]int{port, ch}]
		if !ok {
			continue
		}
		profile := parts[at].Profile
		reference := headroomDB
		if profile.Sampler.Velocity != nil {
			reference -= profile.Sampler.Velocity.At(mf)
		}
		h := &out[at]
		h.take(e, profile)
		if level, sounds := meter.Level(port, ch); sounds {
			if own, ok := meter.KeyLevel(port, ch, e.Msg[1]); ok && e.IsNoteOn() {
				level = own
			}
			h.level = changed(h.level, e.At, level+reference)
			h.vibrato = changed(h.vibrato, e.At, meter.Vibrato(port, ch))
		} else if n := len(h.level); n > 0 && !math.IsNaN(h.level[n-1].Value) {
			h.level = changed(h.level, e.At, math.NaN())
			h.vibrato = changed(h.vibrato, e.At, 0)
		}
		for key, open := range h.held {
			level, _ := meter.KeyLevel(port, ch, key)
			for _, n := range open {
				h.tones[n].follow(e.At, level+reference, meter.Vibrato(port, ch))
			}
		}
	}
	return out
}

// take hears one message.
func (h *heard) take(e *expr.Event, profile *expr.Profile) {
	const damper = 64
	bright := &profile.Sampler.Brightness
	switch control := e.Msg[0]&0xF0 == 0xB0; {
	case e.IsNoteOn():
		for _, open := range h.held {
			for _, n := range open {
				h.tones[n].apart(e.At)
			}
		}
		h.held[e.Msg[1]] = append(h.held[e.Msg[1]], len(h.tones))
		h.tones = append(h.tones, tone{key: e.Msg[1], on: e.At, off: e.At})
	case e.IsNoteOff() && len(h.held[e.Msg[1]]) > 0:
		h.tones[h.held[e.Msg[1]][0]].off = e.At
		h.held[e.Msg[1]] = h.held[e.Msg[1]][1:]
	case control && e.Msg[1] == damper:
		h.pedal = changed(h.pedal, e.At, float64(e.Msg[2])/127)
	case control && bright.Has() && profile.Sampler.BrightPerDB != 0 && int(e.Msg[1]) == bright.Number:
		h.brightness = append(h.brightness, bright.Response.At(float64(e.Msg[2])))
	}
}

// follow has a tone be at a level, with a depth of vibrato.
func (t *tone) follow(at time.Duration, level, vibrato float64) {
	if len(t.course) == 0 {
		t.level = level
	}
	if t.alone == 0 {
		t.course = changed(t.course, at-t.on, level)
	}
	t.vibrato = math.Max(t.vibrato, vibrato)
}

// twin is one note in two performances.
type twin struct{ before, after *tone }

// match pairs the notes of two performances of a part: the first of a key with the first,
// and so on. What only one of them has is left out.
func match(before, after []tone) []twin {
	waiting := map[byte][]*tone{}
	for i := range after {
		t := &after[i]
		waiting[t.key] = append(waiting[t.key], t)
	}
	var twins []twin
	for i := range before {
		t := &before[i]
		if w := waiting[t.key]; len(w) > 0 {
			twins = append(twins, twin{t, w[0]})
			waiting[t.key] = w[1:]
		}
	}
	return twins
}
