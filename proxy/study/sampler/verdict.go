package sampler

import (
	"context"
	"fmt"
	"math"
	"time"

	"gonum.org/v1/gonum/stat"

	"swellbox/expr/acoustics"
	"swellbox/expr/meter"
	"swellbox/profiles"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/loudness"
)

// Verdict is what a recording of a [Trial] has shown. Its JSON form is an interface that scripts rely on.
type Verdict struct {
	Raw      SideVerdict   `json:"raw"`
	Shaped   SideVerdict   `json:"shaped"`
	LouderLU float64       `json:"raw_louder_lu"` // ITU-R BS.1770, over all that was played
	Parts    []PartVerdict `json:"parts"`
	Remarks  []string      `json:"remarks,omitempty"`
}

// SideVerdict is what one side of a trial has shown over all parts.
type SideVerdict struct {
	ErrorDB  float64 `json:"error_db"`    // of all notes of all parts, RMS, beside what all have in common
	PartsDB  float64 `json:"parts_db"`    // of the parts' means: what a fader for each would put right
	WithinDB float64 `json:"within_db"`   // of what is left after that: dynamics and keys
	OnsetMS  float64 `json:"onset_sd_ms"` // spread over parts of how late they are heard: standard deviation
	Loudness float64 `json:"loudness_lkfs"`
}

// PartVerdict is one part of a trial. Errors are against the balance model, as a meter weighs that is
// weighted as ITU-R BS.1770 has it.
type PartVerdict struct {
	Name     string   `json:"part"`
	RawDB    float64  `json:"raw_db"`    // mean error
	ShapedDB float64  `json:"shaped_db"` // mean error
	RawMS    float64  `json:"raw_late_ms"`
	ShapedMS float64  `json:"shaped_late_ms"`
	Asked    *Vibrato `json:"vibrato_asked,omitempty"` // nil where none was
	Got      *Vibrato `json:"vibrato_got,omitempty"`   // nil where none can be measured
	Problems []string `json:"problems,omitempty"`

	errors [2][]float64 // by side, of the notes
	late   [2]float64   // seconds
	timed  [2]bool
}

// leastTimed is how many of a part's notes must be heard to begin for it to be told how late it is.
const leastTimed = 3

// Judge measures a recording of a trial; shaped is what was played as its shaped side, and cast who
// played it. The error says why it cannot be measured.
func (t *Trial) Judge(ctx context.Context, r *Recording, shaped *offline.Timeline, e profiles.Ensemble) (*Verdict, error) {
	if _, err := r.usable(); err != nil {
		return nil, err
	}
	c, err := t.plan.align(r)
	if err != nil {
		return nil, err
	}
	v := &Verdict{Parts: make([]PartVerdict, len(t.plan.Subjects))}
	asked := t.asked(shaped)
	noise := r.energy(max(c.frame(0), 0)+r.Rate/10, c.frame(lead-50*time.Millisecond))
	j := judge{trial: t, rec: r, clock: &c, noise: noise, colours: coloursOf(Making{Weight: Ear, Ensemble: e})}
	for i := range v.Parts { // one after the other: the model is not for several at once
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		v.Parts[i] = j.part(i, asked[i])
	}
	if err := v.settle(); err != nil {
		return nil, err
	}
	for side, from := range []time.Duration{t.raw, t.shaped} {
		l, err := r.loudness(c.frame(from), c.frame(from+t.length))
		if err != nil {
			return nil, err
		}
		v.side(side).Loudness = l
	}
	v.LouderLU = v.Raw.Loudness - v.Shaped.Loudness
	return v, nil
}

func (v *Verdict) side(i int) *SideVerdict { return [...]*SideVerdict{&v.Raw, &v.Shaped}[i] }

// loudness is that of a stretch, LKFS.
func (r *Recording) loudness(from, to int) (float64, error) {
	from, to = r.clip(from), r.clip(to)
	left := r.Channels[0][from:to]
	right := make([]float32, len(left))
	if len(r.Channels) > 1 {
		right = r.Channels[1][from:to]
	}
	l, err := loudness.Measure(left, right, r.Rate)
	if err != nil {
		return 0, err
	}
	return l.Integrated, nil
}

// judge measures the parts of a trial.
type judge struct {
	trial   *Trial
	rec     *Recording
	clock   *clock
	noise   energies
	colours *colours
}

func (j *judge) part(i int, asked *Vibrato) PartVerdict {
	p := PartVerdict{Name: j.trial.plan.Subjects[i].Name, Asked: asked}
	var late [2][]float64
	for k := range j.trial.plan.notes {
		n := &j.trial.plan.notes[k]
		switch side := n.value; {
		case n.subject != i:
		case n.aim == ofMark:
			e := j.rec.energy(j.clock.frame(n.at), j.clock.frame(n.at+n.length))
			if decibels(e[Ear])-decibels(j.noise[Ear]) >= leastOver {
				p.errors[side] = append(p.errors[side], decibels(e[Ear]-j.noise[Ear])-j.colours.aimDB(n, &j.trial.plan.Subjects[i]))
			}
			if s, ok := j.rec.heard(j.clock, n); ok {
				late[side] = append(late[side], s)
			}
		case n.aim == ofHeld && side == 1 && asked != nil:
			if got := vibrato(j.rec.course(j.clock, n, n.length/2, n.length)); got.sure {
				p.Got = &Vibrato{got.cents, got.hz}
			} else {
				p.Problems = append(p.Problems, "no vibrato can be measured in its held note")
			}
		}
	}
	for side := range late {
		p.timed[side] = len(late[side]) >= leastTimed
		p.late[side] = median(late[side])
	}
	if len(p.errors[0]) == 0 || len(p.errors[1]) == 0 {
		p.Problems = append(p.Problems, "it is not heard over the noise")
	}
	return p
}

