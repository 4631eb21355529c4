package offline_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

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
