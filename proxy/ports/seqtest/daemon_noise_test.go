package seqtest

import (
	"strconv"
	"strings"
	"testing"
)

// floodScript says different messages for as long as it is to, a millisecond apart.
func floodScript() string {
	var s strings.Builder
	s.WriteString(again(100))
	for i := range 100 {
		s.WriteString(line(i, 0, 0xB0, 80, byte(i)))
	}
	return s.String() + then + line(0, 0, mark(1)...)
}

// isSignalled sends the signal by which Go's runtime interrupts its threads to each thread of
// the daemon while messages come in. The one that reads must not hear of it, nothing may be lost,
// and nothing be printed that is not the daemon's own.
func isSignalled() Scenario {
	return Scenario{
		Name: "is-signalled",
		Script: `
			. "$LIB"
			live
			heed heard 'swellbox out 1'
			start flood tap say "$FILES/flood" 'swellbox in 1'
			wait_lines 100 "$OUT/heard.txt" ' 0 B050'
			for thread in /proc/$pid_live/task/*; do
				sed -n 's/^SigBlk:.//p' "$thread/status"
			done >"$OUT/masks.txt"
			i=0
			while [ $i -lt 100 ]; do
				for thread in /proc/$pid_live/task/*; do
					kill -s URG "${thread##*/}"
				done
				i=$((i + 1))
			done
			stop flood
			wait_lines 1 "$OUT/heard.txt" ' 0 F07D01F7'
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			var want [][]byte
			for _, e := range taken(t, r, "flood.txt") {
				want = append(want, e.Bytes())
			}
			sameMessages(t, "heard", taken(t, r, "heard.txt"), want)
			const urgent = 1 << (23 - 1) // SIGURG, signal(7)
			readers := 0
			for _, digits := range strings.Fields(string(r.Files["masks.txt"])) {
				mask, err := strconv.ParseUint(digits, 16, 64)
				if err != nil {
					t.Fatal(err)
				}
				if mask&urgent != 0 {
					readers++
				}
			}
			if readers != 1 {
				t.Errorf("SIGURG is held off %d threads of the daemon, want the one that reads: %s", readers, r.Files["masks.txt"])
			}
			for l := range strings.Lines(string(r.Files["live.err"])) {
				if !strings.Contains(l, " INF ") {
					t.Errorf("the daemon's log, or the library, says %s", l)
				}
			}
		},
	}
}

// saysWhatWasLost stops the daemon while more comes in than ALSA has room for, and a chord is held
// whose end might be among it.
func saysWhatWasLost() Scenario {
	return Scenario{
		Name: "says-what-was-lost",
		Script: `
			. "$LIB"
			live
			heed heard 'swellbox out 1'
			in=$(wait_port 'swellbox in 1')
			start chord tap say "$FILES/chord" 'swellbox in 1'
			wait_lines 4 "$OUT/heard.txt" ' 0 9'
			kill -s STOP $pid_live
			for i in 1 2 3; do aplaymidi -d 0 -p "$in" "$FILES/crowd.mid"; done
			kill -s CONT $pid_live
			wait_lines 1 "$OUT/live.err" 'messages that came in were lost'
			wait_lines 4 "$OUT/heard.txt" ' 0 8'
			wait_lines 1 "$OUT/heard.txt" ' 0 B04000'
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			if keys := hanging(taken(t, r, "heard.txt")); len(keys) > 0 {
				t.Errorf("hanging: %q", keys)
			}
			if said := string(r.Files["live.err"]); strings.Contains(said, "overrun") || strings.Contains(said, "MIDI that came in") {
				t.Errorf("the loss is told again by the driver:\n%s", said)
			}
		},
	}
}
