package aligning

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// piece is a score of four-part chords and running notes, in bars of four.
func piece(bars int, rng *rand.Rand) []Note {
	var score []Note
	melody := 72
	for bar := range bars {
		root := 36 + rng.IntN(12)
		for _, d := range []int{0, 7, 16} {
			score = append(score, Note{At: float64(4 * bar), Key: uint8(root + d)})
		}
		for i := range 8 {
			melody = min(max(melody+rng.IntN(9)-4, 62), 90)
			score = append(score, Note{At: float64(4*bar) + float64(i)/2, Key: uint8(melody)})
		}
	}
	slices.SortStableFunc(score, func(a, b Note) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Key, b.Key)) })
	return score
}

// played is one note of a take and the score's note that it is.
type played struct {
	Note
	of int
}

// perform plays bars of a score one after another at a tempo that wanders, with chords spread.
func perform(score []Note, bars []int, rng *rand.Rand) []played {
	var take []played
	t, pace := 1.0, 0.5
	for _, bar := range bars {
		for i, n := range score {
			if int(n.At)/4 == bar {
				at := t + (n.At-float64(4*bar))*pace + math.Abs(rng.NormFloat64())*0.02
				take = append(take, played{Note{At: at, Key: n.Key}, i})
			}
		}
		t += 4 * pace
		pace = min(max(pace*math.Exp(rng.NormFloat64()*0.08), 0.3), 0.9)
	}
	return take
}

// right is the share of a take's notes that Align finds.
func right(score []Note, take []played) float64 {
	slices.SortStableFunc(take, func(a, b played) int { return cmp.Compare(a.At, b.At) })
	notes := make([]Note, len(take))
	for i := range take {
		notes[i] = take[i].Note
	}
	ok := 0
	for k, j := range Align(score, notes) {
		if j == take[k].of {
			ok++
		}
	}
	return float64(ok) / float64(len(take))
}

func count(from, to int) []int {
	var bars []int
	for b := from; b < to; b++ {
		bars = append(bars, b)
	}
	return bars
}

func TestManyTakes(t *testing.T) {
	for _, test := range []struct {
		name  string
		bars  []int
		spoil func(take []played, rng *rand.Rand) []played
		least float64
	}{
		{"as written", count(0, 40), nil, 0.995},
		{"a repeat that is not written", slices.Concat(count(0, 12), count(0, 12), count(12, 40)), nil, 0.98},
		{"a cut", slices.Concat(count(0, 15), count(24, 40)), nil, 0.98},
		{"begun in the middle", count(17, 40), nil, 0.98},
		{"a bar tried three times", slices.Concat(count(0, 20), []int{19, 19}, count(20, 40)), nil, 0.97},
		{"one note in 20 wrong", count(0, 40), func(take []played, rng *rand.Rand) []played {
			for i := range take {
				if rng.IntN(20) == 0 {
					take[i].Key, take[i].of = take[i].Key+uint8(3+rng.IntN(2)), None
				}
			}
			return take
		}, 0.97},
		{"one note in 15 left out", count(0, 40), func(take []played, rng *rand.Rand) []played {
			return slices.DeleteFunc(take, func(played) bool { return rng.IntN(15) == 0 })
		}, 0.985},
		{"a trill on every eighth bar", count(0, 40), func(take []played, _ *rand.Rand) []played {
			for _, n := range slices.Clone(take) {
				if n.of%88 == 5 {
					for i := range 6 {
						take = append(take, played{Note{At: n.At + 0.03 + float64(i)*0.03, Key: n.Key + uint8(2*((i+1)%2))}, None})
					}
				}
			}
			return take
		}, 0.96},
	} {
		t.Run(test.name, func(t *testing.T) {
			sum := 0.0
			const tries = 10
			for seed := range uint64(tries) {
				rng := rand.New(rand.NewPCG(seed, 7))
				score := piece(40, rng)
				take := perform(score, test.bars, rng)
				if test.spoil != nil {
					take = test.spoil(take, rng)
				}
				sum += right(score, take)
			}
			if got := sum / tries; got < test.least {
				t.Errorf("%.4f of the notes are right, want %.3f", got, test.least)
			}
		})
	}
}

