package profiles

import (
	"errors"
	"math"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/profiles/reading"
)

func TestParseErrors(t *testing.T) {
	const head = "swellbox: 1\nname: mine\n"
	for _, c := range []struct{ doc, want string }{
		{"", "f.yaml: the file is empty"},
		{"# only a comment\n", "f.yaml: the file is empty"},
		{"- a\n", "f.yaml:1:1: found a list"},
		{"hello", `f.yaml:1:1: found "hello"`},
		{"name: mine\n", `f.yaml:1:1: swellbox: the key is missing; write "swellbox: 1"`},
		{"swellbox: 2\nwhat: 1\n", `f.yaml:1:11: swellbox: found version "2", this program reads version 1`},
		{"swellbox: 1\n", "f.yaml:1:1: name: the key is missing"},
		{"swellbox: 1\nname: Violin I\n", `f.yaml:2:7: name: found "Violin I", allowed are lower-case letters`},
		{"swellbox: 1\nname: null\n", "f.yaml:2:7: name: found nothing"},
		{"swellbox: 1\nname: a--b\n", `name: found "a--b"`},
		{head + "a: [\n", "f.yaml:3: not readable as YAML: "},
		{head + "---\nswellbox: 1\n", "f.yaml:3:1: a second document begins here"},
		{head + "family: &f strings\n", "an anchor (&\"f\") is not allowed"},
		{head + "family: &f strings\nextends: *f\n", "f.yaml:4:10: an alias (*\"f\") is not allowed"},
		{head + "players: !!int 3\n", "a tag (\"!!int\") is not allowed"},
		{head + "<<: {players: 3}\n", `the key "<<" is not known`},
		{head + strings.Repeat("[", 20) + strings.Repeat("]", 20) + ": 1\n", "nested deeper than 16 levels"},
		{head + "[a]: 1\n", "f.yaml:3:1: found a list in the place of a key"},
		{head + "vibrato: {onset: 3}\n", `f.yaml:3:11: vibrato: the key "onset" is not known, the nearest is "onset_ms"`},
		{head + "vibrato: {onset_sm: 3}\n", `the nearest is "onset_ms"; allowed are amount, low_pitch,`},
		{head + "colour: red\n", `f.yaml:3:1: the key "colour" is not known; allowed are swellbox, name, extends,`},
		{head + "players: 3\nplayers: 4\n", "f.yaml:4:1: players: the key is given twice"},
		{head + "players: 0\n", `f.yaml:3:10: players: found "0", allowed is a whole number, 1 to 500`},
		{head + "players: 2.5\n", `found "2.5", allowed is a whole number`},
		{head + "players: \"3\"\n", `found "3", allowed is a whole number`},
		{head + "players: 0x10\n", `found "0x10"`},
		{head + "players: 1_0\n", `found "1_0"`},
		{head + "players: ~\n", "players: found nothing"},
		{head + "family: viols\n", `family: found "viols", allowed is strings, woodwind, brass,`},
		{head + "vibrato: {onset_ms: 90000}\n", `f.yaml:3:21: vibrato.onset_ms: found "90000", allowed is 0 to 5000 ms`},
		{head + "vibrato: {onset_ms: .nan}\n", `found ".nan", allowed is 0 to 5000 ms`},
		{head + "vibrato: {onset_ms: .inf}\n", `found ".inf"`},
		{head + "vibrato: {onset_ms: 1e999}\n", `found "1e999"`},
		{head + "vibrato: {rate_low_hz: 60}\n", "allowed is 2 to 12 Hz"},
		{head + "vibrato: {depth_high_cents: -5}\n", "allowed is 0 to 400 cents, peak to peak"},
		{head + "vibrato: 3\n", `f.yaml:3:10: vibrato: found "3", wanted keys with values: amount, `},
		{head + "vibrato: {open_strings: 55}\n", "wanted a list of at most 12 MIDI notes"},
		{head + "vibrato: {open_strings: [55, 200]}\n", `f.yaml:3:30: vibrato.open_strings: found "200"`},
		{head + "marks: {amount: 2.1}\n", "marks.amount: found \"2.1\", allowed is 0 to 2"},
		{head + "marks: {carried_by: wind}\n", "allowed is velocity, controller, both"},
		{head + "marks: {reading: {curve: standard, range_db: 40}}\n", "f.yaml:3:46: marks.reading.range_db: the curve is given twice"},
		{head + "marks: {reading: {curve: linear}}\n", `marks.reading.curve: found "linear", allowed is standard`},
		{head + "marks: {reading: {range_db: 200}}\n", "allowed is 6 to 96 dB between 1 and 127"},
		{head + "marks: {reading: {points: [{velocity: 1, level_db: 0}]}}\n", "found a list of 1, wanted a list of 2 to 128 points {velocity: …, level_db: …}"},
		{head + "marks: {reading: {points: [{velocity: 1}, {velocity: 2, level_db: 3}]}}\n", "f.yaml:3:28: marks.reading.points[1]: the key level_db is missing"},
		{head + "marks: {reading: {points: [{velocity: 9, level_db: 1}, {velocity: 2, level_db: 3}]}}\n", "point 2 of the curve: x must rise, found 2 after 9"},
		{head + "marks: {reading: {points: [{velocity: 1, level_db: 1}, {velocity: 2, level_db: 0}]}}\n", "the curve must rise, found 0 dB against mf at its end after 1"},
		{head + "marks: {reading: {points: [{velocity: 0, level_db: 1}, {velocity: 2, level_db: 3}]}}\n", `points[1].velocity: found "0", allowed is a whole number, 1 to 127`},
		{head + "sampler: {level: {controller: 120}}\n", "sampler.level.controller: found \"120\", allowed is a whole number, 1 to 119"},
		{head + "sampler: {level: {controller: 6}}\n", "controller 6 is taken by MIDI for data entry"},
		{head + "sampler: {level: {bits: 8}}\n", "sampler.level.bits: found \"8\", allowed is 7 or 14"},
		{head + "sampler: {vibrato_depth: {curve: standard}}\n", `the key "curve" is not known`},
		{head + "sampler: {bend_vibrato: yes}\n", `found "yes", allowed is true, false`},
		{head + "sampler: {incoming: {level: add}}\n", "allowed is multiply, replace, leave"},
	} {
		d, err := Parse("f.yaml", []byte(c.doc))
		if ps := (Problems)(nil); d != nil || !errors.As(err, &ps) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q:\n%v\nwant %s", c.doc, err, c.want)
		}
	}
}

