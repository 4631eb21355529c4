package smf

import (
	"math"
	"math/bits"
	"time"
)

// defaultTempo holds until the first tempo event, in µs a quarter note (SMF 1.0, from memory).
const defaultTempo = 500_000

// TempoMap turns ticks into time and back. It is immutable and safe for
// concurrent use; its methods allocate nothing.
//
// It is exact: a tick's time is kept as a whole number of ns/unit, where unit is
// the division, so that nothing is rounded before the very end and no number of
// tempo changes makes it drift.
type TempoMap struct {
	unit     uint64
	segments []segment
}

// segment is a stretch of constant tempo. Times are in ns/unit, of 128 bits:
// 63 bits of ticks at the slowest rate of 40 bits need 103.
type segment struct {
	tick   int64  // where it starts
	hi, lo uint64 // the time there
	rate   uint64 // how long a tick lasts
}

// NewTempoMap makes the map of a file: of its tempo events on all tracks in
// formats 0 and 1, of those on one track (0-based) in format 2, whose tracks are
// independent. At one tick the last event in the order of the file holds.
// Tempos of 0 are ignored. In SMPTE time tempos have no say.
//
// An error tells of a division that no file can have, or a track that is not there.
func NewTempoMap(f *File, track int) (*TempoMap, error) {
	events, err := f.timeline(track, MetaTempo)
	if err != nil {
		return nil, err
	}
	d := f.Division
	if d.TicksPerQuarter == 0 {
		return smpteMap(d), nil
	}
	m := &TempoMap{
		unit:     uint64(d.TicksPerQuarter),
		segments: []segment{{rate: defaultTempo * 1000}},
	}
	for _, e := range events {
		if us, ok := tempo(e); ok {
			m.change(e.Tick, us*1000)
		}
	}
	return m, nil
}

// smpteMap is the map of a file in SMPTE time. 29 stands for 30000/1001 frames
// a second; drop frame is a way to number them, and leaves out none.
func smpteMap(d Division) *TempoMap {
	frames, seconds := uint64(d.FramesPerSecond), uint64(1)
	if frames == 29 {
		frames, seconds = 30000, 1001
	}
	return &TempoMap{
		unit:     frames * uint64(d.TicksPerFrame),
		segments: []segment{{rate: seconds * uint64(time.Second)}},
	}
}

// tempo reads a tempo event in µs a quarter note. More than its three bytes are
// left to a later standard, as with all meta events (SMF 1.0, from memory).
func tempo(e Event) (us uint64, ok bool) {
	_, p, _ := e.Meta()
	if len(p) < 3 {
		return 0, false
	}
	us = uint64(p[0])<<16 | uint64(p[1])<<8 | uint64(p[2])
	return us, us > 0
}

// change lets ticks last rate from a tick on, which is not before the last change.
func (m *TempoMap) change(tick int64, rate uint64) {
	last := &m.segments[len(m.segments)-1]
	if tick <= last.tick {
		last.rate = rate
		return
	}
	hi, lo := last.at(tick)
	m.segments = append(m.segments, segment{tick, hi, lo, rate})
}

// at is the time of a tick that is not before the segment.
func (s *segment) at(tick int64) (hi, lo uint64) {
	hi, lo = bits.Mul64(uint64(tick-s.tick), s.rate)
	lo, carry := bits.Add64(lo, s.lo, 0)
	hi, _ = bits.Add64(hi, s.hi, carry)
	return hi, lo
}

// At is the time of a tick since the start, to the nearest nanosecond, half
// up. Ticks before 0 are taken as 0; past the greatest Duration it stays there.
func (m *TempoMap) At(tick int64) time.Duration {
	if tick <= 0 {
		return 0
	}
	i, end := 0, len(m.segments)
	for end-i > 1 {
		if mid := int(uint(i+end) / 2); m.segments[mid].tick <= tick {
			i = mid
		} else {
			end = mid
		}
	}
	hi, lo := m.segments[i].at(tick)
	return time.Duration(divide(hi, lo, m.unit, m.unit/2))
}

// Tick is the tick nearest to a time, the earlier one if two are as near, so that
// Tick(At(t)) is t wherever a tick lasts a nanosecond or more. Times before 0
// are taken as 0; past the greatest tick it stays there.
func (m *TempoMap) Tick(d time.Duration) int64 {
	if d <= 0 {
		return 0
	}
	hi, lo := bits.Mul64(uint64(d), m.unit)
	i, end := 0, len(m.segments)
	for end-i > 1 {
		mid := int(uint(i+end) / 2)
		if s := &m.segments[mid]; s.hi < hi || s.hi == hi && s.lo <= lo {
			i = mid
		} else {
			end = mid
		}
	}
	s := &m.segments[i]
	lo, borrow := bits.Sub64(lo, s.lo, 0)
	hi, _ = bits.Sub64(hi, s.hi, borrow)
	return add(s.tick, divide(hi, lo, s.rate, (s.rate-1)/2))
}

// divide is (hi:lo + bias) / by, at most the greatest int64.
func divide(hi, lo, by, bias uint64) int64 {
	lo, carry := bits.Add64(lo, bias, 0)
	hi += carry
	if hi >= by {
		return math.MaxInt64
	}
	q, _ := bits.Div64(hi, lo, by)
	return int64(min(q, math.MaxInt64))
}

// add is a+b for a, b ≥ 0, at most the greatest int64.
func add(a, b int64) int64 {
	if a > math.MaxInt64-b {
		return math.MaxInt64
	}
	return a + b
}
