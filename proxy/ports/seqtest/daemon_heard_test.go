package seqtest

import (
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
)

// taken reads what testdata/tap printed into one of a scenario's files.
func taken(t *testing.T, r Result, name string) []expr.Event {
	t.Helper()
	data, ok := r.Files[name]
	if !ok {
		t.Fatalf("no file %s was left\n%s", name, r.Log)
	}
	var events []expr.Event
	for line := range strings.Lines(string(data)) {
		var us int64
		var port uint16
		var digits string
		if _, err := fmt.Sscan(line, &us, &port, &digits); err != nil {
			t.Fatalf("%s: the line %.60q: %v", name, line, err)
		}
		b, err := hex.DecodeString(digits)
		if err != nil || len(b) == 0 {
			t.Fatalf("%s: the line %.60q: %v", name, line, err)
		}
		e := expr.Event{At: time.Duration(us) * time.Microsecond, Port: port, Data: b}
		if len(b) <= 3 {
			e = expr.Short(e.At, port, b...)
		}
		events = append(events, e)
	}
	return events
}

// line is a message as testdata/tap says it: at a time, on a port.
func line(ms, port int, b ...byte) string { return fmt.Sprintf("%d %d %X\n", ms, port, b) }

// again begins the part of a script that testdata/tap says over and over, each time so
// many milliseconds after the last, until it is told to end; then begins what it says after that.
func again(ms int) string { return fmt.Sprintf("again %d\n", ms) }

const then = "then\n"

// words shows a message for people.
func words(e *expr.Event) string {
	b := e.Bytes()
	return fmt.Sprintf("port %d: % X (%d bytes)", e.Port, b[:min(len(b), 8)], len(b))
}

// address is a channel of a port.
type address struct {
	port    uint16
	channel int
}

// byChannel sorts channel messages by where they belong.
func byChannel(events []expr.Event) map[address][]expr.Event {
	m := map[address][]expr.Event{}
	for _, e := range events {
		if e.IsChannel() {
			a := address{e.Port, e.Channel()}
			m[a] = append(m[a], e)
		}
	}
	return m
}

// hanging lists the keys that were begun more often than ended, or the other way round.
func hanging(events []expr.Event) (keys []string) {
	for a, channel := range byChannel(events) {
		var held [128]int
		for i := range channel {
			switch e := &channel[i]; {
			case e.IsNoteOn():
				held[e.Msg[1]]++
			case e.IsNoteOff():
				held[e.Msg[1]]--
			}
		}
		for key, n := range held {
			if n != 0 {
				keys = append(keys, fmt.Sprintf("%v key %d: %+d", a, key, n))
			}
		}
	}
	return keys
}

// lastValue is what a controller was set to last, -1 if it never was.
func lastValue(events []expr.Event, port uint16, channel int, number byte) int {
	v := -1
	for i := range events {
		if e := &events[i]; e.Port == port && e.IsChannel() && e.Msg[0] == 0xB0|byte(channel) && e.Msg[1] == number {
			v = int(e.Msg[2])
		}
	}
	return v
}

func countNoteOns(events []expr.Event) (n int) {
	for i := range events {
		if events[i].IsNoteOn() {
			n++
		}
	}
	return n
}
