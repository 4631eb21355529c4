package seqtest

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"swellbox/proxy/formats/smf"
)

// A melody in eighths of 250 ms, eight in a bar: of its 128 notes the program plays four
// bars from the fifth on, over and over.
const (
	eighth      = 250 // ms
	melodyNotes = 128
	melodyFrom  = 4 * 8
	melodyTo    = melodyFrom + melodyLoop
	melodyLoop  = 4 * 8
	ahead       = 3000 // ms
)

// melody is the keys of the notes, by a chance that is always the same.
var melody = func() (keys [melodyNotes]byte) {
	random := rand.New(rand.NewPCG(1, 2))
	for i := range keys {
		keys[i] = byte(48 + random.IntN(36))
	}
	return keys
}()

// melodyFile is the piece as the notation program exports it.
func melodyFile(t *testing.T) []byte {
	track := smf.Track{End: melodyNotes * 240}
	for i := range melodyNotes {
		tick := int64(i) * 240
		track.Events = append(track.Events,
			smf.Event{Tick: tick, Data: []byte{0x90, melody[i], 80}}, smf.Event{Tick: tick + 200, Data: []byte{0x80, melody[i], 64}})
	}
	return fileOf(t, &smf.File{Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{track}})
}

// triedScript is a note on another channel, played while nothing runs.
func triedScript() string { return line(0, 0, 0x9F, 100, 80) + line(100, 0, 0x8F, 100, 64) }

// melodyScript starts, and plays for as long as it is to.
func melodyScript() string {
	var s strings.Builder
	s.WriteString(line(0, 0, 0xFA) + again(melodyLoop*eighth))
	for i := melodyFrom; i < melodyTo; i++ {
		at := (i - melodyFrom) * eighth
		s.WriteString(line(at, 0, 0x90, melody[i], 80) + line(at+200, 0, 0x80, melody[i], 64))
	}
	return s.String() + then + line(0, 0, mark(1)...)
}

// looksAhead plays raw with a lookahead and a score: all is heard as it was said, what is played
// no sooner than the lookahead, and the status says so. How much later exactly, that a note which is
// tried is not delayed, and what place of the score is found takes exact clocks:
// TestLookaheadDelaysBothSides, TestAuditionsSoundAtOnce and TestScoreIsFollowed in proxy/live.
func looksAhead() Scenario {
	return Scenario{
		Name: "looks-ahead",
		Script: `
			. "$LIB"
			live --raw --lookahead ` + strconv.Itoa(ahead) + ` --score "$FILES/melody.mid"
			heed heard 'swellbox out 1'
			tap say "$FILES/tried" 'swellbox in 1' >"$OUT/tried.txt"
			wait_lines 1 "$OUT/heard.txt" ' 0 8F'
			# The delay grows at once when nothing has sounded for a second. More time does no harm.
			sleep 1.5
			start said tap say "$FILES/melody" 'swellbox in 1'
			wait_lines 16 "$OUT/heard.txt" ' 0 90'
			swellbox status --json >"$OUT/status.json"
			swellbox status >"$OUT/status.txt"
			stop said
			wait_lines 1 "$OUT/heard.txt" ' 0 F07D01F7'
			swellbox lookahead 0 --json >"$OUT/after.json"
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			heard, said := taken(t, r, "heard.txt"), slices.Concat(taken(t, r, "tried.txt"), taken(t, r, "said.txt"))
			if len(heard) != len(said) {
				t.Fatalf("%d messages were heard of %d", len(heard), len(said))
			}
			for i := range said {
				if string(heard[i].Bytes()) != string(said[i].Bytes()) {
					t.Fatalf("message %d is %s, want %s", i, words(&heard[i]), words(&said[i]))
				}
				if delay := heard[i].At - said[i].At; said[i].IsNoteOn() && said[i].Channel() != 15 && delay < (ahead-5)*time.Millisecond { // the clocks of two processors may differ
					t.Errorf("a note of the piece came only %v later", delay)
				}
			}
			s := readStatus(t, r, "status.json")
			if f := s.Foreknowledge; f.Score != "melody.mid" || f.LookaheadMS != ahead || s.DelayMS != ahead || f.Transport != "runs" {
				t.Errorf("status: %+v, delay %v ms", f, s.DelayMS)
			}
			lookahead := fmt.Sprintf("lookahead %d ms; the transport runs (clock runs), so notes sound %[1]d ms later", ahead)
			for _, want := range []string{lookahead, "score melody.mid: "} {
				if !strings.Contains(string(r.Files["status.txt"]), want) {
					t.Errorf("status does not say %q:\n%s", want, r.Files["status.txt"])
				}
			}
			if after := readStatus(t, r, "after.json"); after.Foreknowledge.LookaheadMS != 0 {
				t.Errorf("after lookahead 0: %+v", after.Foreknowledge)
			}
		},
	}
}
