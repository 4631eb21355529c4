package live

import (
	"bytes"
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"swellbox/expr"
)

// sending is what a cable sent, and when.
type sending struct {
	at time.Time
	ev expr.Event
}

// Whatever is put, and whenever: no second carries more than is allowed; what is no movement comes in its
// order, and nothing that moves is sent while it waits; each controller stands where it was put last
// before every note of its channel, and at the end.
func TestAnyCable(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		speed := rapid.SampledFrom([]int{CableSpeed, 300, 1000}).Draw(r, "speed")
		c := newCable(speed)
		now := time.Unix(0, 0)
		var sent []sending
		var batch []expr.Event
		var firm []expr.Event // put, in order
		var put, stands [16][movements][3]byte
		var before [][movements][3]byte // for each note-on put: its channel's controllers
		take := func() (wait time.Duration) {
			batch, wait = c.take(now, batch[:0])
			for i := range batch {
				sent = append(sent, sending{now, batch[i]})
			}
			return wait
		}
		for range rapid.IntRange(1, 400).Draw(r, "events") {
			ch := byte(rapid.IntRange(0, 3).Draw(r, "channel"))
			var e expr.Event
			switch rapid.IntRange(0, 7).Draw(r, "kind") {
			case 0:
				e = expr.Short(0, 0, 0x90|ch, byte(rapid.IntRange(0, 127).Draw(r, "key")), 80)
			case 1:
				e = expr.Short(0, 0, 0x80|ch, byte(rapid.IntRange(0, 127).Draw(r, "key")), 0)
			case 2:
				e = expr.Short(0, 0, 0xB0|ch, 64, byte(rapid.IntRange(0, 127).Draw(r, "pedal")))
			case 3:
				e = expr.Short(0, 0, 0xE0|ch, byte(rapid.IntRange(0, 127).Draw(r, "bend")), 64)
			case 4:
				now = now.Add(time.Duration(rapid.IntRange(0, 100).Draw(r, "ms")) * time.Millisecond)
				take()
				continue
			default:
				e = expr.Short(0, 0, 0xB0|ch, rapid.SampledFrom([]byte{1, 7, 11, 43, 74, 77}).Draw(r, "number"), byte(rapid.IntRange(0, 127).Draw(r, "value")))
			}
			if what, _, moving := moves(&e); moving {
				put[ch][what] = e.Msg
			} else {
				firm = append(firm, e)
				if e.IsNoteOn() {
					before = append(before, put[ch])
				}
			}
			c.put(&e)
			if rapid.Bool().Draw(r, "sent at once") {
				take()
			}
		}
		for wait := take(); wait > 0; wait = take() {
			now = now.Add(wait)
		}
		if c.waiting() > 0 {
			r.Fatalf("%d messages are never sent", c.waiting())
		}
		window, from := 0, 0
		for i := range sent {
			window += len(sent[i].ev.Bytes())
			for sent[i].at.Sub(sent[from].at) >= time.Second {
				window -= len(sent[from].ev.Bytes())
				from++
			}
			if window > speed {
				r.Fatalf("%d bytes in a second, %d are allowed", window, speed)
			}
			e := &sent[i].ev
			if what, _, moving := moves(e); moving {
				stands[e.Channel()][what] = e.Msg
				continue
			}
			if len(firm) == 0 || !bytes.Equal(firm[0].Bytes(), e.Bytes()) {
				r.Fatalf("% X is sent out of its order", e.Bytes())
			}
			firm = firm[1:]
			if e.IsNoteOn() {
				for what := range before[0] {
					if want := before[0][what]; want[0] != 0 && stands[e.Channel()][what] != want {
						r.Fatalf("before the note % X, % X is missing", e.Bytes(), want)
					}
				}
				before = before[1:]
			}
		}
		if len(firm) > 0 || stands != put {
			r.Fatalf("at the end not all is said")
		}
	})
}

// A note that comes when movement waits goes first, what moves its own channel before it; then what is
// heard most.
func TestNotesGoFirst(t *testing.T) {
	c := newCable(300)
	put := func(b ...byte) {
		e := expr.Short(0, 0, b...)
		c.put(&e)
	}
	put(0x90, 60, 80) // fills the cable
	now := time.Unix(0, 0)
	if sent, wait := c.take(now, nil); len(sent) != 1 || wait != 0 {
		t.Fatalf("%d messages sent, then a wait of %v", len(sent), wait)
	}
	put(0xB1, 74, 90) // a colour
	put(0xB2, 11, 10) // a level
	put(0xB2, 11, 60)
	put(0xB3, 11, 50)
	put(0x93, 62, 80)
	put(0xB3, 11, 51)
	put(0x81, 64, 0)
	var got []string
	for wait := time.Nanosecond; wait > 0; now = now.Add(wait) {
		var sent []expr.Event
		sent, wait = c.take(now, nil)
		for i := range sent {
			got = append(got, fmt.Sprintf("% X", sent[i].Bytes()))
		}
	}
	want := []string{"B3 0B 32", "93 3E 50", "81 40 00", "B2 0B 3C", "B1 4A 5A", "B3 0B 33"}
	if !slices.Equal(got, want) {
		t.Errorf("sent\n%q, want\n%q", got, want)
	}
}
