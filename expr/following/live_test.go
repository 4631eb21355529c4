package following_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"time"

	"swellbox/expr"
	"swellbox/expr/following"
)

// live plays a score as a notation program does.
type live struct {
	*rand.Rand
	score   *expr.Score
	ratio   float64                      // of live to written tempo
	ramp    float64                      // by which the ratio grows in a second, as a factor less 1
	altered float64                      // share of the notes changed, missing or added
	jitter  time.Duration                // greatest
	muted   func(part uint16) bool       // nil: none
	seat    func(n *expr.Written) uint32 // port*16+channel; nil: as the score says
	now     time.Duration
}

// struck is a note as it comes.
type struck struct {
	at      time.Duration
	port    uint16
	channel uint8
	key     uint8
	note    int           // of the score; -1 if it is none
	place   time.Duration // where the score is
}

// play plays n notes from score note `from` on.
func (l *live) play(from, n int) []struck {
	var out []struck
	start := l.score.Notes[from].On
	last := time.Duration(0)
	for i := from; i < len(l.score.Notes); i++ {
		w := &l.score.Notes[i]
		lasts := float64(w.On-start) / l.ratio
		if l.ramp != 0 { // the score's time is ratio·(e^(ramp·t)−1)/ramp
			s := float64(w.On-start) / float64(time.Second)
			lasts = math.Log1p(s*l.ramp/l.ratio) / l.ramp * float64(time.Second)
		}
		at := l.now + time.Duration(lasts)
		if len(out) >= n && at > last+3*l.jitter {
			break
		}
		if l.muted != nil && l.muted(w.Part) {
			continue
		}
		s := struck{at, w.Port, w.Channel, w.Key, i, w.On}
		if l.seat != nil {
			a := l.seat(w)
			s.port, s.channel = uint16(a/16), uint8(a%16)
		}
		if l.jitter > 0 {
			s.at += time.Duration(l.Int64N(int64(2*l.jitter))) - l.jitter
		}
		if l.Float64() < l.altered {
			switch l.IntN(3) {
			case 0:
				s.key, s.note = uint8(int(s.key)+1+l.IntN(4)), -1
			case 1:
				continue
			case 2:
				extra := s
				extra.note = -1
				extra.key = uint8(int(extra.key) + l.IntN(12) - 6)
				extra.at += time.Duration(l.IntN(200)) * time.Millisecond
				extra.place += time.Duration(float64(extra.at-at) * l.ratio)
				out = append(out, extra)
			}
		}
		out = append(out, s)
		last = max(last, at)
	}
	slices.SortStableFunc(out, func(a, b struck) int { return cmp.Compare(a.at, b.at) })
	out = out[:min(n, len(out))]
	for i := range out {
		out[i].at = max(out[i].at, l.now)
	}
	if len(out) > 0 {
		l.ratio *= math.Exp(l.ramp * (out[len(out)-1].at - l.now).Seconds())
		l.now = out[len(out)-1].at
	}
	return out
}

// wait lets time pass.
func (l *live) wait(d time.Duration) { l.now += d }

func hear(f *following.Follower, s struck) following.Match {
	return f.Note(s.at, s.port, s.channel, s.key)
}

func barOf(s *expr.Score, at time.Duration) int {
	return sort.Search(len(s.Bars), func(i int) bool { return s.Bars[i].At > at }) - 1
}

// likeness tells bars that are the same, note for note.
type likeness []uint64

func likenessOf(s *expr.Score) likeness {
	l := make(likeness, len(s.Bars))
	for i := range s.Notes {
		n := &s.Notes[i]
		b := barOf(s, n.On)
		if b < 0 {
			continue
		}
		// A sum, so that the order of what sounds together does not matter.
		x := uint64((n.On-s.Bars[b].At+2*time.Millisecond)/(5*time.Millisecond))<<32 | uint64(n.Part)<<8 | uint64(n.Key)
		x *= 0x9E3779B97F4A7C15
		x ^= x >> 29
		x *= 0xBF58476D1CE4E5B9
		l[b] += x ^ x>>32
	}
	return l
}
