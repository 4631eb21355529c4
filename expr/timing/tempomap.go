package timing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// Tempo is a tempo from a tick of a file on.
type Tempo struct {
	Tick       int64
	PerQuarter uint32 // µs a quarter note, 1..[MaxPerQuarter]
}

const (
	// MaxPerQuarter is the slowest tempo that a file can hold, in 24 bits (SMF 1.0, from
	// memory): 3.6 quarter notes a minute.
	MaxPerQuarter = 1<<24 - 1
	// MaxTempos is how many steps and changes of tempo [TempoMap] works through.
	MaxTempos = 1 << 20

	maxTicksPerQuarter = 1<<15 - 1 // SMF 1.0, from memory
	defaultPerQuarter  = 500_000   // before the first tempo: SMF 1.0, from memory
)

// TempoMap makes the tempos that play a file as w would shift it, while its notes keep
// their ticks, so that bar lines stay where they are. tempos are the file's own, in any
// order; of several at one tick the last holds, and those of 0 are ignored, as if none were
// written.
//
// There is a step every stepsPerQuarter-th of a quarter note, to the tick end, and one at
// each tempo of the file; equal tempos in succession become one. From end on the file's
// tempos hold. Each step leads to where its end is to be, whatever the rounding before
// it, so errors do not add up: a step's end is off by a microsecond at most, if no tempo
// has to be faster or slower than a file can hold; what such a step leaves open, the next
// ones make good. Within a step of h seconds the tempo is constant, and the warp is cut off
// as by a straight line, by h²/8 of its second derivative: in phrases of 8 s with halves by
// up to 14 ms between beats of 0.5 s, 3.5 ms between half beats.
func TempoMap(w *Warp, tempos []Tempo, ticksPerQuarter, stepsPerQuarter int, end int64) ([]Tempo, error) {
	if ticksPerQuarter < 1 || ticksPerQuarter > maxTicksPerQuarter {
		return nil, fmt.Errorf("%d ticks a quarter note: there must be 1 to %d", ticksPerQuarter, maxTicksPerQuarter)
	}
	if stepsPerQuarter < 1 || stepsPerQuarter > ticksPerQuarter {
		return nil, fmt.Errorf("%d steps a quarter note of %d ticks: there must be 1 to %d", stepsPerQuarter, ticksPerQuarter, ticksPerQuarter)
	}
	quarters := end / int64(ticksPerQuarter)
	if end < 0 || quarters > MaxTempos || quarters*int64(stepsPerQuarter)+int64(len(tempos)) > MaxTempos {
		return nil, fmt.Errorf("tick %d is no end for a tempo map: steps and tempos before it must be at most %d", end, MaxTempos)
	}
	written, err := inOrder(tempos)
	if err != nil {
		return nil, err
	}

	m := mapping{w: w, perQuarter: int64(ticksPerQuarter), tempo: defaultPerQuarter}
	for step := int64(1); m.tick < end; {
		if len(written) > 0 && written[0].Tick == m.tick {
			m.tempo, written = int64(written[0].PerQuarter), written[1:]
		}
		to := min(step*m.perQuarter/int64(stepsPerQuarter), end)
		if len(written) > 0 && written[0].Tick < to {
			to = written[0].Tick
		} else {
			step++
		}
		m.advance(to)
	}
	if len(written) == 0 || written[0].Tick > end {
		m.write(m.tempo)
	}
	for _, t := range written {
		m.tick = t.Tick
		m.write(int64(t.PerQuarter))
	}
	return m.out, nil
}

// inOrder is tempos by tick, one at a tick, without those that say nothing.
func inOrder(tempos []Tempo) ([]Tempo, error) {
	var written []Tempo
	for _, t := range tempos {
		if t.Tick < 0 || t.PerQuarter > MaxPerQuarter {
			return nil, fmt.Errorf("tempo of %d µs a quarter note at tick %d: ticks begin at 0 and tempos go to %d µs", t.PerQuarter, t.Tick, MaxPerQuarter)
		}
		if t.PerQuarter > 0 {
			written = append(written, t)
		}
	}
	slices.SortStableFunc(written, func(a, b Tempo) int { return cmp.Compare(a.Tick, b.Tick) })
	last := 0
	for i, t := range written {
		if i > 0 && t.Tick > written[last].Tick {
			last++
		}
		written[last] = t
	}
	return written[:min(last+1, len(written))], nil
}

// mapping is a tempo map in the making. Its times are whole numbers of µs a quarter
// note times ticks, in which a file's time is exact.
type mapping struct {
	w          *Warp
	perQuarter int64 // ticks
	tick       int64 // up to which it is made
	tempo      int64 // of the file there
	time       int64 // of the file there
	played     int64 // by the map
	out        []Tempo
}

// advance makes the map as far as a later tick, before which the file's tempo does not
// change.
func (m *mapping) advance(to int64) {
	ticks := to - m.tick
	m.time += ticks * m.tempo
	shift := m.w.At(m.duration(m.time))
	target := m.time + int64(math.Round(float64(shift)*float64(m.perQuarter)/1000))
	tempo := int64(math.Round(float64(target-m.played) / float64(ticks)))
	tempo = min(max(tempo, 1), MaxPerQuarter)
	m.write(tempo)
	m.played += ticks * tempo
	m.tick = to
}

// write puts a tempo at the present tick, if it is another.
func (m *mapping) write(tempo int64) {
	if last := len(m.out) - 1; last < 0 || m.out[last].PerQuarter != uint32(tempo) {
		m.out = append(m.out, Tempo{m.tick, uint32(tempo)})
	}
}

// duration is a time of the map as one of the clock.
func (m *mapping) duration(t int64) time.Duration {
	return time.Duration(t/m.perQuarter*1000 + t%m.perQuarter*1000/m.perQuarter)
}
