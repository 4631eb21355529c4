package sampler

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
)

func trialOf(t *testing.T) (trial *Trial, shaped *offline.Timeline) {
	t.Helper()
	trial, err := NewTrial(subjects(t))
	if err != nil {
		t.Fatal(err)
	}
	if shaped, err = offline.NewTimeline(trial.Raw(), 0); err != nil {
		t.Fatal(err)
	}
	return trial, shaped
}

// TestManyTrialsFindWhatIsKnown plays the shaped side of one part half as strongly again as the raw one: it
// must be told by as many decibels, and by nobody else's.
func TestManyTrialsFindWhatIsKnown(t *testing.T) {
	trial, shaped := trialOf(t)
	played := *trial.plan
	played.notes = slices.Clone(played.notes)
	const share = 0.7
	for i := range played.notes {
		if n := &played.notes[i]; n.subject == 0 && n.aim >= ofMark && n.value == 1 {
			n.velocity = uint8(math.Round(share * float64(n.velocity)))
		}
	}
	want := 40 * math.Log10(share)
	for name, how := range map[string]take{
		"clean":       {rate: 44100},
		"noisy, late": {rate: 48000, offset: time.Second, noiseDB: -60},
	} {
		v, err := trial.Judge(t.Context(), record(&played, voices, how), shaped, profiles.DefaultEnsemble)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		flute, piano := &v.Parts[0], &v.Parts[1]
		if got := (flute.ShapedDB - flute.RawDB) - (piano.ShapedDB - piano.RawDB); math.Abs(got-want) > 0.3 {
			t.Errorf("%s: the flute is told to be %.2f dB louder shaped, want %.2f", name, got, want)
		}
		if math.Abs(flute.ShapedMS-flute.RawMS) > 3 {
			t.Errorf("%s: the flute is heard after %.1f ms raw and %.1f ms shaped, want no difference", name, flute.RawMS, flute.ShapedMS)
		}
		if v.LouderLU < 0.3 || v.LouderLU > -want {
			t.Errorf("%s: raw is %.2f LU louder, want between 0.3 and %.1f", name, v.LouderLU, -want)
		}
		if !strings.Contains(v.Sentences(1)[2], "lowered by 1.0 dB") || len(flute.Row()) != 6 {
			t.Errorf("%s: %q, %q", name, v.Sentences(1), flute.Row())
		}
	}
}

// TestManyTrialsRefuse says why for recordings that are of something else.
func TestManyTrialsRefuse(t *testing.T) {
	trial, shaped := trialOf(t)
	for name, c := range map[string]struct {
		rec  *Recording
		says string
	}{
		"a probe": {record(planOf(t), voices, take{rate: 44100}), "record"},
		"silent":  {&Recording{Rate: 44100, Channels: [][]float32{make([]float32, 44100*60)}}, "silent"},
		"clipped": {record(trial.plan, voices, take{rate: 44100, clip: 6}), "clipped"},
	} {
		if _, err := trial.Judge(t.Context(), c.rec, shaped, profiles.DefaultEnsemble); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v; want it to say %q", name, err, c.says)
		}
	}
	if _, err := trial.File(&smf.File{}); err == nil {
		t.Error("a shaped side without tracks is taken")
	}
}
