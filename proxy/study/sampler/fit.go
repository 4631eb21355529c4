package sampler

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync"
	"time"
)

// Step is a response at one value, dB against what it is held to.
type Step struct {
	Value int     `json:"value"`
	DB    float64 `json:"db"`
}

// PartFit is what was measured of one part. What could not be is told in Problems.
type PartFit struct {
	Subject *Subject `json:"-"`
	Name    string   `json:"part"`

	LevelDB  [weights]float64 `json:"level_db"`   // by [Weight]: at mf on its middle key, dB re full scale
	Keys     []KeyFit         `json:"keys"`       // its keys against that
	Velocity []Step           `json:"velocity"`   // against mf, rising
	Dynamics []Step           `json:"dynamics"`   // of the controller of the level, against its full value, rising
	VolumeDB float64          `json:"volume_db"`  // what channel volume 64 takes from 100
	BothDB   float64          `json:"both_db"`    // by how much velocity and controller together miss their sum
	AttackMS float64          `json:"attack_ms"`  // by how much later than the quickest part it is heard
	ShortDB  float64          `json:"short_db"`   // what a tenth of a second is softer
	LongDB   float64          `json:"long_db"`    // what a note of a beat or two is louder than one of a probe
	TailDBs  float64          `json:"tail_db_s"`  // how fast it dies away after its end, dB a second; 0 if unknown
	Own      Vibrato          `json:"own"`        // vibrato that it has by itself
	Depth    []Vibrato        `json:"depth"`      // what controller 1 makes of it at 64 and 127
	BendST   float64          `json:"bend"`       // how far a full bend goes, semitones; 0 where it cannot be measured
	Bright   float64          `json:"brightness"` // what the brightness controller changes between its ends, dB; 0 if it was not tried
	NoiseDB  float64          `json:"noise_db"`   // how far its softest note stands over the noise
	Problems []string         `json:"problems,omitempty"`

	late        float64 // seconds
	triedBright bool
}

// KeyFit is the level of a key, dB against the middle one.
type KeyFit struct {
	Key int              `json:"key"`
	DB  [weights]float64 `json:"db"`
}

// Vibrato is one as it was measured.
type Vibrato struct {
	Cents float64 `json:"cents"` // peak to peak
	Hz    float64 `json:"hz"`
}

// Result is what a recording has shown.
type Result struct {
	Parts    []PartFit `json:"parts"`
	DriftPPM float64   `json:"drift_ppm"`
	OffsetS  float64   `json:"offset_s"` // of the probe's beginning in the recording
	Rate     int       `json:"rate_hz"`
	NoiseDB  float64   `json:"noise_db"` // of the silence, dB re full scale
	Peak     float64   `json:"peak"`
	Remarks  []string  `json:"remarks,omitempty"` // of the recording as a whole

	noise energies
}

// Ours: mostClipped is the share of loud samples at the greatest value up to which a level is still
// right within half a decibel, and leastOver how far a note must stand over the noise to be measured.
const (
	mostClipped = 0.02
	leastOver   = 3 // dB
)

// Fit measures a recording of a probe. The error says why it cannot be: it is clipped, too
// noisy, incomplete, or of something else.
func Fit(ctx context.Context, p *Plan, r *Recording) (*Result, error) {
	peak, err := r.usable()
	if err != nil {
		return nil, err
	}
	c, err := p.align(r)
	if err != nil {
		return nil, err
	}
	res := &Result{Rate: r.Rate, OffsetS: c.offset / float64(r.Rate), DriftPPM: (c.rate/float64(r.Rate) - 1) * 1e6, Peak: peak}
	if dead := r.dead(); len(dead) > 0 {
		res.Remarks = append(res.Remarks, fmt.Sprintf("channel %d of the recording is silent; the others are measured", dead[0]))
	}
	end := p.notes[len(p.notes)-1]
	res.noise = r.energy(max(c.frame(0), 0)+r.Rate/10, c.frame(lead-50*time.Millisecond))
	if tail := r.energy(c.frame(end.at+end.length+time.Second), c.frame(p.Length)); tail[Ear] > 0 && (tail[Ear] < res.noise[Ear] || res.noise[Ear] == 0) {
		res.noise = tail
	}
	res.NoiseDB = decibels(res.noise[Flat])
	res.Parts = make([]PartFit, len(p.Subjects))
	m := measurer{plan: p, rec: r, clock: &c, noise: res.noise}
	if err := each(ctx, len(res.Parts), func(i int) { res.Parts[i] = m.part(i) }); err != nil {
		return nil, err
	}
	return res, res.settle()
}

var errSilent = errors.New("the recording is silent; see that the recorder listens to the sampler")

// usable refuses a recording that is clipped or silent, and tells its greatest value.
func (r *Recording) usable() (peak float64, err error) {
	share, peak := r.clipped()
	if share > mostClipped {
		return peak, fmt.Errorf("the recording is clipped: %.0f %% of its loud samples stand at its greatest value; record again with less gain", 100*share)
	}
	if peak < 1e-4 {
		return peak, errSilent
	}
	return peak, nil
}

