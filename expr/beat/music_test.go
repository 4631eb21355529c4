package beat

import (
	"math/rand/v2"
	"slices"
	"time"
)

// A made-up piece, exactly quantised as notation is played back.
type piece struct {
	onsets []struckNote
	metre  metreOf
	bpm    float64
	style  string
	pickup float64 // beats before the first full bar
}

type struckNote struct {
	at            float64 // in beats; 0 is the first downbeat
	key, velocity int
}

// metreOf is a metre by the beats of its bar and the parts of a beat.
type metreOf struct{ beats, parted int }

func (m metreOf) String() string {
	if m.parted == 3 {
		return []string{2: "6/8", 3: "9/8", 4: "12/8"}[m.beats]
	}
	return []string{2: "2/4", 3: "3/4", 4: "4/4"}[m.beats]
}

// Rhythms of one or two beats, as starts in beats. A negative last entry is the length of a
// figure of two beats.
var (
	plain      = [][]float64{{0}, {0}, {0, .5}, {0, .5}, {0, .25, .5, .75}, {0, .5, .75}, {0, .25, .5}, {0, .75}}
	long       = [][]float64{{0}, {0}, {0, 1}, {0, 1.5}, {0, 1, 1.5}, {0, .5, 1, 1.5}}
	syncopated = [][]float64{{0, .5, 1.5}, {.5, 1.5}, {0, .5, 1, 1.5}, {0, .75, 1.5}, {.5, 1, 1.5}, {0, 1, 1.5}}
	tripletted = [][]float64{{0, 1. / 3, 2. / 3}, {0, 1. / 3, 2. / 3}, {0}, {0, .5}, {0, 2. / 3}}
	compound   = [][]float64{{0}, {0, 1. / 3, 2. / 3}, {0, 2. / 3}, {0, 2. / 3}, {0, 1. / 3, 2. / 3}, {0, .5, 2. / 3}}
)

// figures are rhythms, with their length in beats.
func figures(style string, parted int) ([][]float64, float64) {
	switch {
	case parted == 3:
		return compound, 1
	case style == "syncopated":
		return syncopated, 2
	case style == "slow":
		return long, 2
	case style == "triplets":
		return tripletted, 1
	}
	return plain, 1
}

// styles of the made-up music: what the tune's rhythm is, and what goes with it.
var styles = []string{"tune", "chords", "oompah", "arpeggio", "syncopated", "slow", "triplets", "dense", "walking", "two voices"}

// compose makes a piece of so many seconds.
func compose(rng *rand.Rand, style string, m metreOf, bpm, seconds float64) *piece {
	p := &piece{metre: m, bpm: bpm, style: style}
	bars := int(seconds*bpm/60/float64(m.beats)) + 2
	cells, length := figures(style, m.parted)
	bar := func() (starts []float64) {
		for b := 0.0; b < float64(m.beats); b += length {
			for _, s := range cells[rng.IntN(len(cells))] {
				if b+s < float64(m.beats) {
					starts = append(starts, b+s)
				}
			}
		}
		return starts
	}
	motifs := [][]float64{bar(), bar(), bar()}
	roots := []int{0, 5, 7, 9, 2, 4}
	key := 48 + rng.IntN(12)
	tune := key + 12 + rng.IntN(12)
	if rng.IntN(3) == 0 {
		p.pickup = []float64{.5, 1, 1}[rng.IntN(3)]
		if m.parted == 3 {
			p.pickup = 1. / 3
		}
		p.add(-p.pickup, tune+7, 80)
	}
	for n := range bars {
		at := float64(n * m.beats)
		starts := motifs[[]int{0, 1, 0, 2}[n%4]]
		if rng.IntN(4) == 0 {
			starts = bar()
		}
		root := key + roots[rng.IntN(len(roots))]
		if n%8 == 7 {
			root, starts = key, []float64{0}
		}
		chord := []int{root, root + 4, root + 7}
		velocity := 80 + 10*(n/8%2)
		for _, s := range starts {
			if s == float64(int(s)) && rng.IntN(3) > 0 {
				tune = 12 + chord[rng.IntN(3)] + 12*rng.IntN(2)
			} else {
				tune += rng.IntN(5) - 2
			}
			p.add(at+s, tune, velocity)
		}
		if style == "two voices" {
			low := root - 12
			for _, s := range bar() {
				p.add(at+s, low, velocity)
				low = root - 12 + []int{0, 4, 7, 12, 2, 5}[rng.IntN(6)]
			}
		}
		for b := range m.beats {
			p.accompany(style, at, b, root, chord, velocity)
		}
	}
	slices.SortStableFunc(p.onsets, func(a, b struckNote) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	return p
}

func (p *piece) add(at float64, key, velocity int) {
	p.onsets = append(p.onsets, struckNote{at, key, velocity})
}

// accompany adds what goes with a beat of the tune.
func (p *piece) accompany(style string, bar float64, beat, root int, chord []int, velocity int) {
	at := bar + float64(beat)
	switch style {
	case "chords", "syncopated", "slow":
		if beat == 0 || p.metre.beats == 4 && beat == 2 {
			for _, k := range chord {
				p.add(at, k, velocity)
			}
		}
	case "oompah":
		if beat == 0 || p.metre.beats == 4 && beat == 2 {
			p.add(at, root-12, velocity)
		} else {
			for _, k := range chord {
				p.add(at, k, velocity)
			}
		}
	case "walking":
		p.add(at, root-12+[]int{0, 4, 7, 9}[beat], velocity)
	case "arpeggio":
		for i := range p.metre.parted {
			p.add(at+float64(i)/float64(p.metre.parted), chord[(beat*p.metre.parted+i)%3], velocity)
		}
	case "dense":
		n := 2 * p.metre.parted
		for i := range n {
			p.add(at+float64(i)/float64(n), chord[i%3]+12*(i&1), velocity)
		}
		if beat == 0 {
			p.add(at, root-12, velocity)
		}
	}
}

// exact is how far a sequencer's onsets stray, in seconds either way.
const exact = 0.0005

// play gives the onsets to a tracker, strayed by so many seconds either way, and
// tells the hearing of each.
func (p *piece) play(rng *rand.Rand, stray float64, t *Tracker, hear func(note struckNote, at time.Duration, e Estimate)) {
	for _, n := range p.onsets {
		s := (n.at+p.pickup)*60/p.bpm + stray*(2*rng.Float64()-1)
		at := time.Duration(max(0, s) * float64(time.Second))
		t.Onset(at, n.key, n.velocity)
		hear(n, at, t.Beat(at))
	}
}