// aimDB is the level at which the model has a note, weighed, beside a constant.
func (c *colours) aimDB(n *note, s *Subject) float64 {
	written := s.Profile.Dynamics.Reading.At(float64(n.velocity))
	if s.Profile.Instrument == nil || s.Profile.Amounts.Of("orchestra_weight") == 0 {
		return written
	}
	src := c.source(s, float64(n.key))
	src.DynamicDB = written
	return c.scene.TargetDB(&src) + acoustics.PlayersDB(s.Players) + c.scene.OverStrengthDB(&src, c.weight)
}

// settle tells what the parts are among each other.
func (v *Verdict) settle() error {
	for side := range 2 {
		var all, means, within, late []float64
		for i := range v.Parts {
			p := &v.Parts[i]
			if len(p.errors[0]) == 0 || len(p.errors[1]) == 0 {
				continue
			}
			all = append(all, p.errors[side]...)
			mean := stat.Mean(p.errors[side], nil)
			means = append(means, mean)
			for _, e := range p.errors[side] {
				within = append(within, e-mean)
			}
			if p.timed[side] {
				late = append(late, 1000*p.late[side])
			}
		}
		if len(all) == 0 {
			return errSilent
		}
		common := stat.Mean(all, nil)
		s := v.side(side)
		s.ErrorDB, s.PartsDB, s.WithinDB = spread(all), spread(means), spread(within)
		s.OnsetMS = spread(late)
		for i := range v.Parts {
			p := &v.Parts[i]
			if len(p.errors[side]) == 0 {
				continue
			}
			off, ms := stat.Mean(p.errors[side], nil)-common, 1000*p.late[side]
			if side == 0 {
				p.RawDB, p.RawMS = off, ms
			} else {
				p.ShapedDB, p.ShapedMS = off, ms
			}
		}
	}
	return nil
}

// spread is the root of the mean square beside the mean.
func spread(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	return stat.PopStdDev(x, nil)
}

// asked is what vibrato the shaped side asks of each part's held note, nil where none: by its bend, or
// by its depth controller, at the rate at which players have it.
func (t *Trial) asked(shaped *offline.Timeline) []*Vibrato {
	subjects := t.plan.Subjects
	m := meter.New(shaped.Ports)
	for i := range subjects {
		m.Seat(subjects[i].Port, subjects[i].Channel, subjects[i].Profile)
	}
	bends, depths := make([][]float64, len(subjects)), make([][]float64, len(subjects))
	next := 0
	for _, n := range t.notes {
		if n.aim != ofHeld {
			continue
		}
		s := &subjects[n.subject]
		for at := n.at + n.length/2; at < n.at+n.length; at += pitchStep {
			for ; next < len(shaped.Events) && shaped.Events[next].At <= at; next++ {
				m.Take(&shaped.Events[next])
			}
			bends[n.subject] = append(bends[n.subject], m.Bend(s.Port, s.Channel))
			depths[n.subject] = append(depths[n.subject], m.Vibrato(s.Port, s.Channel))
		}
	}
	out := make([]*Vibrato, len(subjects))
	for i := range subjects {
		p := subjects[i].Profile
		own := 0.0 // which the engine asks less by
		if m := p.Sampler.Measured; m != nil {
			own = m.VibratoCents
		}
		if swing := vibrato(bends[i]); p.Sampler.BendVibrato && swing.cents > 0 {
			out[i] = &Vibrato{own + swing.cents, swing.hz}
		} else if depth := median(depths[i]); depth > 0 {
			out[i] = &Vibrato{own + depth, (p.Vibrato.RateLow + p.Vibrato.RateHigh) / 2}
		}
	}
	return out
}

// Row is a part of a verdict, as a table has it.
func (p *PartVerdict) Row() []string {
	if len(p.errors[0]) == 0 || len(p.errors[1]) == 0 {
		return []string{p.Name, "not heard", "", "", "", ""}
	}
	late := "not known"
	if p.timed[1] {
		late = fmt.Sprintf("%.0f ms", p.ShapedMS)
	}
	return []string{p.Name, fmt.Sprintf("%+.1f dB", p.RawDB), fmt.Sprintf("%+.1f dB", p.ShapedDB), late, p.Asked.String(), p.Got.String()}
}

// String is a vibrato in words.
func (v *Vibrato) String() string {
	if v == nil || v.Cents == 0 {
		return "none"
	}
	return fmt.Sprintf("%.0f cents, %.1f Hz", v.Cents, v.Hz)
}

// Sentences tell the whole of a verdict. matchedDB is by how much raw is lowered where the two sides
// are compared at one level.
func (v *Verdict) Sentences(matchedDB float64) []string {
	louder := "louder"
	if v.LouderLU < 0 {
		louder = "softer"
	}
	return []string{
		fmt.Sprintf("Balance: the notes stand %.1f dB (RMS) off from the model raw, and %.1f dB shaped; of that, parts as a whole %.1f and %.1f dB, notes within their part %.1f and %.1f dB.",
			v.Raw.ErrorDB, v.Shaped.ErrorDB, v.Raw.PartsDB, v.Shaped.PartsDB, v.Raw.WithinDB, v.Shaped.WithinDB),
		fmt.Sprintf("Time: between parts, notes are heard %.0f ms apart raw, and %.0f ms shaped with a lookahead (standard deviation).", v.Raw.OnsetMS, v.Shaped.OnsetMS),
		fmt.Sprintf("Loudness: raw is %.1f LU %s than shaped; compared at one level, it is lowered by %.1f dB, which leaves %+.1f LU.", math.Abs(v.LouderLU), louder, matchedDB, v.LouderLU-matchedDB),
	}
}
