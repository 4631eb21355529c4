package offline_test

import (
	"fmt"
	"math"
	"slices"
	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"testing"
)

// Every habit is heard in one manner or the other, or the tables below say nothing of it.
func TestPeriodIsPlayedByAllHabits(t *testing.T) {
	_, report, err := offline.Render(t.Context(), period(), ofPeriod(t), foreseeing)
	if err != nil {
		t.Fatal(err)
	}
	// Hands, dynamics and signs are told by written scores alone; keys are struck on first beats
	// alone here, and voiced by the touch; nobody goes by the charge of harmonies, nor is there a solo violin.
	unheard := []string{"voicing", "bow", "bar-weight", "two-hands", "written-level", "written-signs"}
	for _, habit := range habitNames() {
		did := uint64(0)
		for _, p := range report.Parts {
			did += p.Habits[habit]
		}
		if (did == 0) != slices.Contains(unheard, habit) {
			t.Errorf("%s shapes %d notes", habit, did)
		}
	}
}

// An octave higher all is played as it was, but that pianists hold high notes differently from low
// ones, and the foot goes by what they hold.
func TestManyMusiciansAnOctaveHigher(t *testing.T) {
	// Vibrato has a register. What asks for height asks for height over the line's own mean, and the weight's
	// register is the profile's to ask for; but keys, pedals and how a bass is brought out go by register too.
	allowed := map[string]string{"height": "velocity level", "bass-line": "velocity level", "vibrato": "vibrato", "articulation": "ends", "all": "velocity ends level vibrato pedal"}
	relate(t, scored, transposed(12), transposed(-12), allowed)
	allowed["all"] = "starts " + allowed["all"] // what is struck harder in a chord leads it
	relate(t, foreseeing, transposed(12), transposed(-12), allowed)
}

// Twice as fast the notes are written on the same ticks. What is a share of a note or a phrase
// stays so; what has a length in seconds keeps that.
func TestManyMusiciansTwiceAsFast(t *testing.T) {
	faster := func(f *smf.File) *smf.File {
		return changed(f, func(_ int, e smf.Event) smf.Event {
			if e.Data[0] == 0xFF && e.Data[1] == smf.MetaTempo {
				return tempo(e.Tick, 250_000)
			}
			return e
		})
	}
	relate(t, scored, faster, unchanged, map[string]string{
		"top-line":     "velocity level", // what is near a note is near in seconds
		"bass-line":    "velocity level",
		"height":       "velocity level",
		"fullness":     "velocity level",
		"density":      "velocity level",
		"note-length":  "velocity",
		"endings":      "velocity level",
		"novelty":      "velocity level",
		"articulation": "ends",                  // overlaps and gaps last what they last
		"quick-notes":  "ends level brightness", // what is short is so in seconds
		"breath":       "ends",                  // so is a breath
		"step-back":    "level brightness",      // and how soon one follows a change of who has the tune
		"hairpin":      "level",                 // steps of 20 ms, on other ticks
		"bloom":        "level brightness",      // what is long is so in seconds, and a swell takes its time
		"vibrato":      "vibrato",               // so does a vibrato's start
		"pedal":        "pedal",                 // and a foot
		"all":          "velocity ends level vibrato brightness pedal",
	})
}

// A bar later all is played a bar later; a beat later it is played a beat later but for the metre,
// as the bars stay where they are.
func TestManyMusiciansLater(t *testing.T) {
	const bar = 4 * 480
	relate(t, scored, moved(bar), moved(-bar), nil)
	relate(t, foreseeing, moved(bar), moved(-bar), nil)
	inTheBar := map[string]string{"metre": "level brightness", "all": "level brightness"}
	relate(t, scored, moved(bar/4), moved(-bar/4), inTheBar)
}

// Where it is said who plays, names change nothing but who leads several alike, by which the tune goes.
func TestManyMusiciansByOtherNames(t *testing.T) {
	renamed := func(f *smf.File) *smf.File {
		return changed(f, func(track int, e smf.Event) smf.Event {
			if e.Data[0] == 0xFF && e.Data[1] == smf.MetaTrackName {
				return meta(e.Tick, smf.MetaTrackName, fmt.Sprint("Staff ", track))
			}
			return e
		})
	}
	relate(t, scored, renamed, unchanged, map[string]string{"step-back": "velocity level brightness", "all": "velocity level brightness"})
	relate(t, foreseeing, renamed, unchanged, map[string]string{"step-back": "velocity level brightness", "all": "velocity level brightness"})
}

// Nor does the order of the tracks.
func TestManyMusiciansInAnotherOrder(t *testing.T) {
	turned := func(f *smf.File) *smf.File {
		g := *f
		g.Tracks = slices.Clone(f.Tracks)
		slices.Reverse(g.Tracks[1:])
		return &g
	}
	relate(t, scored, turned, unchanged, nil)
	relate(t, foreseeing, turned, unchanged, nil)
}

