package musicxml

import (
	"math"
	"slices"
	"time"

	"swellbox/expr"
)

// clock turns ticks as played into time.
type clock struct{ points []clockPoint }

type clockPoint struct {
	at   int64   // ticks since the start
	time float64 // ns
	tick float64 // ns
}

// newClock lays the tempo of the score as written over the measures as they are played.
func newClock(frames []frame, starts []int64, order []played, line []tempoPoint) *clock {
	c := &clock{points: []clockPoint{{tick: tickTime(firstTempo)}}}
	for _, o := range order {
		from, to := starts[o.measure], starts[o.measure]+frames[o.measure].length
		i, _ := slices.BinarySearchFunc(line, from, func(p tempoPoint, at int64) int {
			if p.at > at {
				return 1
			}
			return -1
		})
		c.set(o.at, line[i-1].perMinute)
		for ; i < len(line) && line[i].at < to; i++ {
			c.set(o.at+line[i].at-from, line[i].perMinute)
		}
	}
	return c
}

// tickTime is how long a tick lasts at a number of quarter notes a minute, in ns.
func tickTime(perMinute float64) float64 {
	return float64(time.Minute) / perMinute / quarterTicks
}

func (c *clock) set(at int64, perMinute float64) {
	tick := tickTime(perMinute)
	last := c.points[len(c.points)-1]
	if last.tick == tick {
		return
	}
	c.points = append(c.points, clockPoint{at, last.time + float64(at-last.at)*last.tick, tick})
}

// time is the time of a tick.
func (c *clock) time(at int64) time.Duration {
	i, _ := slices.BinarySearchFunc(c.points, at, func(p clockPoint, at int64) int {
		if p.at > at {
			return 1
		}
		return -1
	})
	p := c.points[max(i-1, 0)]
	return time.Duration(min(math.Round(p.time+float64(at-p.at)*p.tick), float64(math.MaxInt64/2)))
}

// bars are the bars as they are played. An uncounted measure that fills up the one before
// it is no bar of its own. Without a time signature a bar has as many quarter notes
// as it is long.
func (r *score) bars(order []played, c *clock) []expr.Bar {
	numbers, beats, units := r.numbers()
	bars := make([]expr.Bar, 0, len(order))
	for i, o := range order {
		k := o.measure
		f := &r.frames[k]
		full := 4 * quarterTicks * int64(beats[k]) / int64(units[k])
		if f.implicit && i > 0 && order[i-1].measure == k-1 && r.frames[k-1].length+f.length <= full {
			continue
		}
		bars = append(bars, expr.Bar{
			At: c.time(o.at), Beat: quarters(o.at), Number: numbers[k], Beats: beats[k], Unit: units[k], Mark: f.mark,
		})
	}
	return bars
}

// numbers are the numbers of the measures and their time signatures. An uncounted measure
// at the start of a movement is 0; elsewhere it has the number of the measure before. A number
// that is none goes on counting.
func (r *score) numbers() (numbers, beats, units []int) {
	n := len(r.frames)
	numbers, beats, units = make([]int, n), make([]int, n), make([]int, n)
	number, beat, unit, free := 0, 4, 4, false
	for k := range r.frames {
		f := &r.frames[k]
		if f.beats > 0 || f.free {
			beat, unit, free = f.beats, f.unit, f.free
		}
		said, ok := f.number()
		switch {
		case f.implicit && f.movement:
			number = 0
		case f.implicit:
		case ok:
			number = said
		default:
			number++
		}
		numbers[k], beats[k], units[k] = number, beat, unit
		if free {
			beats[k], units[k] = max(int(math.Ceil(quarters(f.length))), 1), 4
		}
	}
	return numbers, beats, units
}
