package following_test

import (
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/study/demo"
)

// scoreOf reads a score of a file: a part a track, as exported.
func scoreOf(t testing.TB, f *smf.File) *expr.Score {
	t.Helper()
	tempo, err := smf.NewTempoMap(f, 0)
	if err != nil {
		t.Fatal(err)
	}
	bars, err := smf.Bars(f, 0)
	if err != nil {
		t.Fatal(err)
	}
	quarter := float64(f.Division.TicksPerQuarter)
	s := &expr.Score{}
	last := int64(0)
	for i := range f.Tracks {
		track := &f.Tracks[i]
		part := uint16(len(s.Parts))
		s.Parts = append(s.Parts, track.Name())
		port, _ := track.Port()
		for _, e := range track.Events {
			if e.Data[0]&0xF0 != 0x90 || e.Data[2] == 0 {
				continue
			}
			last = max(last, e.Tick)
			s.Notes = append(s.Notes, expr.Written{
				On: tempo.At(e.Tick), Beat: float64(e.Tick) / quarter, Part: part,
				Port: uint16(port), Channel: e.Data[0] & 15, Key: e.Data[1], Velocity: e.Data[2],
			})
		}
	}
	for b := 1; bars.BarStart(b) <= last; b++ {
		beats, unit := bars.Signature(b)
		tick := bars.BarStart(b)
		s.Bars = append(s.Bars, expr.Bar{At: tempo.At(tick), Beat: float64(tick) / quarter, Number: b, Beats: beats, Unit: unit})
	}
	s.End = tempo.At(last)
	return sorted(s)
}

func sorted(s *expr.Score) *expr.Score {
	slices.SortStableFunc(s.Notes, func(a, b expr.Written) int { return a.Compare(&b) })
	return s
}

// composer writes scores by chance that are like music where it matters here: keys,
// common chords, figures that recur, lines that move by step, unisons and rests.
type composer struct {
	*rand.Rand
	score *expr.Score
	beat  float64 // seconds a quarter note
}

func newComposer(seed uint64, beat float64) *composer {
	return &composer{rand.New(rand.NewPCG(seed, 7)), &expr.Score{}, beat}
}

func (c *composer) part(name string) int {
	c.score.Parts = append(c.score.Parts, name)
	return len(c.score.Parts) - 1
}

func (c *composer) bar(beats int) (start float64) {
	if n := len(c.score.Bars); n > 0 {
		last := &c.score.Bars[n-1]
		start = last.Beat + float64(last.Beats)
	}
	c.score.Bars = append(c.score.Bars, expr.Bar{
		At: c.at(start), Beat: start, Number: len(c.score.Bars) + 1, Beats: beats, Unit: 4,
	})
	return start
}

func (c *composer) at(beat float64) time.Duration {
	return time.Duration(beat * c.beat * float64(time.Second))
}

func (c *composer) note(part int, beat, length float64, key int) {
	c.score.Notes = append(c.score.Notes, expr.Written{
		On: c.at(beat), Off: c.at(beat + length), Beat: beat, Length: length,
		Part: uint16(part), Port: uint16(part / 16), Channel: uint8(part % 16), Key: uint8(min(max(key, 12), 120)),
	})
	c.score.End = max(c.score.End, c.at(beat+length))
}

func (c *composer) done() *expr.Score { return sorted(c.score) }

var major = []int{0, 2, 4, 5, 7, 9, 11}

// step is the key of a step of a scale that begins at tonic.
func step(tonic, n int) int {
	octave := n / 7
	if n %= 7; n < 0 {
		n, octave = n+7, octave-1
	}
	return tonic + 12*octave + major[n]
}

// rhythms are ways to fill four quarters.
var rhythms = [][]float64{
	{1, 1, 1, 1}, {2, 1, 1}, {1.5, .5, 1, 1}, {.5, .5, 1, 2}, {1, .5, .5, 1, 1},
	{.5, .5, .5, .5, 1, 1}, {3, 1}, {.5, .5, .5, .5, .5, .5, .5, .5}, {1, 1, 2}, {.75, .25, 1, .75, .25, 1},
}

// line walks by step, now and then by a leap, and gives back where it ended.
func (c *composer) line(part int, beat float64, tonic, at, low, high int) int {
	for _, length := range rhythms[c.IntN(len(rhythms))] {
		if c.IntN(12) > 0 { // else a rest
			c.note(part, beat, length, step(tonic, at))
		}
		at += []int{-1, 1, -1, 1, -2, 2, 0, 3, -4}[c.IntN(9)]
		at = min(max(at, low), high)
		beat += length
	}
	return at
}

// solo is a melody alone.
func solo(seed uint64, bars int) *expr.Score {
	c := newComposer(seed, 0.5)
	p := c.part("Flute")
	tonic, at := 60, 7
	for i := range bars {
		if i%16 == 0 {
			tonic = 58 + c.IntN(8)
		}
		at = c.line(p, c.bar(4), tonic, at, 2, 16)
	}
	return c.done()
}

