package offline_test

import (
	"bytes"
	"testing"
	"time"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// With every quantity at 0 a render gives back the file, byte for byte, whatever is known of it
// and however far ahead.
func TestAllOffIsTheInputHoweverItIsKnown(t *testing.T) {
	cast := allPlain(t)
	// Of the demonstration two tracks share a channel, and lookahead puts a program on the other.
	for name, f := range map[string]*smf.File{"period": period(), "melody": melody(), "the demonstration": demo.Score(), "everything": everything(1, divisions[0])} {
		for manner, m := range map[string]perform.Manner{
			"score":                {Scored: true},
			"lookahead":            {Lookahead: 777 * time.Millisecond},
			"score and lookahead":  {Scored: true, Lookahead: 3 * time.Second},
			"no habits":            {Scored: true, Only: []string{}},
			"rubato of nobody":     {Scored: true, Lookahead: time.Second, Rubato: 1},
			"rubato, and no score": {Lookahead: time.Second, Rubato: 2, Seed: 5},
		} {
			if m.Lookahead > 0 && name == "the demonstration" {
				continue
			}
			out, _, err := offline.Render(t.Context(), f, cast, m)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(encode(t, out), encode(t, f)) {
				t.Errorf("%s, %s: it came out changed", name, manner)
			}
		}
	}
}
