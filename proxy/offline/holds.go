package offline

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/musicxml"
)

const (
	// A fermata makes its note longer by half, within bounds (common practice: by half to twice; no published source).
	// Its time is taken over the last quarter note of it.
	fermataShare    = .5
	shortestFermata = 500 * time.Millisecond
	longestFermata  = 2 * time.Second
	// A caesura is a silence of about a quarter note, within bounds (common practice, no published source).
	shortestCaesura = 400 * time.Millisecond
	longestCaesura  = time.Second
	// caesuraGap is the end of the note before in which all wait, in quarter notes.
	caesuraGap = 1. / 8
)

// hold is a stretch of music that takes longer than its tempo says.
type hold struct {
	from, to float64       // quarter notes
	at       time.Duration // the time of from without any hold
	quarter  time.Duration // of a quarter note, likewise
	extra    time.Duration
	before   time.Duration // what those before it take
	silent   bool
}

// holds are in the order of time, and no two overlap.
type holds []hold

// holdOn takes the time of fermatas and caesuras, for all parts, and is where. Several that overlap
// are one, as long as the longest.
func holdOn(d *musicxml.Document) holds {
	s := d.Score
	hs := merged(append(fermatas(s), caesuras(d)...))
	if len(hs) == 0 {
		return nil
	}
	hs.silence(s)
	move := func(at *time.Duration, beat float64) { *at += hs.taken(beat) }
	for i := range s.Notes {
		n := &s.Notes[i]
		move(&n.On, n.Beat)
		move(&n.Off, n.Beat+n.Length)
	}
	for i := range s.Bars {
		move(&s.Bars[i].At, s.Bars[i].Beat)
	}
	for i := range d.Changes {
		move(&d.Changes[i].At, d.Changes[i].Beat)
	}
	for i := range d.Pedals {
		p := &d.Pedals[i]
		move(&p.On, p.Beat)
		move(&p.Off, p.Beat+p.Length)
	}
	s.End += hs.taken(hs[len(hs)-1].to)
	return hs
}

// holdBefore is a hold over the last length of a note, in quarter notes.
func holdBefore(n *expr.Written, length float64, extra time.Duration) hold {
	end, quarter := n.Beat+n.Length, quarterAt(n)
	return hold{from: end - length, to: end, at: n.Off - time.Duration(length*float64(quarter)), quarter: quarter, extra: extra}
}

// ends are when a hold starts and ends.
func (h *hold) ends() (from, to time.Duration) {
	from = h.at + h.before
	return from, from + time.Duration((h.to-h.from)*float64(h.quarter)) + h.extra
}

func fermatas(s *expr.Score) (hs holds) {
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.Marks.Has(expr.Fermata) || n.Marks.Has(expr.Grace) || !(n.Length > 0) {
			continue
		}
		extra := time.Duration(fermataShare * float64(n.Off-n.On))
		hs = append(hs, holdBefore(n, min(n.Length, 1), min(max(extra, shortestFermata), longestFermata)))
	}
	return hs
}

func caesuras(d *musicxml.Document) (hs holds) {
	for _, i := range d.Caesuras {
		n := &d.Score.Notes[i]
		h := holdBefore(n, min(caesuraGap, n.Length/2), min(max(quarterAt(n), shortestCaesura), longestCaesura))
		h.silent = true
		hs = append(hs, h)
	}
	return hs
}

// merged are holds in the order of time, of which no two overlap.
func merged(hs holds) (out holds) {
	slices.SortFunc(hs, func(a, b hold) int { return cmp.Or(cmp.Compare(a.to, b.to), cmp.Compare(a.from, b.from)) })
	const together = 1. / 64 // quarter notes
	for _, h := range hs {
		switch last := len(out) - 1; {
		case last < 0 || h.from > out[last].to-together:
			out = append(out, h)
		case h.silent && !out[last].silent: // a silence after what is held
			out[last].to = h.from
			if out[last].to > out[last].from {
				out = append(out, h)
			} else {
				out[last] = h
			}
		default:
			l := &out[last]
			l.to, l.extra = max(l.to, h.to), max(l.extra, h.extra)
		}
	}
	for i := 1; i < len(out); i++ {
		out[i].before = out[i-1].before + out[i-1].extra
	}
	return out
}

// at is the first hold that ends at a place or after it.
func (hs holds) at(beat float64) int {
	i, _ := slices.BinarySearchFunc(hs, beat, func(h hold, beat float64) int { return cmp.Compare(h.to, beat) })
	return i
}

// silence ends the notes before a silence where it starts.
func (hs holds) silence(s *expr.Score) {
	for i := range s.Notes {
		n := &s.Notes[i]
		end := n.Beat + n.Length
		if k := hs.at(end); k < len(hs) && hs[k].silent && n.Beat < hs[k].from && end > hs[k].from {
			n.Off -= time.Duration((end - hs[k].from) * float64(quarterAt(n)))
			n.Length = hs[k].from - n.Beat
		}
	}
}

// taken is the time that holds have taken up to a place, in quarter notes.
func (hs holds) taken(beat float64) time.Duration {
	k := hs.at(beat)
	switch {
	case k == len(hs):
		return hs[k-1].before + hs[k-1].extra
	case beat <= hs[k].from:
		return hs[k].before
	}
	return hs[k].before + time.Duration(float64(hs[k].extra)*(beat-hs[k].from)/(hs[k].to-hs[k].from))
}
