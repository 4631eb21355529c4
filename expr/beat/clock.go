package beat

import (
	"math"
	"time"
)

// Figures of MIDI 1.0, from memory: 24 clocks a quarter note; a song position counts
// sixteenths, which are six clocks.
const (
	clocksPerQuarter  = 24
	clocksPerPosition = 6
)

// How the clock is smoothed and mended. Ours, not published.
const (
	clockWindow = 24  // clocks that a straight line is laid through: one quarter note
	clockLost   = 3.5 // periods without a clock after which the beat is no longer known
	clockKnown  = 6   // clocks in the window from which a gap is read as a lost clock
	clockNear   = 0.25
	clockStep   = 0.04                 // deviation of three gaps from the period that is a new tempo
	startTwice  = 5 * time.Millisecond // two starts within it are one
)

// Status bytes of system messages, MIDI 1.0.
const (
	sysex        = 0xF0
	songPosition = 0xF2
	songSelect   = 0xF3
	timingClock  = 0xF8
	start        = 0xFA
	goOn         = 0xFB
	stop         = 0xFC
	reset        = 0xFF
)

// Clock follows the MIDI clock of one port: 24 clocks a quarter note, start, continue,
// stop and song position. Where a program sends its clock to several ports, one of
// them must be chosen. The zero Clock is ready.
//
// A straight line by least squares through the last 24 clocks takes out the jitter of
// the cable. A gap of two or three periods is read as lost clocks, unless the next gap
// is as long, which makes it a new tempo.
type Clock struct {
	runs  bool
	waits bool          // the next clock is number pos, as after a start; else the latest was
	since time.Duration // it waits, or was told to start
	pos   int64         // clocks since the song's start
	doubt int           // clocks put in, and gaps too long for that, since the position was last told

	ticks  [clockWindow]float64 // seconds, in the order of time
	n      int
	filled int     // clocks that were put in for lost ones before the latest
	period float64 // seconds a clock; 0 is unknown
	fitted float64 // seconds: where the line has the latest clock
	spread float64 // seconds: root mean square of the clocks' distances from the line
}

// Take hears a message. What is none of the clock's is ignored.
func (c *Clock) Take(at time.Duration, msg []byte) {
	if len(msg) == 0 {
		return
	}
	switch msg[0] {
	case timingClock:
		c.tick(at.Seconds())
	case start:
		if c.runs && at-c.since < startTwice {
			return
		}
		c.runs = true
		c.jump(at, 0)
	case goOn:
		if !c.runs {
			c.runs = true
			c.jump(at, c.pos)
		}
	case stop:
		if c.runs && !c.waits {
			c.pos++ // what would have come next is where it goes on
		}
		c.runs, c.waits = false, true
	case songPosition:
		if len(msg) == 3 {
			c.jump(at, clocksPerPosition*(int64(msg[1]&0x7F)|int64(msg[2]&0x7F)<<7))
		}
	case reset:
		if len(msg) == 1 { // else it is a file's meta event
			*c = Clock{}
		}
	}
}

// jump has the next clock be number pos.
func (c *Clock) jump(at time.Duration, pos int64) {
	c.since, c.pos, c.waits, c.doubt = at, pos, true, 0
}

// Beat is where the song is, in quarter notes since its start, between two clocks by
// the measured period. It is unknown (ok is false) while the transport stands, and
// when no clock has come for three and a half periods. sure, 0..1, is lower while few
// clocks have been heard, when they come unevenly, and after some were lost.
func (c *Clock) Beat(at time.Duration) (quarters, sure float64, ok bool) {
	quarters = float64(c.pos) / clocksPerQuarter
	period := c.period
	if period == 0 {
		period = defaultPeriod
	}
	since := at.Seconds() - c.fitted
	if c.waits {
		since = (at - c.since).Seconds()
	}
	if !c.runs || since > clockLost*period {
		return quarters, 0, false
	}
	if !c.waits && c.period > 0 {
		quarters += max(since/c.period, -1) / clocksPerQuarter
	}
	sure = float64(c.n+1) / float64(c.n+3) * max(0, 1-4*c.spread/period)
	if c.doubt > 0 {
		sure /= 2
	}
	return max(quarters, 0), sure, true
}

// defaultPeriod stands in, in seconds, until two clocks have come: 120 quarter notes a
// minute, the tempo of a MIDI file that names none (SMF 1.0, from memory).
const defaultPeriod = 0.5 / clocksPerQuarter

// Tempo is the tempo in quarter notes a minute, also while a program sends its clock
// with the transport standing. It is unknown until two clocks have come and when no
// clock has come for three and a half periods.
func (c *Clock) Tempo(at time.Duration) (bpm float64, ok bool) {
	if c.period == 0 || at.Seconds()-c.fitted > clockLost*c.period {
		return 0, false
	}
	return 60 / (clocksPerQuarter * c.period), true
}

// tick hears one clock at a time in seconds.
func (c *Clock) tick(at float64) {
	count := 1
	if c.n > 0 {
		gap := at - c.ticks[c.n-1]
		known := c.n >= clockKnown
		lost := int(math.Round(gap/c.period)) - 1
		switch {
		case gap < clockNear*c.period && c.filled > 0: // it was late, not lost, and is counted
			c.filled--
			c.doubt--
			return
		case gap <= 0:
			at = c.ticks[c.n-1]
		case c.period > 0 && gap > clockLost*c.period:
			c.n, c.filled = 0, 0
			c.doubt++
		case c.filled > 0 && lost == c.filled: // twice in a row: a new tempo
			count -= c.filled
			c.doubt -= c.filled
			c.ticks[0] = c.ticks[c.n-1]
			c.n, c.filled = 1, 0
		case known && lost > 0 && math.Abs(gap-float64(lost+1)*c.period) < clockNear*c.period:
			for i := range lost {
				c.keep(at - gap*float64(lost-i)/float64(lost+1))
			}
			count += lost
			c.filled = lost
			c.doubt += lost
		default:
			c.filled = 0
		}
	}
	c.keep(at)
	c.fit()
	switch {
	case !c.runs:
	case c.waits:
		c.waits, c.doubt = false, 0
	default:
		c.pos += int64(count)
	}
}

// keep puts a clock into the window.
func (c *Clock) keep(at float64) {
	if c.n == clockWindow {
		copy(c.ticks[:], c.ticks[1:])
		c.n--
	}
	c.ticks[c.n] = at
	c.n++
}

// fit lays the line. Where the last three gaps together have left the period behind,
// the tempo is new and all but the latest gap is forgotten.
func (c *Clock) fit() {
	if c.n == 1 {
		c.fitted, c.spread = c.ticks[0], 0
		return
	}
	if c.n > 3 {
		newest := (c.ticks[c.n-1] - c.ticks[c.n-4]) / 3
		if math.Abs(newest-c.period) > max(clockStep*c.period, 3*c.spread) {
			c.n = copy(c.ticks[:], c.ticks[c.n-2:c.n])
		}
	}
	last := c.ticks[c.n-1]
	n := float64(c.n)
	var st, sxt, stt float64 // x counts from the middle of the window, t from the latest clock
	for i, t := range c.ticks[:c.n] {
		x := float64(i) - (n-1)/2
		t -= last
		st += t
		sxt += x * t
		stt += t * t
	}
	sxx := n * (n*n - 1) / 12
	slope := sxt / sxx
	if slope <= 0 { // clocks of one moment
		c.fitted = last
		return
	}
	c.period = slope
	c.fitted = last + st/n + slope*(n-1)/2
	c.spread = math.Sqrt(max(0, stt-st*st/n-slope*sxt) / n)
}
