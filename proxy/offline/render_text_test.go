package offline_test

import (
	"flag"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
)

var update = flag.Bool("update", false, "write the golden files in testdata/render anew")

// line is an event on a line of text.
func line(at time.Duration, data []byte) string {
	return fmt.Sprintf("%8.1f ms  %s", float64(at)/1e6, message(data))
}

// message says what a message is.
func message(d []byte) string {
	switch d[0] & 0xF0 {
	case 0x80:
		return fmt.Sprintf("channel %d  end of note %s", d[0]&0x0F+1, pitch(d[1]))
	case 0x90:
		return fmt.Sprintf("channel %d  note %s velocity %d", d[0]&0x0F+1, pitch(d[1]), d[2])
	case 0xB0:
		return fmt.Sprintf("channel %d  controller %d to %d", d[0]&0x0F+1, d[1], d[2])
	case 0xC0:
		return fmt.Sprintf("channel %d  program %d", d[0]&0x0F+1, d[1]+1)
	}
	return fmt.Sprintf("% X", d)
}

// pitch is a key's name; 60 is C4.
func pitch(key byte) string {
	return fmt.Sprintf("%s%d", [...]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}[key%12], int(key)/12-1)
}

func describe(p perform.PartReport) string {
	var habits []string
	for _, name := range slices.Sorted(maps.Keys(p.Habits)) {
		habits = append(habits, fmt.Sprintf("%s %d", name, p.Habits[name]))
	}
	return fmt.Sprintf("%s: %s, players %d, port %d channel %d, notes %d, %s\n  %s\n",
		p.Name, p.Profile, p.Players, p.Port, p.Channel, p.Notes, strings.Join(habits, ", "), p.Why)
}

func dump(i int, tr smf.Track) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\ntrack %d, ends at tick %d\n", i+1, tr.End)
	for _, e := range tr.Events {
		if kind, payload, ok := e.Meta(); ok {
			fmt.Fprintf(&b, "%6d  meta %02X %q\n", e.Tick, kind, payload)
			continue
		}
		fmt.Fprintf(&b, "%6d  %s\n", e.Tick, message(e.Data))
	}
	return b.String()
}
