package seqtest

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
)

// movingScript has sixteen parts hold notes that vibrate and swell.
func movingScript() string {
	var s strings.Builder
	for ch := byte(1); ch < 16; ch++ {
		s.WriteString(line(0, 0, 0xC0|ch, 40+ch%4) + line(50, 0, 0x90|ch, 60+ch, 80))
	}
	return s.String() + again(1000)
}

// TestSoakLaps times notes through the daemon, and through the least that can pass them on: a
// program in C++ with the same RtMidi, which sends on the thread that receives. Both in one run, in
// turn, through the real sequencer; fifteen parts move meanwhile. Times of a virtual machine are
// emulated, so only their ratio is told.
func TestSoakLaps(t *testing.T) {
	if os.Getenv("SWELLBOX_SOAK") == "" {
		t.Skip("make soak runs this")
	}
	Run(t, Job{
		Commands: map[string]string{"swellbox": "swellbox/cmd/swellbox", "tap": "./testdata/tap", "pass": "./testdata/pass"},
		Files:    map[string][]byte{"moving": []byte(movingScript())},
		Scenarios: []Scenario{{
			Name:  "laps",
			Limit: 20 * time.Minute,
			Script: `
				. "$LIB"
				live
				start pass pass
				wait_lines 1 "$OUT/pass.txt" '^passing'
				start moving tap say "$FILES/moving" 'swellbox in 1'
				wait_lines 30 "$OUT/moving.txt" ' 0 '
				tap laps 40 'swellbox in 1' 'swellbox out 1' 'pass in' 'pass out' >"$OUT/laps.txt"
				swellbox status --json >"$OUT/status.json"
				stop moving
				stop pass
				stop live`,
			Check: func(t *testing.T, r Result) {
				var took [2][]float64
				for l := range strings.Lines(string(r.Files["laps.txt"])) {
					var way int
					var us float64
					if _, err := fmt.Sscan(l, &way, &us); err != nil {
						t.Fatal(err)
					}
					took[way] = append(took[way], us)
				}
				for way, name := range []string{"swellbox", "pass"} {
					if len(took[way]) < 2000 {
						t.Fatalf("only %d laps by %s", len(took[way]), name)
					}
					slices.Sort(took[way])
				}
				for _, share := range []float64{0.5, 0.9, 0.99, 0.999} {
					at := int(share * float64(len(took[0])-1))
					t.Logf("%5.1f %% of messages within %5.0f µs by swellbox, %5.0f by the bare pass: %.2f times", 100*share, took[0][at], took[1][at], took[0][at]/took[1][at])
				}
			},
		}},
	})
}
