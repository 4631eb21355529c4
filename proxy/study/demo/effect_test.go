package demo

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"swellbox/expr/habits"
	"swellbox/profiles"
	"swellbox/proxy/perform"
)

// known is what eachHabit gave.
var known struct {
	solos   []Solo
	effects []Effect
}

// eachHabit is the score by each habit, and what each does.
func eachHabit() ([]Solo, []Effect) {
	if known.solos != nil {
		return known.solos, known.effects
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		panic(err)
	}
	cast := &perform.Cast{Library: lib}
	solos, err := EachHabit(context.Background(), BuiltIn(), cast)
	if err != nil {
		panic(err)
	}
	var parts []Compared
	for _, r := range solos[len(solos)-1].Report.Parts {
		p, err := lib.Resolve(r.Profile)
		if err != nil {
			panic(err)
		}
		parts = append(parts, Compared{Report: r, Profile: p})
	}
	effects, err := Effects(solos, parts, cast.Ensemble().HeadroomDB)
	if err != nil {
		panic(err)
	}
	known.solos, known.effects = solos, effects
	return solos, effects
}

func TestManyHabitsAlone(t *testing.T) {
	solos, effects := eachHabit()
	want := []string{Raw}
	for _, about := range habits.All() {
		want = append(want, about.Flag())
	}
	want = append(want, All)
	var names, of []string
	for _, s := range solos {
		names = append(names, s.Name)
	}
	for _, e := range effects {
		of = append(of, e.Habit)
	}
	if !slices.Equal(names, want) || !slices.Equal(of, want[1:]) {
		t.Errorf("performances %v, effects %v; want %v, effects of all but the first", names, of, want)
	}
	for _, name := range want {
		if text := listenFor(name); text == "" || strings.Contains(text, "\n") {
			t.Errorf("%s: what to listen for is %q", name, text)
		}
	}
	var b bytes.Buffer
	if err := Listening(&b, Title, solos); err != nil {
		t.Fatal(err)
	}
	for _, name := range want {
		if !strings.Contains(b.String(), "\n"+name+".wav ") {
			t.Errorf("nothing is said of %s.wav", name)
		}
	}
	if err := Listening(full{}, Title, nil); err == nil || err.Error() != "cannot write what to listen for: disk full" {
		t.Errorf("error %v", err)
	}
}

// Each habit changes what is its own to change in the demonstration, and nothing else. Of some
// nobody here has any, or they need what is written on paper.
func TestManyEffects(t *testing.T) {
	_, effects := eachHabit()
	const level, start, length, vibrato, pedal = 1, 2, 4, 8, 16
	may := map[string]int{
		"marks": level, "articulation": length, "quick-notes": level | length, "breath": length,
		"phrase": level, "rise-and-fall": level, "accent": level, "metre": level, "voicing": level, "step-back": level, "orchestra-weight": level,
		"top-line": level, "bass-line": level, "height": level, "fullness": level, "density": level, "note-length": level,
		"bar-weight": level, "endings": level, "novelty": level,
		"hairpin": level, "bloom": level, "vibrato": vibrato, "pedal": pedal,
		"together": start, "rubato": start | length, All: level | start | length | vibrato | pedal,
	}
	// What a note's level is in its last moments depends on when the next one moves the part's
	// controller, so habits of time may change it; and a note ends early to make way for its key.
	also := map[string]int{"articulation": level, "together": level | length, "rubato": level}
	for i := range effects {
		e := &effects[i]
		did := 0
		for bit, does := range map[int]bool{level: e.level(), start: e.start(), length: e.length(), vibrato: e.vibrato(), pedal: e.Treads > 0} {
			if does {
				did |= bit
			}
		}
		if want := may[e.Habit]; did&want != want || did&^(want|also[e.Habit]) != 0 {
			t.Errorf("%s changes %05b, want %05b: %q", e.Habit, did, want, e.texts())
		}
		if does := may[e.Habit] != 0; does != (e.Notes > 0) || len(e.Parts) != len(Parts()) {
			t.Errorf("%s: %d notes, %d parts", e.Habit, e.Notes, len(e.Parts))
		}
	}
}

