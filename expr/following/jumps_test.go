package following_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"swellbox/expr"
	"swellbox/expr/following"
)

// trial is a way to play.
type trial struct {
	sessions int
	ofTold   float64 // least share of the jumps that can be told
	name     string
	newTempo bool // at every jump, not only for every session
	reset    bool // the transport stops before every jump
	muted    bool // every second part
	moved    bool // the live channels are not the score's
	ramp     float64
	altered  float64
}

// figures is what came of many jumps.
type figures struct {
	jumps      int
	right      [13]int // by notes after the jump: the bar is right
	alike      [13]int // or is the same, note for note
	told       int     // jumps whose place 4 notes tell at all
	toldAlike  int     // of those, alike after 4
	sure       int     // the place is told with 0.9 or more after 4
	wrong      int     // and it is wrong, and not alike
	notes      int     // heard
	found      int     // matched rightly, of those that are in the score
	inScore    int
	falseNote  int // matched with a note of another bar that is not alike
	harmful    int // matched with a note that is not like the true one, nor goes on like it
	chords     int // jumps heard to the end of 4 moments
	chordAlike int // the bar is right or alike after them
}

const judged = 4 // notes after a jump

// jumps plays sessions of 15 jumps each. Half of them go to the start of a bar.
func jumps(p piece, tr trial, seed uint64) (start, within figures) {
	const each = 15
	s := p.score
	like, o := likenessOf(s), newOracle(s)
	for n := range tr.sessions {
		rng := rand.New(rand.NewPCG(seed, uint64(n)))
		l := &live{Rand: rng, score: s, altered: tr.altered, jitter: 2 * time.Millisecond, ramp: tr.ramp}
		l.ratio = math.Exp2(2*rng.Float64() - 1)
		if tr.muted {
			odd := uint16(rng.IntN(2))
			l.muted = func(part uint16) bool { return part%2 == odd }
		}
		if tr.moved {
			order := rng.Perm(64)
			l.seat = func(w *expr.Written) uint32 { return uint32(order[(int(w.Port)*16+int(w.Channel))%64]) }
		}
		f := following.New(s)
		for j := range each {
			if tr.newTempo {
				l.ratio = math.Exp2(2*rng.Float64() - 1)
			}
			if tr.reset {
				f.Reset()
			}
			if l.ratio > 1 == (l.ramp > 0) { // between half and twice the written tempo
				l.ramp = -l.ramp
			}
			l.wait(time.Duration(100+rng.IntN(900)) * time.Millisecond)
			from := rng.IntN(max(len(s.Notes)*95/100, 1))
			if rng.IntN(2) == 0 { // from the start of a bar
				at := s.Bars[max(barOf(s, s.Notes[from].On), 0)].At
				for from > 0 && s.Notes[from-1].On >= at {
					from--
				}
			} else { // from a chord on
				for from > 0 && s.Notes[from-1].On == s.Notes[from].On {
					from--
				}
			}
			fig := &within
			if j == 0 {
				fig = &start
			}
			fig.take(f, o, like, l.play(from, p.plays+rng.IntN(3*p.plays)))
		}
	}
	return start, within
}

func (g *figures) take(f *following.Follower, o *oracle, like likeness, notes []struck) {
	s := o.score
	if len(notes) < len(g.right) {
		return
	}
	g.jumps++
	told := o.tells(notes[:judged], like)
	if told {
		g.told++
	}
	moments := 0
	for i, n := range notes {
		m := hear(f, n)
		p := f.Position(n.at)
		bar := barOf(s, n.place)
		right := p.BarIndex == bar
		alike := right || p.BarIndex >= 0 && like[p.BarIndex] == like[bar]
		if i < len(g.right)-1 {
			if right {
				g.right[i+1]++
			}
			if alike {
				g.alike[i+1]++
			}
		}
		if i == judged-1 && told {
			if alike {
				g.toldAlike++
			}
		}
		if i == judged-1 && p.Sure >= 0.9 {
			g.sure++
			if !alike {
				g.wrong++
			}
		}
		if i+1 < len(notes) && notes[i+1].at-n.at > 20*time.Millisecond {
			if moments++; moments == judged {
				g.chords++
				if alike {
					g.chordAlike++
				}
			}
		}
		g.notes++
		if n.note >= 0 {
			g.inScore++
			if m.Note >= 0 && s.Notes[m.Note].Key == n.key && s.Notes[m.Note].On == s.Notes[n.note].On {
				g.found++
			}
		}
		if m.Note >= 0 {
			if at := barOf(s, s.Notes[m.Note].On); at != bar && like[at] != like[bar] {
				g.falseNote++
			}
			if n.note < 0 || !goesOnAlike(s, m.Note, s, n.note) {
				g.harmful++
			}
		}
	}
}

// goesOnAlike reports whether a note of a score and one of another are the same, and
// so is what their parts play in the next second and a half.
func goesOnAlike(s *expr.Score, a int, o *expr.Score, b int) bool {
	if s == o && a == b {
		return true
	}
	p, q := &s.Notes[a], &o.Notes[b]
	if p.Key != q.Key || p.Part != q.Part {
		return false
	}
	for {
		v, w := nextOf(s, p, &a), nextOf(o, q, &b)
		if v == nil || w == nil {
			return v == w
		}
		if v.Key != w.Key || (v.On-p.On-w.On+q.On).Abs() > 5*time.Millisecond {
			return false
		}
	}
}

// nextOf moves i to the next note of the part of n, nil if it plays none soon.
func nextOf(s *expr.Score, n *expr.Written, i *int) *expr.Written {
	for *i++; *i < len(s.Notes) && s.Notes[*i].On <= n.On+1500*time.Millisecond; *i++ {
		if w := &s.Notes[*i]; w.Part == n.Part && w.On > n.On {
			return w
		}
	}
	return nil
}

func (g *figures) String() string {
	pct := func(n, of int) string {
		if of == 0 {
			return "    –"
		}
		return fmt.Sprintf("%5.1f", 100*float64(n)/float64(of))
	}
	return fmt.Sprintf("%5d | %s %s %s %s | %s %s %s | %s %s | %s | %s %s | %s %s %s",
		g.jumps,
		pct(g.right[2], g.jumps), pct(g.right[3], g.jumps), pct(g.right[4], g.jumps), pct(g.right[8], g.jumps),
		pct(g.alike[4], g.jumps), pct(g.alike[6], g.jumps), pct(g.alike[8], g.jumps),
		pct(g.told, g.jumps), pct(g.toldAlike, g.told), pct(g.chordAlike, g.chords), pct(g.sure, g.jumps), pct(g.wrong, g.jumps),
		pct(g.found, g.inScore), pct(g.falseNote, g.notes), pct(g.harmful, g.notes))
}
