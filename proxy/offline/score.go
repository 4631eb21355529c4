package offline

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
)

// Score makes the score of a timeline's notes, and tells each note-on among the events
// which note of the score it is.
func (t *Timeline) Score() *expr.Score {
	s := &expr.Score{End: t.End}
	type address struct {
		port    uint16
		channel uint8
		key     uint8
	}
	type queue struct{ first, last int32 } // of the notes of a key that wait for their end, by start; from 1
	sounding := map[address]queue{}
	n := 0
	for i := range t.Events {
		if t.Events[i].IsNoteOn() {
			n++
		}
	}
	s.Notes = make([]expr.Written, 0, n)
	events := make([]int, 0, n) // by note: the event that starts it
	next := make([]int32, n+1)  // by note, from 1: the one behind it in its queue
	for i := range t.Events {
		e := &t.Events[i]
		if !e.IsNoteOn() && !e.IsNoteOff() {
			continue
		}
		a := address{e.Port, uint8(e.Channel()), e.Msg[1]}
		if e.IsNoteOn() {
			q, number := sounding[a], int32(len(s.Notes)+1)
			if q.first == 0 {
				q.first = number
			} else {
				next[q.last] = number
			}
			q.last = number
			sounding[a] = q
			events = append(events, i)
			s.Notes = append(s.Notes, expr.Written{
				On: e.At, Off: t.End, Beat: t.quarters(t.ticks[i]), Length: t.quarters(t.end) - t.quarters(t.ticks[i]),
				Port: a.port, Channel: a.channel, Key: a.key, Velocity: e.Msg[2], Staff: 1,
				Calls: t.Calls(i),
			})
		} else if q := sounding[a]; q.first > 0 {
			n := &s.Notes[q.first-1]
			n.Off, n.Length = e.At, t.quarters(t.ticks[i])-n.Beat
			q.first = next[q.first]
			sounding[a] = q
		}
	}
	t.number(s, events)
	t.nameParts(s)
	t.countBars(s)
	return s
}

// number puts the score's notes in order, and numbers the events by it.
func (t *Timeline) number(s *expr.Score, events []int) {
	order := make([]int, len(s.Notes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &s.Notes[a], &s.Notes[b]
		return cmp.Or(cmp.Compare(x.On, y.On), cmp.Compare(x.Port, y.Port), cmp.Compare(x.Channel, y.Channel), cmp.Compare(x.Key, y.Key))
	})
	sorted := make([]expr.Written, len(order))
	for i, n := range order {
		sorted[i] = s.Notes[n]
		t.Events[events[n]].Note = int32(i + 1)
	}
	s.Notes = sorted
}

// nameParts has each channel that plays be a part of the score.
func (t *Timeline) nameParts(s *expr.Score) {
	parts := map[int]uint16{}
	for _, h := range t.Hints {
		parts[(h.Port-1)*16+h.Channel-1] = uint16(len(s.Parts))
		s.Parts = append(s.Parts, cmp.Or(h.Track, h.Instrument))
	}
	for i := range s.Notes {
		n := &s.Notes[i]
		n.Part = parts[int(n.Port)*16+int(n.Channel)]
	}
}

// maxBars bounds the bars that are counted: no piece has as many, and what seems to
// has a damaged time signature.
const maxBars = 1 << 17

// countBars lists the bars, of which a file in SMPTE time has none.
func (t *Timeline) countBars(s *expr.Score) {
	for bar := 1; t.Bars != nil && bar <= maxBars; bar++ {
		tick := t.Bars.BarStart(bar)
		if tick >= t.end && bar > 1 {
			return
		}
		beats, unit := t.Bars.Signature(bar)
		s.Bars = append(s.Bars, expr.Bar{At: t.Tempo.At(tick), Beat: t.quarters(tick), Number: bar, Beats: beats, Unit: unit})
	}
}

// quarters is a tick in quarter notes; in SMPTE time, in half seconds.
// Quarter is where an event stands, in quarter notes since the start; in SMPTE time a second has two.
func (t *Timeline) Quarter(event int) float64 { return t.quarters(t.ticks[event]) }

// QuarterOf is where a tick stands, likewise.
func (t *Timeline) QuarterOf(tick int64) float64 { return t.quarters(tick) }

// Quarters is where the last track ends, likewise.
func (t *Timeline) Quarters() float64 { return t.quarters(t.end) }

func (t *Timeline) quarters(tick int64) float64 {
	if t.perQuarter == 0 {
		return 2 * float64(t.Tempo.At(tick)) / float64(time.Second)
	}
	return float64(tick) / float64(t.perQuarter)
}
