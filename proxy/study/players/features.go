package players

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat"
)

// Features are what of a take is compared. What a take does not have is NaN.
type Features struct {
	Level  []float64 // velocity, by note
	Top    []float64 // velocity of the highest note, by moment
	Tempo  []float64 // log of the duration of each beat, about its mean
	Length []float64 // log (sounding / written length), by note
	Pedal  []bool    // down, by quarter of a beat
	Sizes  Sizes
}

// Sizes are how much a player does.
type Sizes struct {
	LevelSD      float64 // of velocities
	TempoSD      float64 // of log beat durations
	TopOver      float64 // highest note of a chord over the mean of its others, velocities
	Lead         float64 // highest note of a chord ahead of the mean of its others, ms
	LeadSD       float64 // ms; of rolled chords for the most part, unlike what follows
	LeadMedian   float64 // ms
	LeadQuartile float64 // of the lead, ms: the deviation of a normal distribution with its quartiles
	ChordSpread  float64 // from the first to the last note of a chord, median, ms
	PedalDown    float64 // share of the time
}

// Plus adds a share of other sizes.
func (s Sizes) Plus(o Sizes, share float64) Sizes {
	return Sizes{
		s.LevelSD + share*o.LevelSD, s.TempoSD + share*o.TempoSD, s.TopOver + share*o.TopOver,
		s.Lead + share*o.Lead, s.LeadSD + share*o.LeadSD, s.LeadMedian + share*o.LeadMedian,
		s.LeadQuartile + share*o.LeadQuartile, s.ChordSpread + share*o.ChordSpread, s.PedalDown + share*o.PedalDown,
	}
}

// list is the sizes in the order of [SizeNames].
func (s *Sizes) list() [9]float64 {
	return [9]float64{
		s.LevelSD, s.TempoSD, s.TopOver, s.Lead, s.LeadSD, s.LeadMedian, s.LeadQuartile, s.ChordSpread, s.PedalDown,
	}
}

// pedalDown is the value from which a damper pedal counts as down, and how long after a place
// it is asked for, as a foot follows the hands. After the published yardstick's own choice.
const (
	pedalDown  = 40
	pedalDelay = 0.03 // seconds

)

// PedalGrid is how often it is asked for, beats.
const PedalGrid = 0.25

// moment is the notes of a piece that begin together.
type moment struct {
	onset       float64
	first, last int // of Piece.Notes; the last is the highest
}

func (p *Piece) moments() (ms []moment) {
	for i, n := range p.Notes {
		if len(ms) == 0 || ms[len(ms)-1].onset != n.Onset {
			ms = append(ms, moment{n.Onset, i, i})
		}
		ms[len(ms)-1].last = i
	}
	return ms
}

// Features of a take of the piece.
func (p *Piece) Features(t *Take) *Features {
	f := &Features{}
	on, off := make([]float64, len(p.Notes)), make([]float64, len(p.Notes))
	f.Level, f.Length = make([]float64, len(p.Notes)), make([]float64, len(p.Notes))
	for i, n := range p.Notes {
		s, ok := t.Notes[n.ID]
		if !ok {
			s = Sound{math.NaN(), math.NaN(), math.NaN()}
		}
		on[i], off[i], f.Level[i] = s.On, s.Off, s.Velocity
	}
	ms := p.moments()
	var x, y []float64 // beats and seconds of the moments that were played
	for _, m := range ms {
		if at := median(known(on[m.first : m.last+1])); !math.IsNaN(at) {
			x, y = append(x, m.onset), append(y, at)
		}
	}
	at := func(beat float64) float64 { return interpolate(beat, x, y) }
	first, last := ms[0].onset, ms[len(ms)-1].onset
	f.Tempo = beatsFrom(first, last, at)
	f.Sizes.TempoSD = deviation(f.Tempo)
	m := mean(f.Tempo)
	for i := range f.Tempo {
		f.Tempo[i] -= m
	}
	for i, n := range p.Notes {
		span := at(n.End) - at(n.Onset)
		f.Length[i] = math.Log(atLeast(off[i]-on[i]) / atLeast(span))
	}
	f.Sizes.LevelSD = deviation(known(f.Level))
	p.tops(f, ms, on)
	for b := first; b < last; b += PedalGrid {
		down := pressed(t.Pedal, at(b)+pedalDelay)
		f.Pedal = append(f.Pedal, down)
		if down {
			f.Sizes.PedalDown++
		}
	}
	f.Sizes.PedalDown /= float64(len(f.Pedal))
	return f
}

// tops fills in what the highest notes do.
func (p *Piece) tops(f *Features, ms []moment, on []float64) {
	var over, lead, spread []float64
	for _, m := range ms {
		top := m.last
		for top > m.first && p.Notes[top-1].Key == p.Notes[m.last].Key {
			top--
		}
		f.Top = append(f.Top, f.Level[top])
		var levels, onsets []float64
		for i := m.first; i <= m.last; i++ {
			if i != top && !math.IsNaN(on[i]) {
				levels, onsets = append(levels, f.Level[i]), append(onsets, on[i])
			}
		}
		if len(levels) > 0 && !math.IsNaN(on[top]) {
			over = append(over, f.Level[top]-mean(levels))
			lead = append(lead, 1000*(mean(onsets)-on[top]))
			onsets = append(onsets, on[top])
			spread = append(spread, 1000*(slices.Max(onsets)-slices.Min(onsets)))
		}
	}
	f.Sizes.TopOver, f.Sizes.Lead, f.Sizes.LeadSD = mean(over), mean(lead), deviation(lead)
	f.Sizes.LeadMedian, f.Sizes.ChordSpread = median(lead), median(spread)
	if len(lead) > 0 {
		slices.Sort(lead)
		f.Sizes.LeadQuartile = (lead[3*len(lead)/4] - lead[len(lead)/4]) / quartilesApart
	}
}

// quartilesApart is how many standard deviations the quartiles of a normal distribution are apart.
const quartilesApart = 1.349

// beatsFrom is the log duration of each whole beat.
func beatsFrom(first, last float64, at func(float64) float64) (tempo []float64) {
	for b := math.Ceil(first); b+1 <= math.Floor(last)+1e-9; b++ {
		tempo = append(tempo, math.Log(atLeast(at(b+1)-at(b))))
	}
	return tempo
}

func atLeast(seconds float64) float64 { return max(seconds, 1e-3) }

// pressed reports whether the pedal is down at a time.
func pressed(pedal []Pedal, at float64) bool {
	i := sort.Search(len(pedal), func(i int) bool { return pedal[i].At > at })
	return i > 0 && pedal[i-1].Value >= pedalDown
}

// interpolate is the value at x of the line through the points, level beyond its ends.
func interpolate(x float64, xs, ys []float64) float64 {
	n := len(xs)
	switch {
	case n == 0:
		return math.NaN()
	case x <= xs[0]:
		return ys[0]
	case x >= xs[n-1]:
		return ys[n-1]
	}
	i := sort.SearchFloat64s(xs, x)
	return ys[i-1] + (ys[i]-ys[i-1])*(x-xs[i-1])/(xs[i]-xs[i-1])
}

// known are the values that are not NaN.
func known(values []float64) (k []float64) {
	for _, v := range values {
		if !math.IsNaN(v) {
			k = append(k, v)
		}
	}
	return k
}

func mean(values []float64) float64 { return stat.Mean(values, nil) }

// deviation is the standard deviation about the mean of all.
func deviation(values []float64) float64 { return stat.PopStdDev(values, nil) }

func median(values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(values))
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}
