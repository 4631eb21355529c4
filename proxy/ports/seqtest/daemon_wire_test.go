package seqtest

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
)

// sysex is a system exclusive message of so many bytes, F0 and F7 included.
func sysex(length int) []byte {
	b := make([]byte, length)
	for i := range b {
		b[i] = byte(i*11+length) & 0x7F
	}
	b[0], b[length-1] = 0xF0, 0xF7
	return b
}

// wireMessages are all kinds that pass through untouched on a channel that has not
// been seated: all but notes, and 20 kB of system exclusive.
func wireMessages() [][]byte {
	return [][]byte{
		sysex(2), sysex(6), sysex(255), sysex(256), sysex(257), sysex(20_000),
		{0xF1, 0x35}, {0xF2, 0x12, 0x34}, {0xF3, 5}, {0xF6}, {0xFA}, {0xF8}, {0xF8}, {0xFB}, {0xFC}, {0xFE},
		{0xB4, 7, 99}, {0xB4, 39, 1}, {0xB4, 0, 1}, {0xB4, 32, 2}, {0xC4, 73}, {0xB4, 20, 64},
		{0xB4, 101, 0}, {0xB4, 100, 0}, {0xB4, 6, 12}, {0xB4, 38, 0}, {0xB4, 99, 1}, {0xB4, 98, 8}, {0xB4, 6, 3},
		{0xE4, 0, 0}, {0xE4, 127, 127}, {0xE4, 0, 64}, {0xD4, 77}, {0xA4, 60, 11}, {0xB4, 64, 127}, {0xB4, 64, 0},
		{0xB4, 121, 0}, {0xFF},
	}
}

func wireScript() string {
	var s strings.Builder
	for i, m := range slices.Concat([][]byte{mark(1)}, wireMessages(), [][]byte{mark(2)}) {
		for port := range 2 {
			s.WriteString(line(2*i, port, m...))
		}
	}
	return s.String()
}

// passesAll sends what is not notes through two inputs, on the shaped side and then
// on the raw one: each byte arrives, in order, at the output of its number.
func passesAll() Scenario {
	return Scenario{
		Name: "passes-all",
		Script: `
			. "$LIB"
			live --inputs 2
			heed heard 'swellbox out 1' 'swellbox out 2'
			tap say "$FILES/wire" 'swellbox in 1' 'swellbox in 2' >/dev/null
			wait_lines 2 "$OUT/heard.txt" F07D02F7
			swellbox switch raw
			tap say "$FILES/wire" 'swellbox in 1' 'swellbox in 2' >/dev/null
			wait_lines 4 "$OUT/heard.txt" F07D02F7
			swellbox status --json >"$OUT/status.json"
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			heard := taken(t, r, "heard.txt")
			for port := range 2 {
				rest := onPort(heard, port)
				for _, side := range []string{"shaped", "raw"} {
					end := indexOfMark(t, rest, 2)
					sameMessages(t, side, rest[indexOfMark(t, rest, 1)+1:end], wireMessages())
					rest = rest[end+1:]
				}
			}
			s := readStatus(t, r, "status.json")
			for i, in := range s.Inputs {
				if n := uint64(2 * (len(wireMessages()) + 2)); in.Messages != n {
					t.Errorf("input %d counts %d messages, want %d", i+1, in.Messages, n)
				}
			}
		},
	}
}

func onPort(events []expr.Event, port int) (on []expr.Event) {
	for _, e := range events {
		if int(e.Port) == port {
			on = append(on, e)
		}
	}
	return on
}

// sameMessages holds what was received against what was sent.
func sameMessages(t *testing.T, what string, got []expr.Event, want [][]byte) {
	t.Helper()
	for i := range min(len(got), len(want)) {
		if !bytes.Equal(got[i].Bytes(), want[i]) {
			t.Errorf("%s: message %d is %s, want % X (%d bytes)", what, i, words(&got[i]), want[i][:min(len(want[i]), 8)], len(want[i]))
			return
		}
	}
	if len(got) != len(want) {
		t.Errorf("%s: %d messages, want %d", what, len(got), len(want))
	}
}

// burstMessages are 3,000 messages, then 100 kB of system exclusive, then one more.
func burstMessages() [][]byte {
	var all [][]byte
	for i := range 3000 {
		all = append(all, []byte{0xB0 | byte(i%16), byte(20 + i/16%10), byte(i / 160 % 128)})
	}
	return append(all, sysex(100_000), []byte{0xBF, 80, 1})
}

func burstScript() string {
	var s strings.Builder
	for _, m := range burstMessages() {
		s.WriteString(line(0, 0, m...))
	}
	return s.String()
}

// takesBursts sends more at once than the pools of the sequencer hold.
func takesBursts() Scenario {
	return Scenario{
		Name: "takes-bursts",
		Script: `
			. "$LIB"
			live
			heed heard 'swellbox out 1'
			tap say "$FILES/burst" 'swellbox in 1' >"$OUT/said.txt"
			wait_lines 1 "$OUT/heard.txt" 'BF5001'
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			got, said := taken(t, r, "heard.txt"), taken(t, r, "said.txt")
			sameMessages(t, "heard", got, burstMessages())
			t.Logf("%d messages said in %v, heard in %v", len(said), said[len(said)-1].At-said[0].At, got[len(got)-1].At-said[0].At)
		},
	}
}

// crowd is what a sender that does not look at its receivers puts into one tick.
const crowd = 1000

// crowdFile is a file with so many messages at one tick, then a pause and a mark.
func crowdFile(t *testing.T) []byte {
	var track smf.Track
	for i := range crowd {
		track.Events = append(track.Events, smf.Event{Tick: 96, Data: []byte{0xB0 | byte(i%16), byte(20 + i/128), byte(i % 128)}})
	}
	track.Events = append(track.Events, smf.Event{Tick: 192, Data: []byte{0xBF, 80, 1}})
	track.End = 192
	return fileOf(t, &smf.File{Division: smf.Division{TicksPerQuarter: 96}, Tracks: []smf.Track{track}})
}

func fileOf(t *testing.T, f *smf.File) []byte {
	t.Helper()
	b, err := f.Append(nil)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// takesCrowds plays a file through a sender that hands over blindly.
func takesCrowds() Scenario {
	return Scenario{
		Name: "takes-crowds",
		Script: `
			. "$LIB"
			live
			heed heard 'swellbox out 1'
			aplaymidi -d 0 -p "$(wait_port 'swellbox in 1')" "$FILES/crowd.mid"
			wait_lines 1 "$OUT/heard.txt" 'BF5001'
			swellbox status --json >"$OUT/status.json"
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			got := taken(t, r, "heard.txt")
			if s := readStatus(t, r, "status.json"); s.Inputs[0].Messages != crowd+1 || len(got) != crowd+1 {
				t.Errorf("of %d messages %d were received and %d heard", crowd+1, s.Inputs[0].Messages, len(got))
			}
		},
	}
}