func TestLevelChangeEndsWithTheNoteAlone(t *testing.T) {
	before := tone{on: 1 * second, off: 3 * second, course: []Sample{{0, -10}, {1 * second, -8}}}
	after := tone{on: 1 * second, off: 4 * second, alone: 1500 * ms, course: []Sample{{0, -9}, {500 * ms, -7}}}
	got := levelChange(twin{&before, &after})
	want := []Sample{{1 * second, 1}, {1500 * ms, 3}, {2 * second, 1}, {2500 * ms, 1}}
	if !slices.Equal(got, want) {
		t.Errorf("change %v, want %v", got, want)
	}
}

func TestMatch(t *testing.T) {
	before := []tone{{key: 60, on: 0}, {key: 64, on: 0}, {key: 60, on: 1}, {key: 62, on: 2}}
	after := []tone{{key: 64, on: 5}, {key: 60, on: 6}, {key: 60, on: 7}}
	var got [][2]time.Duration
	for _, t := range match(before, after) {
		got = append(got, [2]time.Duration{t.before.on, t.after.on})
	}
	if want := [][2]time.Duration{{0, 6}, {0, 5}, {1, 7}}; !slices.Equal(got, want) {
		t.Errorf("pairs %v, want %v", got, want)
	}
}

// some are effects of every kind.
func some() []Effect {
	louder := PartEffect{
		Name: "Violins", Notes: 2,
		Level:   [][]Sample{{{0, 1.5}, {1 * second, -2}, {2 * second, 0}}, {{2 * second, 0.1}, {3 * second, 0.1}}},
		Changes: Changes{LevelDB: [2]float64{-2, 1.5}},
	}
	later := PartEffect{
		Name: "Tuba", Notes: 1,
		Start: []Sample{{0, 12}, {2 * second, -400}}, Length: []Sample{{1 * second, 30}},
		Vibrato: []Sample{{0, 0}, {1 * second, 35}}, Pedal: []Sample{{1 * second, 1}, {2 * second, 0}},
		Changes: Changes{StartMs: [2]float64{-400, 12}, LengthMs: [2]float64{0, 30}, VibratoCents: 35, Treads: 1},
	}
	both := Effect{Habit: "both", Notes: 3, Parts: []PartEffect{{Name: "Flute"}, later}, Changes: later.Changes}
	both.join(&louder.Changes)
	return []Effect{
		{Habit: "level", Notes: 2, Parts: []PartEffect{louder, later}, Changes: louder.Changes},
		both,
		{Habit: "idle", Parts: []PartEffect{{Name: "Violins"}}},
		{Habit: "of no part"},
	}
}

func TestEffectTable(t *testing.T) {
	var b bytes.Buffer
	for _, width := range []int{60, 100} {
		fmt.Fprintf(&b, "%d columns:\n", width)
		before := b.Len()
		if err := EffectTable(&b, some(), width); err != nil {
			t.Fatal(err)
		}
		for l := range strings.Lines(b.String()[before:]) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(l, "\n")); n > width {
				t.Errorf("%d columns: %s", n, l)
			}
		}
	}
	golden(t, "effects.txt", b.Bytes())
	if err := EffectTable(full{}, nil, 80); err == nil || err.Error() != "cannot write the table: disk full" {
		t.Errorf("error %v", err)
	}
}

func TestEffectPicture(t *testing.T) {
	var b bytes.Buffer
	view := EffectView{Title: "Habits", Bars: []time.Duration{0, 2 * second}, End: 4 * second, Part: "Violins", Effects: some()}
	if err := EffectPicture(&b, view); err != nil {
		t.Fatal(err)
	}
	golden(t, "effects.svg", b.Bytes())
	d := parse(t, b.Bytes())
	for _, want := range []string{"level −2.0 to +1.5 dB", "±2 dB", "start −400 to +12 ms", "200 ms", "length 0 to +30 ms", "50 ms", "vibrato to 35 cents", "50 c", "nothing"} {
		if !has(d.texts, want) {
			t.Errorf("the text %q is missing", want)
		}
	}
	if !strings.Contains(d.about, "level: level −2.0 to +1.5 dB.") {
		t.Errorf("it is described by %q", d.about)
	}
	b.Reset()
	if err := EffectPicture(&b, EffectView{}); err != nil || bytes.Contains(b.Bytes(), []byte("NaN")) {
		t.Errorf("of no effects: error %v, %s", err, b.Bytes())
	}
	if err := EffectPicture(full{}, view); err == nil || err.Error() != "cannot write the picture of habits: disk full" {
		t.Errorf("error %v", err)
	}
}
