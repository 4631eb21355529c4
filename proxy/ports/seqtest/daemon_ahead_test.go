package seqtest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
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
	ahead       = 3000 // ms: far more than any machine takes to pass on a note
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

// melodyScript tries a note on another channel, then starts, and plays for as long as it is to.
func melodyScript() string {
	const start = 2500 // ms
	var s strings.Builder
	s.WriteString(line(0, 0, 0x9F, 100, 80) + line(100, 0, 0x8F, 100, 64) + line(start, 0, 0xFA) + again(melodyLoop*eighth))
	for i := melodyFrom; i < melodyTo; i++ {
		at := (i - melodyFrom) * eighth
		s.WriteString(line(at, 0, 0x90, melody[i], 80) + line(at+200, 0, 0x80, melody[i], 64))
	}
	return s.String() + then + line(0, 0, mark(1)...)
}

// looksAhead plays raw with a lookahead and a score: what is played comes later by the
// lookahead, a note that is tried does not, and the status knows the place, on a machine that
// keeps time well enough for the melody to be known again.
func looksAhead() Scenario {
	return Scenario{
		Name: "looks-ahead",
		Script: `
			. "$LIB"
			knows() {
				before=$(grep -c ' 0 90' "$OUT/heard.txt") || true
				swellbox status --json >"$OUT/status.json"
				after=$(grep -c ' 0 90' "$OUT/heard.txt") || true
				grep -q '"found": true' "$OUT/status.json" && grep -q '"grade": "score"' "$OUT/status.json"
			}
			live --raw --lookahead ` + strconv.Itoa(ahead) + ` --score "$FILES/melody.mid"
			heed heard 'swellbox out 1'
			start said tap say "$FILES/melody" 'swellbox in 1'
			wait_lines 16 "$OUT/heard.txt" ' 0 90'
			TRIES=8
			retry knows || echo "the place was not found"
			TRIES=1200
			echo "$before"
			echo "$after"
			swellbox status >"$OUT/status.txt"
			stop said
			wait_lines 1 "$OUT/heard.txt" ' 0 F07D01F7'
			swellbox lookahead 0 --json >"$OUT/after.json"
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			heard, said := taken(t, r, "heard.txt"), taken(t, r, "said.txt")
			if len(heard) != len(said) {
				t.Fatalf("%d messages were heard of %d", len(heard), len(said))
			}
			var delays []time.Duration
			tried := time.Duration(-1)
			for i := range said {
				if string(heard[i].Bytes()) != string(said[i].Bytes()) {
					t.Fatalf("message %d is %s, want %s", i, words(&heard[i]), words(&said[i]))
				}
				switch delay := heard[i].At - said[i].At; {
				case !said[i].IsNoteOn():
				case said[i].Channel() == 15:
					tried = delay
				default:
					delays = append(delays, delay)
				}
			}
			slices.Sort(delays)
			median := delays[len(delays)/2]
			t.Logf("a note that is tried comes %v later; notes of the piece %v to %v, in the middle %v", tried, delays[0], delays[len(delays)-1], median)
			// How much later than that, only exact clocks can tell: TestLookaheadDelaysBothSides in proxy.
			if tried < 0 || tried > delays[0]*2/3 {
				t.Errorf("a note that is tried comes %v later, those of the piece %v at least", tried, delays[0])
			}
			if delays[0] < (ahead-5)*time.Millisecond { // the clocks of two processors may differ
				t.Errorf("a note of the piece came only %v later", delays[0])
			}
			knowsThePlace(t, r, delays[len(delays)-1]-delays[0])
		},
	}
}

// inTime is the jitter up to which a melody in eighths of 250 ms is surely known again
// (measured: all of it to 60 ms, little of it from 100 ms on). proxy's TestScoreIsFollowed has exact time.
const inTime = 50 * time.Millisecond

// knowsThePlace holds the status against how many notes had been heard before and after it,
// to a note and to the jitter of the machine.
func knowsThePlace(t *testing.T, r Result, jitter time.Duration) {
	t.Helper()
	s := readStatus(t, r, "status.json")
	f := s.Foreknowledge
	if after := readStatus(t, r, "after.json"); after.Foreknowledge.LookaheadMS != 0 {
		t.Errorf("after lookahead 0: %+v", after.Foreknowledge)
	}
	lookahead := fmt.Sprintf("lookahead %d ms; the transport runs (clock runs), so notes sound %[1]d ms later", ahead)
	if !strings.Contains(string(r.Files["status.txt"]), lookahead) {
		t.Errorf("status does not say %q:\n%s", lookahead, r.Files["status.txt"])
	}
	if !f.Found && jitter > inTime {
		t.Logf("with a jitter of %v the melody was not known again", jitter)
		return
	}
	if f.Grade != expr.Scored.String() || !f.Found || f.Score != "melody.mid" || f.LookaheadMS != ahead || s.DelayMS != ahead || f.Transport != "runs" || s.Position == nil {
		t.Fatalf("status: %+v at %+v, delay %v ms", f, s.Position, s.DelayMS)
	}
	var counts []float64
	for l := range strings.Lines(r.Log) {
		if n, err := strconv.ParseFloat(strings.TrimSpace(l), 64); err == nil {
			counts = append(counts, n)
		}
	}
	if len(counts) != 2 {
		t.Fatalf("the log has %d counts of notes:\n%s", len(counts), r.Log)
	}
	at := float64(s.Position.Bar-1)*8 + (s.Position.Beat-1)*2 + 1 - melodyFrom
	slack := 1 + jitter.Seconds()*1000/eighth
	// So far into the range of what can be, of a loop.
	if into := math.Mod(at-counts[0]+slack+100*melodyLoop*melodyLoop, melodyLoop); into > counts[1]-counts[0]+2*slack {
		t.Errorf("the position is %+v, note %.1f; %v notes had been heard before and %v after", *s.Position, at, counts[0], counts[1])
	}
	if want := "score melody.mid: found, "; jitter <= inTime && !strings.Contains(string(r.Files["status.txt"]), want) {
		t.Errorf("status does not say %q:\n%s", want, r.Files["status.txt"])
	}
}
