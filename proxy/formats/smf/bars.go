package smf

import (
	"fmt"
	"math"
	"math/bits"
)

// BarMap turns ticks into bars and beats and back. It is immutable and safe for
// concurrent use.
//
// A time signature starts a bar wherever it stands, and cuts short the one
// before, as a score's upbeat is written. 4/4 holds until the first (SMF 1.0, from memory).
type BarMap struct {
	whole  uint64 // ticks in a whole note
	metres []metre
}

// metre is a time signature and the bars it rules.
type metre struct {
	tick  int64  // where it starts
	bar   int64  // the bar that starts there, from 0
	beats uint64 // 1..255 in a bar
	power uint   // a beat is a whole note / 2^power
}

// Bars makes the map of a file's bars, from the time signatures that the tracks
// hold: of all tracks in formats 0 and 1, of one track (0-based) in format 2. At
// one tick the last in the order of the file holds. Signatures of no beats,
// or with bars shorter than a tick, are ignored.
//
// A file in SMPTE time has no bars, and that is an error; so is a track that is
// not there.
func Bars(f *File, track int) (*BarMap, error) {
	events, err := f.timeline(track, MetaTimeSignature)
	if err != nil {
		return nil, err
	}
	if f.Division.TicksPerQuarter == 0 {
		return nil, fmt.Errorf("the file counts time in frames and has no bars; export it with ticks in a quarter note")
	}
	m := &BarMap{
		whole:  4 * uint64(f.Division.TicksPerQuarter),
		metres: []metre{{beats: 4, power: 2}},
	}
	for _, e := range events {
		if s, ok := signature(e, f.Division); ok {
			m.change(e.Tick, s)
		}
	}
	return m, nil
}

// signature reads a time signature; ok is false for one that gives no bars.
func signature(e Event, d Division) (s metre, ok bool) {
	_, p, _ := e.Meta()
	if len(p) < 2 {
		return metre{}, false
	}
	s = metre{beats: uint64(p[0]), power: uint(p[1])}
	if d.TicksPerQuarter == 0 {
		return s, s.beats > 0
	}
	// A bar has under 2^25 ticks (255 beats, 4·32767 ticks), so a power of 32 is out of the question.
	return s, s.power < 32 && 4*uint64(d.TicksPerQuarter)*s.beats >= 1<<s.power
}

// change sets the metre from a tick on, which is not before the last change.
func (m *BarMap) change(tick int64, s metre) {
	last := &m.metres[len(m.metres)-1]
	if tick > last.tick {
		bar, _ := m.within(last, tick-1)
		s.tick, s.bar = tick, bar+1
		m.metres = append(m.metres, s)
		return
	}
	last.beats, last.power = s.beats, s.power
}

// within finds a tick in the bars of a metre: the bar from 0, and how far it lies
// in that bar in ticks/2^power, of which a beat has whole.
func (m *BarMap) within(s *metre, tick int64) (bar int64, rest uint64) {
	x := uint64(tick - s.tick)
	k, rest := bits.Div64(x>>(64-s.power), x<<s.power, m.whole*s.beats)
	return add(s.bar, int64(k)), rest
}

// Bar is the bar and the beat in it at a tick, both from 1. A beat is the unit of
// the time signature: a quarter in 3/4, an eighth in 6/8. Ticks before 0 are
// taken as 0.
func (m *BarMap) Bar(tick int64) (bar int, beat float64) {
	tick = max(tick, 0)
	i := m.search(func(s *metre) bool { return s.tick <= tick })
	b, rest := m.within(&m.metres[i], tick)
	return int(min(add(b, 1), math.MaxInt)), 1 + float64(rest)/float64(m.whole)
}

// BarStart is the first tick of a bar, which counts from 1. Bars go on after the
// end of the music; those before the first are taken as the first.
func (m *BarMap) BarStart(bar int) int64 {
	n := max(int64(bar), 1) - 1
	s := &m.metres[m.search(func(s *metre) bool { return s.bar <= n })]
	hi, lo := bits.Mul64(uint64(n-s.bar), m.whole*s.beats)
	unit := uint64(1) << s.power
	return add(s.tick, divide(hi, lo, unit, unit-1))
}

// Signature is the time signature that rules a bar, which counts from 1: 6 and 8 in 6/8.
func (m *BarMap) Signature(bar int) (beats, unit int) {
	n := max(int64(bar), 1) - 1
	s := &m.metres[m.search(func(s *metre) bool { return s.bar <= n })]
	return int(s.beats), 1 << s.power
}

// search is the last metre for which before holds; it holds for the first.
func (m *BarMap) search(before func(*metre) bool) int {
	i, end := 0, len(m.metres)
	for end-i > 1 {
		if mid := int(uint(i+end) / 2); before(&m.metres[mid]) {
			i = mid
		} else {
			end = mid
		}
	}
	return i
}
