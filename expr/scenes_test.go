package expr_test

import (
	"cmp"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
	"swellbox/expr/meter"
	"swellbox/profiles"
)

var update = flag.Bool("update", false, "write what comes out into testdata/scenes")

const under4 = "----\n"

// Scenes are read by people: what a player of the built-in profiles makes of what the
// notation program sends. See [scene] for how they are written.
func TestScenes(t *testing.T) {
	paths, err := filepath.Glob("../testdata/scenes/*.txt")
	if err != nil || len(paths) < 10 {
		t.Fatalf("found %d scenes (%v)", len(paths), err)
	}
	lib := builtin(t)
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txt"), func(t *testing.T) {
			b, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			in, want, ok := strings.Cut(string(b), under4)
			if !ok {
				t.Fatalf("%s has no line of four dashes", path)
			}
			s, err := parseScene(in, lib)
			if err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			got := s.play(t)
			if *update {
				if err := os.WriteFile(path, []byte(in+under4+got), 0o644); err != nil {
					t.Fatal(err)
				}
				want = got
			}
			if got != want {
				t.Errorf("%s: got\n%s\nwant\n%s\nIf that is how a player would do it, run the test with -update", path, got, want)
			}
		})
	}
}

func builtin(t *testing.T) *profiles.Library {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return lib
}

// A scene with a slip in it fails, and says where.
func TestScenesAreReadStrictly(t *testing.T) {
	const part = "part flute plays flute on channel 1\nuntil 100 ms\n"
	lib := builtin(t)
	if _, err := parseScene(part+"0 ms  flute  note C4 80\n", lib); err != nil {
		t.Fatal(err)
	}
	for _, wrong := range []string{
		"", part,
		"part flute plays theremin on channel 1\n",
		"part flute plays flute on channel 17\n",
		"part flute plays flute on channel 1, softly\n",
		part + "0 ms  flute  note C4 128\n",
		part + "0 ms  flute  note H4 80\n",
		part + "0 ms  flute  note C4\n",
		part + "0 ms  flute  sing C4 80\n",
		part + "0 ms  flute  expression loud\n",
		part + "0 ms  oboe  note C4 80\n",
		part + "0 s  flute  note C4 80\n",
		part + "200 ms  flute  note C4 80\n",
		part + "50 ms  flute  note C4 80\n0 ms  flute  end C4\n",
	} {
		if _, err := parseScene(wrong, lib); err == nil {
			t.Errorf("%q is taken for a scene", wrong)
		}
	}
}

// told is a line of what comes out, or some lines that move one way.
type told struct {
	from, to    time.Duration
	part        int
	what        string             // "expression", "note G4"
	unit        func(v int) string // what a value means
	first, last int
	least, most int
	steps       int
	swings      bool // it may turn back and is still one movement
	bare        bool // its value says nothing
}

// play runs the engine over a scene and tells what its shaped side sends.
func (s *scene) play(t *testing.T) string {
	t.Helper()
	e := engine.New(engine.Config{Habits: habits.Usual(), Sides: expr.Shaped, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB})
	m := meter.New(1)
	for _, p := range s.parts {
		if err := e.Seat(0, p.channel, p.profile, p.players); err != nil {
			t.Fatal(err)
		}
		m.Seat(0, p.channel, p.profile)
	}
	var all []*told
	moving := map[string]*told{} // what each part is moving now, by part and controller
	caused := false
	emit := func(ev *expr.Event) {
		m.Take(ev)
		x := s.tell(ev, m)
		key := fmt.Sprint(x.part, x.what)
		if caused {
			clear(moving)
			all = append(all, x)
			return
		}
		if run := moving[key]; run == nil || !run.goesOn(x) {
			moving[key] = x
			all = append(all, x)
		}
	}
	for _, ev := range s.input {
		caused = false
		e.Pull(ev.At, emit)
		caused = true
		e.Push(ev)
		e.Pull(ev.At, emit)
	}
	caused = false
	e.Pull(s.until, emit)
	slices.SortStableFunc(all, func(a, b *told) int { return cmp.Compare(a.from, b.from) })
	var b strings.Builder
	for _, x := range all {
		b.WriteString(x.line(s.parts[x.part].name))
	}
	return b.String()
}