// piano is a melody over broken or struck chords, on two tracks of a channel each.
func piano(seed uint64, bars int) *expr.Score {
	c := newComposer(seed, 0.55)
	right, left := c.part("Right"), c.part("Left")
	c.pianoBars(right, left, bars)
	return c.done()
}

func (c *composer) pianoBars(right, left, bars int) {
	tonic, at := 60, 7
	for i := range bars {
		if i%16 == 0 {
			tonic = 55 + c.IntN(10)
		}
		beat := c.bar(4)
		at = c.line(right, beat, tonic, at, 3, 18)
		root := []int{0, 3, 4, 5, 1}[c.IntN(5)] - 7
		if c.IntN(3) == 0 {
			for q := range 2 {
				for _, n := range []int{0, 2, 4} {
					c.note(left, beat+2*float64(q), 2, step(tonic, root+n))
				}
			}
			continue
		}
		for q := range 8 {
			c.note(left, beat+float64(q)/2, .5, step(tonic, root+[]int{0, 4, 2, 4}[q%4]))
		}
	}
}

// quartet is four lines.
func quartet(seed uint64, bars int) *expr.Score {
	c := newComposer(seed, 0.6)
	var at [4]int
	for i, name := range []string{"Violin 1", "Violin 2", "Viola", "Cello"} {
		c.part(name)
		at[i] = 14 - 5*i
	}
	tonic := 60
	for i := range bars {
		if i%20 == 0 {
			tonic = 55 + c.IntN(10)
		}
		beat := c.bar(4)
		for p := range at {
			at[p] = c.line(p, beat, tonic, at[p], 10-5*p, 18-5*p)
		}
	}
	return c.done()
}

// orchestra is 24 parts on two ports: a tune in unison by some, chords by others,
// repeated notes and basses, from solos to tuttis.
func orchestra(seed uint64, bars int) *expr.Score {
	c := newComposer(seed, 0.5)
	const parts = 24
	for range parts {
		c.part("Part")
	}
	tonic, at, root := 60, 7, 0
	playing := make([]bool, parts)
	for i := range bars {
		if i%8 == 0 {
			tonic = 55 + c.IntN(10)
			for p := range playing {
				playing[p] = c.IntN(4) <= i/8%4
			}
		}
		beat := c.bar(4)
		root = []int{0, 3, 4, 5, 1}[c.IntN(5)]
		rhythm, from := rhythms[c.IntN(len(rhythms))], at
		for p, plays := range playing {
			if !plays {
				continue
			}
			switch p % 4 {
			case 0: // the tune, in octaves
				at = from
				b := beat
				walk := rand.New(rand.NewPCG(seed, uint64(i)))
				for _, length := range rhythm {
					c.note(p, b, length, step(tonic, at)+12*(p/12))
					at = min(max(at+walk.IntN(5)-2, 3), 16)
					b += length
				}
			case 1: // held chord
				c.note(p, beat, 4, step(tonic, root+2*(p/4%3)))
			case 2: // repeated eighths
				for q := range 8 {
					c.note(p, beat+float64(q)/2, .5, step(tonic, root+2*(p/4%3)))
				}
			case 3: // bass
				c.note(p, beat, 2, step(tonic-24, root))
				c.note(p, beat+2, 2, step(tonic-24, root+4*c.IntN(2)))
			}
		}
	}
	return c.done()
}

// repeats is a piano piece in the form A A B A, each part played to the letter.
func repeats(seed uint64) *expr.Score {
	c := newComposer(seed, 0.55)
	c.pianoBars(c.part("Right"), c.part("Left"), 32)
	a := c.done()
	const section = 16
	out := &expr.Score{Parts: a.Parts}
	for n, first := range []int{0, 0, section, 0} {
		from, shift := a.Bars[first], float64(n*section*4)
		for _, b := range a.Bars[first : first+section] {
			b.Beat += shift - from.Beat
			b.At += c.at(shift) - from.At
			out.Bars = append(out.Bars, b)
		}
		for _, w := range a.Notes {
			if w.Beat >= from.Beat && w.Beat < from.Beat+section*4 {
				w.Beat += shift - from.Beat
				w.On += c.at(shift) - from.At
				out.Notes = append(out.Notes, w)
			}
		}
	}
	out.End = c.at(4 * section * 4)
	return sorted(out)
}

func demoScore(t testing.TB) *expr.Score       { return scoreOf(t, demo.Score()) }
func symphony(t testing.TB, n int) *expr.Score { return scoreOf(t, demo.Symphony(n)) }

// longSymphony is one of 300,000 notes, made once; nobody changes it.
func longSymphony(t testing.TB) *expr.Score {
	longOnce.Do(func() { long = symphony(t, 300_000) })
	return long
}

var (
	longOnce sync.Once
	long     *expr.Score
)