// each does something n times, on all processors.
func each(ctx context.Context, n int, do func(i int)) error {
	jobs := make(chan int)
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		all.Go(func() {
			for i := range jobs {
				do(i)
			}
		})
	}
	for i := range n {
		if ctx.Err() != nil {
			break
		}
		jobs <- i
	}
	close(jobs)
	all.Wait()
	return ctx.Err()
}

// settle tells what the parts are among each other, and refuses what shows too little.
func (res *Result) settle() error {
	quickest, silent := math.Inf(1), 0
	for i := range res.Parts {
		f := &res.Parts[i]
		if len(f.Velocity) == 0 {
			silent++
			continue
		}
		quickest = min(quickest, f.late)
	}
	if 2*silent > len(res.Parts) {
		return fmt.Errorf("%d of %d parts are not heard over the noise; record with more gain, or see that the sampler plays them", silent, len(res.Parts))
	}
	for i := range res.Parts {
		if f := &res.Parts[i]; len(f.Velocity) > 0 {
			f.AttackMS = max(1000*(f.late-quickest), 0)
		}
	}
	return nil
}

// measurer measures the parts of a recording.
type measurer struct {
	plan  *Plan
	rec   *Recording
	clock *clock
	noise energies
}

// heardNote is a note with its level.
type heardNote struct {
	note
	energies
	over float64 // dB over the noise
}

func (m *measurer) part(i int) PartFit {
	s := &m.plan.Subjects[i]
	f := PartFit{Subject: s, Name: s.Name}
	f.TailDBs = m.tail(i)
	m.late(i, &f)
	notes := m.notes(i, &f)
	level := func(w Weight, what aim, value func(n *heardNote) bool) (db float64, ok bool) {
		for j := range notes {
			if n := &notes[j]; n.aim == what && n.over >= leastOver && value(n) {
				return decibels(n.energies[w]), true
			}
		}
		return 0, false
	}
	atMF := func(n *heardNote) bool { return n.velocity == mf }
	for w := range weights {
		db, ok := level(w, ofVelocity, atMF)
		if !ok {
			f.Problems = append(f.Problems, "it is not heard over the noise: nothing of it was measured")
			return f
		}
		f.LevelDB[w] = db
	}
	f.NoiseDB = math.Inf(1)
	var bright []float64 // level and colour at one end, then at the other
	for j := range notes {
		n := &notes[j]
		f.NoiseDB = min(f.NoiseDB, n.over)
		db := decibels(n.energies[Ear]) - f.LevelDB[Ear]
		switch {
		case n.over < leastOver:
		case n.aim == ofVelocity:
			f.Velocity = append(f.Velocity, Step{int(n.velocity), db})
		case n.aim == ofDynamics:
			f.Dynamics = append(f.Dynamics, Step{n.value, db})
		case n.aim == ofVolume:
			f.VolumeDB = db
		case n.aim == ofKey:
			k := KeyFit{Key: int(n.key)}
			for w := range weights {
				k.DB[w] = decibels(n.energies[w])
			}
			f.Keys = append(f.Keys, k)
		case n.aim == ofBright:
			bright = append(bright, decibels(n.energies[Ear]), decibels(n.energies[Ear])-decibels(n.energies[Flat]))
		case n.aim == ofShort:
			f.ShortDB = db
		}
	}
	if len(bright) == 4 {
		f.Bright = max(math.Abs(bright[2]-bright[0]), math.Abs(bright[3]-bright[1]))
		f.triedBright = true
	}
	f.fromMiddle()
	f.Dynamics = append(f.Dynamics, Step{127, 0})
	rising(f.Velocity)
	rising(f.Dynamics)
	m.both(&f, notes)
	if s.sustains() {
		m.pitch(i, &f)
		m.long(i, &f)
	}
	f.judge()
	return f
}

// long has the level of a part whose tone is held be that of a note as long as music has them: what is
// bowed or blown rises for longer than a note of a probe lasts, and another dies away.
func (m *measurer) long(i int, f *PartFit) {
	for j := range m.plan.notes {
		n := &m.plan.notes[j]
		if n.subject != i || n.aim != ofVibrato {
			continue
		}
		straight := m.rec.energy(m.clock.frame(n.at), m.clock.frame(n.at+n.length/3))
		f.LongDB = decibels(straight[Ear]) - f.LevelDB[Ear]
		for w := range straight {
			f.LevelDB[w] = decibels(max(straight[w]-m.noise[w], 1e-16))
		}
	}
}

// both finds by how much the velocity and the controller together miss the sum of what each does.
func (m *measurer) both(f *PartFit, notes []heardNote) {
	for j := range notes {
		n := &notes[j]
		v, okV := at(f.Velocity, int(n.velocity))
		c, okC := at(f.Dynamics, n.value)
		if n.aim == ofBoth && n.over >= leastOver && okV && okC {
			if miss := decibels(n.energies[Ear]) - f.LevelDB[Ear] - v - c; math.Abs(miss) > math.Abs(f.BothDB) {
				f.BothDB = miss
			}
		}
	}
}