// A part plays as it does among the others, but for what it does because of them.
func TestManyMusiciansAlone(t *testing.T) {
	cast := ofPeriod(t)
	for _, c := range []struct {
		manner  perform.Manner
		allowed map[string]string
	}{
		{scored, map[string]string{
			"colour-notes": "level brightness", // harmony is what all play
			"step-back":    "velocity level brightness",
			"all":          "velocity ends level brightness",
		}},
		{foreseeing, map[string]string{
			"colour-notes": "level brightness",
			"step-back":    "velocity level brightness",
			"together":     "starts velocity ends level", // players follow each other
			"rubato":       "starts ends level",          // the ensemble's phrases are what most begin together
			"all":          "starts velocity ends level vibrato brightness pedal",
		}},
	} {
		manner, allowed := c.manner, c.allowed
		each(t, manner, func(habit string, m perform.Manner) {
			all, _, err := offline.Render(t.Context(), period(), cast, m)
			if err != nil {
				t.Fatal(err)
			}
			together, alone := *all, *all
			together.Tracks, alone.Tracks = all.Tracks[1:], nil
			for i := 1; i < len(all.Tracks); i++ {
				single := *period()
				for j := 1; j < len(all.Tracks); j++ {
					if j != i {
						single.Tracks[j] = smf.Track{End: single.Tracks[j].End}
					}
				}
				out, _, err := offline.Render(t.Context(), &single, cast, m)
				if err != nil {
					t.Fatal(err)
				}
				alone.Tracks = append(alone.Tracks, out.Tracks[i])
			}
			if got := differences(&together, &alone); got != allowed[habit] {
				t.Errorf("%v ahead, %s: differs in %q, may in %q", m.Lookahead, habit, got, allowed[habit])
			}
		})
	}
}

// The piece, two bars of rest and the piece again: each note starts as it did the first time, but
// by the habits that go by what has been heard before, and by them not much otherwise.
func TestManyMusiciansTwice(t *testing.T) {
	const again = 10 * 4 * 480
	twice := period()
	for i, tr := range moved(again)(period()).Tracks {
		music := slices.DeleteFunc(tr.Events, func(e smf.Event) bool { return e.Data[0] == 0xFF })
		twice.Tracks[i].Events = append(twice.Tracks[i].Events, music...)
		twice.Tracks[i].End = tr.End
	}
	remembers := map[string]bool{"density": true, "novelty": true, "endings": true, "accent": true, "metre": true, "all": true}
	cast := ofPeriod(t)
	each(t, scored, func(habit string, m perform.Manner) {
		once, _, err := offline.Render(t.Context(), period(), cast, m)
		if err != nil {
			t.Fatal(err)
		}
		out, _, err := offline.Render(t.Context(), twice, cast, m)
		if err != nil {
			t.Fatal(err)
		}
		first, both := soundingAt(t, once), soundingAt(t, out)
		if len(first) == 0 || len(both) != 2*len(first) {
			t.Fatalf("%s: %d notes once, %d twice", habit, len(first), len(both))
		}
		most := 0.0
		for k, db := range first {
			second, ok := both[noteKey{k.tick + again, k.channel, k.key}]
			if !ok {
				t.Fatalf("%s: %+v is not played again", habit, k)
			}
			most = max(most, math.Abs(second-db))
		}
		if differs := most > 0.5; differs != remembers[habit] { // a step of expression or velocity, or two
			t.Errorf("%s: the second time differs by up to %.2f dB", habit, most)
		}
		if bound := map[bool]float64{false: 3, true: expr.MaxNuanceDB}[habit == "all"]; most > bound {
			t.Errorf("%s: the second time differs by up to %.2f dB", habit, most)
		}
	})
}

// noteKey is a note of a file.
type noteKey struct {
	tick         int64
	channel, key byte
}

// soundingAt is the level at which each note starts, dB, by the law that all players of [period]
// answer by to velocity and expression: 40·log10(v/127) for each.
func soundingAt(t *testing.T, f *smf.File) map[noteKey]float64 {
	t.Helper()
	law := expr.StandardLaw()
	levels := map[noteKey]float64{}
	for _, tr := range f.Tracks {
		expression := 127.0
		for _, e := range tr.Events {
			switch {
			case e.Data[0]&0xF0 == 0xB0 && e.Data[1] == 11:
				expression = float64(e.Data[2])
			case starting(e) == 1:
				levels[noteKey{e.Tick, e.Data[0] & 0x0F, e.Data[1]}] = law.At(float64(e.Data[2])) + law.At(expression)
			}
		}
	}
	return levels
}