// A file has chords in one moment, and two parts may have one note: each is taken once, by
// the part that plays the rest of its line.
func TestPartsKeepTheirNotes(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	var score []Note
	var take []played
	for i := range 64 {
		a, b := uint8(60+rng.IntN(12)), uint8(48+rng.IntN(12))
		if i%4 == 3 {
			b = a // a unison
		}
		score = append(score, Note{At: float64(i), Key: a, Part: 0}, Note{At: float64(i), Key: b, Part: 1})
		take = append(take,
			played{Note{At: float64(i) / 2, Key: b, Part: 5}, 2*i + 1},
			played{Note{At: float64(i) / 2, Key: a, Part: 6}, 2 * i})
	}
	if got := right(score, take); got != 1 {
		t.Errorf("%.4f of the notes are right, want all", got)
	}
}

func TestNothingToAlign(t *testing.T) {
	one := []Note{{At: 0, Key: 60}}
	if got := Align(nil, one); len(got) != 1 || got[0] != None {
		t.Errorf("without a score: %v", got)
	}
	if got := Align(one, nil); len(got) != 0 {
		t.Errorf("without a take: %v", got)
	}
	if got := Align(one, one); got[0] != 0 {
		t.Errorf("one note: %v", got)
	}
}

func FuzzAlign(f *testing.F) {
	f.Add([]byte{60, 0, 62, 1, 64, 1, 60, 2}, []byte{60, 0, 64, 1, 62, 0})
	f.Add([]byte{60, 0, 60, 0, 60, 0}, []byte{60, 0, 60, 0, 60, 9, 61, 0})
	f.Fuzz(func(t *testing.T, a, b []byte) {
		notes := func(bytes []byte, unit float64) []Note {
			var list []Note
			at := 0.0
			for i := 0; i+1 < len(bytes) && i < 400; i += 2 {
				at += float64(bytes[i+1]%16) * unit
				list = append(list, Note{At: at, Key: bytes[i] & 127})
			}
			return list
		}
		score, take := notes(a, 0.25), notes(b, 0.1)
		got := Align(score, take)
		if len(got) != len(take) {
			t.Fatalf("%d answers for %d notes", len(got), len(take))
		}
		for k, j := range got {
			if j != None && (j < 0 || j >= len(score) || score[j].Key != take[k].Key) {
				t.Fatalf("note %d of key %d is said to be note %d of the score", k, take[k].Key, j)
			}
		}
	})
}

func BenchmarkAlign(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	score := piece(400, rng)
	take := perform(score, count(0, 400), rng)
	notes := make([]Note, len(take))
	for i := range take {
		notes[i] = take[i].Note
	}
	for b.Loop() {
		Align(score, notes)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(notes)), "ns/note")
}

// A key that comes again all through a long score offers no more places to jump to than are
// kept: else a note would cost more, the longer the score is.
func TestManyPlacesToJumpToAreBounded(t *testing.T) {
	var score []Note
	for i := range 3000 {
		score = append(score, Note{At: float64(i) / 2, Key: uint8(60 + i%2)})
	}
	p := newPath(score, score)
	p.begin(score[0])
	p.keep()
	for k := 1; k < 40; k++ {
		p.hear(score[k-1], score[k], score[k+1:])
		if most := (farthest + 2) * beamWidth; len(p.next) > most {
			t.Fatalf("note %d makes %d hypotheses, want %d at most", k, len(p.next), most)
		}
		p.keep()
	}
	for i, of := range Align(score, score) {
		if of != i {
			t.Fatalf("note %d of a take of its own score is matched with %d", i, of)
		}
	}
}