// at is a response at a value that was measured.
func at(steps []Step, value int) (db float64, ok bool) {
	for _, s := range steps {
		if s.Value == value {
			return s.DB, true
		}
	}
	return 0, false
}

// late finds how late the part is heard: in the middle of its notes that are mp or louder.
func (m *measurer) late(i int, f *PartFit) {
	var all []float64
	for j := range m.plan.notes {
		n := &m.plan.notes[j]
		if n.subject != i || n.aim != ofVelocity || n.velocity < 64 {
			continue
		}
		if s, ok := m.rec.heard(m.clock, n); ok {
			all = append(all, s)
		}
	}
	if len(all) < 3 {
		f.Problems = append(f.Problems, "its beginnings do not stand out, so it is not known how late it is heard")
		return
	}
	f.late = median(all)
}

// pitch measures the vibrato and the bend.
func (m *measurer) pitch(i int, f *PartFit) {
	const arrived = 150 * time.Millisecond // what bends and controllers take to arrive
	for j := range m.plan.notes {
		n := &m.plan.notes[j]
		if n.subject != i || n.aim != ofVibrato && n.aim != ofBend {
			continue
		}
		third := n.length / 3
		if n.aim == ofBend {
			var at [3]float64
			for k := range at {
				at[k] = m.rec.bent(m.clock, n, time.Duration(k)*third+third/3, time.Duration(k+1)*third)
			}
			f.BendST = bend(at[0], at[1], at[2])
			continue
		}
		var thirds [3][]float64
		for k := range thirds {
			thirds[k] = m.rec.course(m.clock, n, time.Duration(k)*third+arrived, time.Duration(k+1)*third)
		}
		own := vibrato(thirds[0])
		if own.sure {
			f.Own = Vibrato{own.cents, own.hz}
		}
		for _, cents := range thirds[1:] {
			if v := vibrato(cents); v.sure {
				f.Depth = append(f.Depth, Vibrato{v.cents, v.hz})
			} else {
				f.Depth = append(f.Depth, Vibrato{})
			}
		}
	}
}

// tail is how fast a part dies away after its last note, dB a second.
func (m *measurer) tail(i int) float64 {
	const from, step = 30 * time.Millisecond, 20 * time.Millisecond
	start, end := m.clock.frame(m.plan.to[i]), m.clock.frame(m.plan.to[i]+quick.silence)
	power := m.rec.powers(start, end, step.Seconds()*float64(m.rec.Rate), m.rec.frames(2*step))
	var sx, sy, sxx, sxy, n float64
	for j, p := range power {
		t := float64(j) * step.Seconds()
		if t < from.Seconds() || p < 4*m.noise[Flat] {
			continue
		}
		y := decibels(p)
		sx, sy, sxx, sxy, n = sx+t, sy+y, sxx+t*t, sxy+t*y, n+1
	}
	if n < 4 {
		return 0
	}
	return max(-(n*sxy-sx*sy)/(n*sxx-sx*sx), 0)
}

// settled is the share of a note by which a held tone has risen: what comes after is compared with
// other notes, as what rises slowly does not rise alike on all keys. Ours.
const settled = 0.6

// notes measures the levels of a part's notes: the mean power while a key is down, without the
// noise, and without the tail of the note before; of a held tone, once it has risen.
func (m *measurer) notes(i int, f *PartFit) []heardNote {
	var out []heardNote
	tail, from := f.TailDBs, 0.0
	if m.plan.Subjects[i].sustains() {
		from = settled
	}
	for j := range m.plan.notes {
		n := m.plan.notes[j]
		if n.subject != i || n.aim == ofSync || n.aim == ofVibrato || n.aim == ofBend {
			continue
		}
		start, to := m.clock.frame(n.at+time.Duration(from*float64(n.length))), m.clock.frame(n.at+n.length)
		h := heardNote{note: n, energies: m.rec.energy(start, to)}
		rest := 0.0
		if tail > 0 {
			before := m.rec.powers(m.clock.frame(n.at-30*time.Millisecond), m.clock.frame(n.at), float64(to-start), 2*(to-start))
			decay := tail * math.Ln10 / 10
			length := (1 - from) * n.length.Seconds()
			rest = max(before[0]-m.noise[Flat], 0) * math.Exp(-decay*from*n.length.Seconds()) * (1 - math.Exp(-decay*length)) / (decay * length)
		}
		share := min(rest/max(h.energies[Flat], 1e-20), 0.5)
		h.over = decibels(h.energies[Ear]) - decibels(m.noise[Ear])
		for w := range h.energies {
			h.energies[w] = max(h.energies[w]*(1-share)-m.noise[w], 1e-16)
		}
		out = append(out, h)
	}
	return out
}
