package seqtest

import (
	"math"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
)

// duetRawLevel is the expression that the notation program itself sends to the
// strings: where the controller stands on the raw side.
const duetRawLevel = 111

// duet is a long note of the strings, over repeated ones of a trumpet.
func duet() []timed {
	const length = 9000
	all := []timed{
		{0, []byte{0xC0, 48}}, {0, []byte{0xB0, 11, duetRawLevel}}, {0, []byte{0xC1, 56}},
		{50, []byte{0x90, 67, 100}}, {50 + length, []byte{0x80, 67, 64}},
	}
	for at := 60; at < length; at += 200 {
		all = append(all, timed{at, []byte{0x91, 70, 90}}, timed{at + 150, []byte{0x81, 70, 64}})
	}
	return all
}

func duetScript() string {
	f := millisecondFile(duet())
	var s strings.Builder
	for _, e := range f.Tracks[0].Events[1:] {
		s.WriteString(line(int(e.Tick), 0, e.Data...))
	}
	return s.String()
}

// switches goes back and forth between raw and shaped while notes sound.
func switches() Scenario {
	return Scenario{
		Name: "switches",
		Script: `
			. "$LIB"
			notes=0
			# some N: until N more of the trumpet's notes have come.
			some() {
				notes=$(grep -c ' 0 9146' "$OUT/heard.txt") || true
				wait_lines $((notes + $1)) "$OUT/heard.txt" ' 0 9146'
			}
			mark() {
				echo "0 0 F07D$1F7" >mark
				tap say mark 'swellbox in 1' >/dev/null
				wait_lines 1 "$OUT/heard.txt" "F07D$1F7"
			}
			live --only ` + strings.Join(rulesOfOneNote, ",") + `
			heed heard 'swellbox out 1'
			start duet tap say "$FILES/duet" 'swellbox in 1'
			wait_lines 4 "$OUT/heard.txt" ' 0 9146'
			mark 01
			swellbox switch raw
			some 2
			mark 02
			swellbox switch shaped
			some 2
			mark 03
			swellbox switch raw 'trumpet (port 1 channel 2)'
			some 2
			mark 04
			swellbox status --json >"$OUT/mixed.json"
			swellbox switch raw
			swellbox switch shaped
			swellbox switch raw
			swellbox switch shaped
			mark 05
			[ -e /proc/$pid_duet ] || fail "the duet was over before the switches were"
			wait $pid_duet
			wait_lines 1 "$OUT/heard.txt" ' 0 8043'
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			heard, said := taken(t, r, "heard.txt"), taken(t, r, "duet.txt")
			if keys := hanging(heard); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
			if got, want := countNoteOns(heard), countNoteOns(said); got != want {
				t.Errorf("%d note-ons, want %d: one each", got, want)
			}
			steps(t, heard)
			checkSides(t, heard, said)
			s := readStatus(t, r, "mixed.json")
			if s.Side != "mixed" || len(s.Parts) != 2 || s.Parts[0].Side != "shaped" || s.Parts[1].Side != "raw" {
				t.Errorf("with the trumpet raw: %+v", s)
			}
		},
	}
}

// steps checks that the level of the long note never moves by more than a step of the
// ramp: 1 dB a millisecond, every 2 ms, or one value where that is less.
func steps(t *testing.T, heard []expr.Event) {
	t.Helper()
	const stepDB = 2
	last, sounds, moves := 0, false, 0
	for i := range heard {
		e := &heard[i]
		if !e.IsChannel() || e.Channel() != 0 {
			continue
		}
		sounds = sounds && !e.IsNoteOff() || e.IsNoteOn()
		if e.Msg[0] != 0xB0 || e.Msg[1] != 11 {
			continue
		}
		v := int(e.Msg[2])
		ratio := math.Pow(10, stepDB/40.0) // 40·log10(v/127): General MIDI 2
		low, high := int(math.Round(float64(last)/ratio)), int(math.Round(float64(last)*ratio))
		if sounds && (v < min(low, last-1) || v > max(high, last+1)) {
			t.Errorf("the level of a sounding note jumps from %d to %d", last, v)
		}
		last = v
		moves++
	}
	t.Logf("%d moves of the level", moves)
	if moves < 20 {
		t.Errorf("the level moved %d times: too few for three ramps each way", moves)
	}
}

// slack is how far the times of the duet may be off in a machine that is emulated.
// Its level moves by some values a second.
const slack = 300 * time.Millisecond

// checkSides checks that each switch brought the controllers to the side's own state:
// of the strings at the marks 1 to 4, which are shaped, raw, shaped, shaped.
func checkSides(t *testing.T, heard, said []expr.Event) {
	t.Helper()
	render := rendered(t, millisecondFile(duet()))
	began := said[0].At
	for n := byte(1); n <= 4; n++ {
		upTo := heard[:indexOfMark(t, heard, n)]
		at := heard[len(upTo)].At - began
		for _, number := range []byte{1, 11} {
			v := lastValue(upTo, 0, 0, number)
			low, high := span(controller(byChannel(render)[address{0, 0}], number), at-slack, at+slack)
			if n == 2 {
				low = map[byte]int{1: 0, 11: duetRawLevel}[number]
				high = low
			}
			if v < low || v > high {
				t.Errorf("at mark %d controller %d stands at %d, want %d to %d", n, number, v, low, high)
			}
		}
	}
}
