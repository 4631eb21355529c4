package seqtest

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/proxy/formats/smf"
)

// duetRawLevel is the expression that the notation program itself sends to the
// strings: where the controller stands on the raw side.
const duetRawLevel = 111

// duetScript is a note of the strings, over repeated ones of a trumpet for as long as the
// switches take.
func duetScript() string {
	return line(0, 0, 0xC0, 48) + line(0, 0, 0xB0, 11, duetRawLevel) + line(0, 0, 0xC1, 56) + line(50, 0, 0x90, 67, 100) +
		again(200) + line(0, 0, 0x91, 70, 90) + line(150, 0, 0x81, 70, 64) +
		then + line(0, 0, 0x80, 67, 64)
}

// switches goes back and forth between raw and shaped while notes sound.
func switches() Scenario {
	return Scenario{
		Name: "switches",
		Script: `
			. "$LIB"
			notes=0
			# some N: until N more of the trumpet's notes have come, and for longer than any ramp
			# takes: 96 dB at 1 dB a millisecond. More time does no harm.
			some() {
				notes=$(grep -c ' 0 9146' "$OUT/heard.txt") || true
				wait_lines $((notes + $1)) "$OUT/heard.txt" ' 0 9146'
				sleep 0.3
			}
			mark() {
				echo "0 0 F07D$1F7" >mark
				tap say mark 'swellbox in 1' >>"$OUT/marks.txt"
				wait_lines 1 "$OUT/heard.txt" "F07D$1F7"
			}
			live --only ` + strings.Join(habitsOfOneNote, ",") + `
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
			swellbox switch raw 'channel 2 of port 1 (trumpet)'
			some 2
			mark 04
			swellbox status --json >"$OUT/mixed.json"
			swellbox switch raw
			swellbox switch shaped
			swellbox switch raw
			swellbox switch shaped
			mark 05
			stop duet
			wait_lines 1 "$OUT/heard.txt" ' 0 8043'
			wait_ended "$OUT/heard.txt"
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
			checkSides(t, heard, said, taken(t, r, "marks.txt"))
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

// checkSides checks that each switch brought the controllers to the side's own state:
// of the strings at the marks 1 to 4, which are shaped, raw, shaped, shaped. How long their note
// had sounded for the daemon when it heard a mark is not known, but it lies between two times
// that are: from the note heard to the mark said, and from the note said to the mark heard.
func checkSides(t *testing.T, heard, said, marks []expr.Event) {
	t.Helper()
	render := byChannel(rendered(t, fileOfSaid(said)))[address{0, 0}]
	isStrings := func(e expr.Event) bool { return e.IsNoteOn() && e.Channel() == 0 }
	noteSaid, noteHeard := said[slices.IndexFunc(said, isStrings)].At, heard[slices.IndexFunc(heard, isStrings)].At
	began := render[slices.IndexFunc(render, isStrings)].At
	const period = engine.DefaultControlPeriod + time.Millisecond // as the file has whole milliseconds
	for n := byte(1); n <= 4; n++ {
		index := indexOfMark(t, heard, n)
		from, to := marks[indexOfMark(t, marks, n)].At-noteHeard, heard[index].At-noteSaid
		for _, number := range []byte{1, 11} {
			v := lastValue(heard[:index], 0, 0, number)
			low, high := span(controller(render, number), began+from-period, began+to+period)
			if n == 2 {
				low = map[byte]int{1: 0, 11: duetRawLevel}[number]
				high = low
			}
			t.Logf("mark %d, %v to %v after the note: controller %d stands at %d of %d to %d", n, from, to, number, v, low, high)
			if v < low || v > high {
				t.Errorf("at mark %d controller %d stands at %d, want %d to %d", n, number, v, low, high)
			}
		}
	}
}

// fileOfSaid is a file of what was said, on one port.
func fileOfSaid(said []expr.Event) *smf.File {
	var all []timed
	for i := range said {
		all = append(all, timed{int((said[i].At - said[0].At).Milliseconds()), said[i].Bytes()})
	}
	return millisecondFile(all)
}