func TestParseReportsAllAtOnce(t *testing.T) {
	_, err := Parse("f.yaml", []byte("swellbox: 1\nname: mine\nplayers: 0\nvibrato:\n  onst_ms: 3\n  growth_ms: -1\nsampler: {level: 3}\n"))
	var ps Problems
	if !errors.As(err, &ps) {
		t.Fatalf("%v, want Problems", err)
	}
	var at []int
	for _, p := range ps {
		at = append(at, p.Line)
	}
	if len(at) != 4 || at[0] != 3 || at[1] != 5 || at[2] != 6 || at[3] != 7 {
		t.Errorf("problems in the lines %v, want 3 5 6 7:\n%v", at, err)
	}
	if want := (Problem{File: "f.yaml", Line: 6, Column: 14, Key: "vibrato.growth_ms", Text: `found "-1", allowed is 0 to 10000 ms`}); ps[2] != want {
		t.Errorf("found %+v, want %+v", ps[2], want)
	}
}

func TestProblemLimit(t *testing.T) {
	for _, n := range []int{reading.ProblemLimit - 1, reading.ProblemLimit, reading.ProblemLimit + 1} {
		_, err := Parse("f.yaml", []byte("swellbox: 1\nname: mine\n"+strings.Repeat("x: 1\n", n)))
		var ps Problems
		if errors.As(err, &ps); len(ps) != min(n, reading.ProblemLimit) {
			t.Errorf("%d faults give %d problems, want %d", n, len(ps), min(n, reading.ProblemLimit))
		}
	}
}

// A law as a reading is the law moved so that mf reads 0 dB.
func TestReadingByLaw(t *testing.T) {
	for doc, want := range map[string]*expr.Curve{
		"{swellbox: 1, name: a, marks: {reading: {curve: standard}}}":                                       expr.StandardLaw(),
		"{swellbox: 1, name: a, marks: {reading: sampler}}":                                                 expr.StandardLaw(),
		"{swellbox: 1, name: a, marks: {reading: {range_db: 40}}}":                                          powerLaw(t, 40),
		"{swellbox: 1, name: a, marks: {reading: sampler}, sampler: {velocity: {range_db: 60}}}":            powerLaw(t, 60),
		"{swellbox: 1, name: a, extends: trumpet, marks: {reading: {range_db: 30}, amount: 0}, players: 2}": powerLaw(t, 30),
	} {
		p, err := library(t, doc).Resolve("a")
		if err != nil {
			t.Fatal(err)
		}
		for v := 1.0; v <= 127; v++ {
			if got, want := p.Dynamics.Reading.At(v), want.At(v)-want.At(80); math.Abs(got-want) > 1e-9 {
				t.Fatalf("%s: velocity %g reads %g dB, want %g", doc, v, got, want)
			}
		}
	}
}

func powerLaw(t *testing.T, db float64) *expr.Curve {
	t.Helper()
	c, err := expr.PowerLaw(db)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
