package offline_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// period is, after a bar of rest, in which players may be early, eight bars of 4/4 for a melody that breathes, a horn that repeats, a piano that plays
// chords without pedal marks, and a bass: I–IV–V–I twice, at 120 quarters a minute.
func period() *smf.File {
	const q = 480
	var violin, horn, piano, bass []smf.Event
	tune := []byte{67, 72, 74, 76, 77, 76, 74, 72, 74, 71, 67, 69, 71, 72, 0, 0}
	chords := [][3]byte{{60, 64, 67}, {60, 65, 69}, {59, 65, 67}, {60, 64, 67}}
	for bar := range 8 {
		at := int64(1+bar) * 4 * q
		chord := chords[bar%4]
		for beat := range int64(4) {
			if key := tune[(bar*4+int(beat))%len(tune)]; key != 0 {
				violin = append(violin, note(at+beat*q, q, 0, key, byte(60+2*bar+3*int(beat)))...)
			}
			horn = append(horn, note(at+beat*q, q, 1, chord[1]-5, 64)...)
		}
		for _, key := range chord {
			piano = append(piano, note(at, 4*q-60*int64(min(7-bar, 1)), 2, key, 70)...) // the last to the end
		}
		bass = append(bass, note(at, 4*q, 3, chord[0]-24, byte(56+4*bar))...)
	}
	return score(
		track([]smf.Event{meta(0, smf.MetaTrackName, "Period"), tempo(0, 500_000), meta(0, smf.MetaTimeSignature, "\x04\x02\x18\x08")}),
		named("Violins", 0, 0, violin), named("Horn", 1, 0, horn), named("Piano", 2, 0, piano), named("Cellos", 3, 0, bass),
	)
}

// ofPeriod seats the players of [period] whatever its tracks are called.
func ofPeriod(t testing.TB) *perform.Cast {
	return seated(t, `swellbox: 1
seats:
  - {channel: 1, profile: violins}
  - {channel: 2, profile: horn}
  - {channel: 3, profile: piano}
  - {channel: 4, profile: cellos}
`)
}

// aspects are the ways in which two renders may differ.
var aspects = []struct {
	name string
	of   func(e smf.Event) string // "": nothing of it
}{
	{"starts", func(e smf.Event) string {
		return strings.Repeat(fmt.Sprint(e.Tick, e.Data[0]&0x0F, " ", e.Data[1]), starting(e))
	}},
	{"velocity", func(e smf.Event) string {
		return strings.Repeat(fmt.Sprint(e.Data[0]&0x0F, " ", e.Data[1], " ", e.Data[min(2, len(e.Data)-1)]), starting(e))
	}},
	{"ends", func(e smf.Event) string {
		if !ends(e.Data) {
			return ""
		}
		return fmt.Sprint(e.Tick, e.Data[0]&0x0F, " ", e.Data[1])
	}},
	{"level", controls(11)}, {"vibrato", controls(1)}, {"brightness", controls(74)}, {"pedal", controls(64)},
}

func starting(e smf.Event) int {
	if e.Data[0]&0xF0 == 0x90 && e.Data[2] > 0 {
		return 1
	}
	return 0
}

func controls(number byte) func(smf.Event) string {
	return func(e smf.Event) string {
		if e.Data[0]&0xF0 != 0xB0 || e.Data[1] != number {
			return ""
		}
		return fmt.Sprintf("%d % X", e.Tick, e.Data)
	}
}

// differences names the aspects in which two renders of one piece differ, part by part,
// in whatever order their tracks stand.
func differences(a, b *smf.File) string {
	var found []string
	for _, aspect := range aspects {
		var lines [2][]string
		for i, f := range []*smf.File{a, b} {
			for _, tr := range f.Tracks {
				for _, e := range tr.Events {
					if line := aspect.of(e); line != "" {
						lines[i] = append(lines[i], line)
					}
				}
			}
			slices.Sort(lines[i])
		}
		if !slices.Equal(lines[0], lines[1]) {
			found = append(found, aspect.name)
		}
	}
	return strings.Join(found, " ")
}

// habitNames are those of the standard habits.
func habitNames() (names []string) {
	for _, r := range habits.Usual() {
		names = append(names, r.About().Flag())
	}
	return names
}

// each renders a piece in a manner by the written dynamics and each habit alone, and by all
// of them.
func each(t *testing.T, manner perform.Manner, f func(habit string, m perform.Manner)) {
	t.Helper()
	for _, habit := range habitNames() {
		m := manner
		m.Only = []string{"marks", habit}
		f(habit, m)
	}
	f("all", manner)
}

// relate asserts of a change of the piece in what aspects the performance differs, habit by
// habit: in those that allowed names for it, and in no other. back takes the change back in what
// was rendered. Habits that allowed does not name play the same.
func relate(t *testing.T, manner perform.Manner, change, back func(*smf.File) *smf.File, allowed map[string]string) {
	t.Helper()
	cast := ofPeriod(t)
	for habit := range allowed {
		if habit != "all" && !slices.Contains(habitNames(), habit) {
			t.Errorf("there is no habit %q", habit)
		}
	}
	each(t, manner, func(habit string, m perform.Manner) {
		was, _, err := offline.Render(t.Context(), period(), cast, m)
		if err != nil {
			t.Fatal(err)
		}
		is, _, err := offline.Render(t.Context(), change(period()), cast, m)
		if err != nil {
			t.Fatal(err)
		}
		if got := differences(was, back(is)); got != allowed[habit] {
			t.Errorf("%s: differs in %q, may in %q", habit, got, allowed[habit])
		}
	})
}

// scored and foreseeing are the manners in which a piece is related to its changes.
var (
	scored     = perform.Manner{Scored: true}
	foreseeing = perform.Manner{Scored: true, Lookahead: time.Second, Rubato: 1, Seed: 7}
)

func unchanged(f *smf.File) *smf.File { return f }

// transposed moves all keys.
func transposed(by int) func(*smf.File) *smf.File {
	return func(f *smf.File) *smf.File {
		return changed(f, func(_ int, e smf.Event) smf.Event {
			if isNote(e) {
				e.Data[1] = byte(int(e.Data[1]) + by)
			}
			return e
		})
	}
}

// moved moves all music, and no tempo nor time signature.
func moved(by int64) func(*smf.File) *smf.File {
	return func(f *smf.File) *smf.File {
		return changed(f, func(_ int, e smf.Event) smf.Event {
			if e.Data[0] != 0xFF {
				e.Tick += by
			}
			return e
		})
	}
}

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