// goesOn takes a further step into a run, unless it turns back; a bend may.
func (x *told) goesOn(next *told) bool {
	up, down := next.last > x.last, next.last < x.last
	if !x.swings && x.steps > 1 && (up && x.last < x.first || down && x.last > x.first) {
		return false
	}
	x.to, x.last = next.to, next.last
	x.least, x.most = min(x.least, next.last), max(x.most, next.last)
	x.steps++
	return true
}

func (x *told) line(part string) string {
	when := fmt.Sprintf("%d ms", x.from.Milliseconds())
	what := fmt.Sprintf("%s %d%s", x.what, x.first, x.unit(x.first))
	switch {
	case x.bare:
		what = x.what
	case x.steps > 1 && x.swings:
		when = fmt.Sprintf("%d to %d ms", x.from.Milliseconds(), x.to.Milliseconds())
		what = fmt.Sprintf("%s between %d%s and %d%s, %d steps", x.what, x.least, x.unit(x.least), x.most, x.unit(x.most), x.steps)
	case x.steps > 1:
		when = fmt.Sprintf("%d to %d ms", x.from.Milliseconds(), x.to.Milliseconds())
		what = fmt.Sprintf("%s %d%s to %d%s, %d steps", x.what, x.first, x.unit(x.first), x.last, x.unit(x.last), x.steps)
	}
	return fmt.Sprintf("%-16s %s  %s\n", when, part, what)
}

// tell puts an event into words, with what it means in dB or cents by the response
// of the part's sampler.
func (s *scene) tell(ev *expr.Event, m *meter.Meter) *told {
	i := slices.IndexFunc(s.parts, func(p scenePart) bool { return p.channel == ev.Channel() })
	sampler := &s.parts[i].profile.Sampler
	d1, d2 := int(ev.Msg[1]), int(ev.Msg[2])
	x := &told{from: ev.At, to: ev.At, part: i, steps: 1, first: d2, unit: func(int) string { return "" }}
	in := func(unit string, digits int, of func(float64) float64) func(int) string {
		return func(v int) string { return fmt.Sprintf(" (%.*f %s)", digits, of(float64(v)), unit) }
	}
	switch {
	case ev.IsNoteOn():
		db, _ := m.Level(0, ev.Channel())
		x.what = "note " + keyName(ev.Msg[1])
		x.unit = func(int) string { return fmt.Sprintf(" (sounding at %.1f dB)", db) }
	case ev.IsNoteOff():
		x.what = "note " + keyName(ev.Msg[1]) // of velocity 0
		if ev.Msg[0]&0xF0 == 0x80 {
			x.what, x.bare = "end "+keyName(ev.Msg[1]), true
		}
	case ev.Msg[0]&0xF0 == 0xE0:
		x.what, x.swings = "bend", true
		x.first = d2<<7 | d1 - 8192
		semitones := sampler.BendRange
		x.unit = in("cents", 0, func(v float64) float64 { return v / 8192 * semitones * 100 })
	case ev.Msg[0]&0xF0 == 0xB0:
		x.what = fmt.Sprintf("controller %d", d1)
		for _, c := range controllers {
			if int(c.number) == d1 {
				x.what = c.word
			}
		}
		switch {
		case sampler.Level.Has() && d1 == sampler.Level.Number:
			x.unit = in("dB", 1, sampler.Level.Response.At)
		case sampler.VibratoDepth.Has() && d1 == sampler.VibratoDepth.Number:
			x.unit = in("cents", 0, sampler.VibratoDepth.Response.At)
		case sampler.Brightness.Has() && d1 == sampler.Brightness.Number:
			x.unit = in("dB", 1, sampler.Brightness.Response.At)
		}
	default:
		x.what = fmt.Sprintf("message % X", ev.Bytes())
	}
	x.last, x.least, x.most = x.first, x.first, x.first
	return x
}
