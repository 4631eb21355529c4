package profiles

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// library is one of the built-in profiles, with documents laid over them.
func library(t testing.TB, docs ...string) *Library {
	t.Helper()
	l, err := NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	for i, d := range docs {
		doc, err := Parse(fmt.Sprintf("doc%d.yaml", i+1), []byte(d))
		if err != nil {
			t.Fatal(err)
		}
		if err := l.Add(doc); err != nil {
			t.Fatal(err)
		}
	}
	return l
}

func TestExtendsMergesKeyByKey(t *testing.T) {
	l := library(t,
		"{swellbox: 1, name: base, extends: violins, players: 3, sampler: {level: {controller: 7}, velocity: {range_db: 40}}}",
		"{swellbox: 1, name: mine, extends: base, vibrato: {onset_ms: 80, open_strings: []}, sampler: {level: {points: [{value: 0, level_db: -60}, {value: 127, level_db: 0}]}}}",
	)
	p, err := l.Resolve("mine")
	if err != nil {
		t.Fatal(err)
	}
	if p.Name != "mine" || p.Family != "strings" || p.Players != 3 {
		t.Errorf("found %s, %s, %d players, want mine, strings, 3", p.Name, p.Family, p.Players)
	}
	if v := p.Vibrato; v.Onset.Milliseconds() != 80 || v.SlurGap.Milliseconds() != 420 || v.DepthHigh != 108 || len(v.OpenStrings) != 0 {
		t.Errorf("vibrato %+v: the child's onset and open strings, the rest of violins", v)
	}
	if c := p.Sampler.Level; c.Number != 7 || c.Response.At(0) != -60 {
		t.Errorf("level on controller %d with %g dB at 0, want the parent's 7 and the child's -60", c.Number, c.Response.At(0))
	}
	if got := p.Sampler.Velocity.At(1) - p.Sampler.Velocity.At(127); got > -39.99 || got < -40.01 {
		t.Errorf("velocity 1 is %g dB re 127, want the -40 of the parent's power law", got)
	}
}

func TestUsersDocumentExtendsTheOneUnderIt(t *testing.T) {
	l := library(t, "{swellbox: 1, name: strings, extends: strings, vibrato: {onset_ms: 50}}")
	for _, name := range []string{"strings", "violins-1", "viola", "tremolo-strings"} {
		p, err := l.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		if p.Vibrato.Onset.Milliseconds() != 50 {
			t.Errorf("%s has an onset of %v, want the user's 50 ms", name, p.Vibrato.Onset)
		}
	}
	if p, err := l.Resolve("flute"); err != nil || p.Vibrato.Onset.Milliseconds() != 200 {
		t.Errorf("flute has changed with strings: %v, %v", p.Vibrato.Onset, err)
	}
	if d, ok := l.Lookup("strings"); !ok || d.File != "doc1.yaml" {
		t.Errorf("strings comes from %v, want doc1.yaml", d)
	}
}

func TestResolveErrors(t *testing.T) {
	for _, c := range []struct {
		name, docs, want string
	}{
		{"circle", "{swellbox: 1, name: a, extends: b}|{swellbox: 1, name: b, extends: a}", "doc2.yaml:1:33: extends: "},
		{"circle", "{swellbox: 1, name: a, extends: b}|{swellbox: 1, name: b, extends: a}", "a → b → a"},
		{"itself", "{swellbox: 1, name: a, extends: a}", "is based on itself"},
		{"no parent", "{swellbox: 1, name: a, extends: vilolins}", `no profile is named "vilolins", the nearest is "violins"`},
		{"no level", "{swellbox: 1, name: a, extends: horn, sampler: {level: none}}", "doc1.yaml:1:56: marks.carried_by: "},
		{"no level", "{swellbox: 1, name: a, extends: horn, sampler: {level: none}}", "carried by a controller, but sampler.level is none"},
		{"no velocity", "{swellbox: 1, name: a, extends: piano, sampler: {velocity: none}}", "marks.reading: found sampler"},
		{"no mf", "{swellbox: 1, name: a, marks: {reading: {points: [{velocity: 1, level_db: 1}, {velocity: 9, level_db: 2}]}}}", "doc1.yaml:1:41: marks.reading: found 1 to 2 dB"},
		{"weighting", "{swellbox: 1, name: a, extends: horn, orchestra_weight: {starts_at_db: 5}}", "doc1.yaml:1:72: orchestra_weight.full_at_db: found 4.2 dB, allowed is more than starts_at_db, which is 5 dB"},
		{"pitch", "{swellbox: 1, name: a, extends: flute, vibrato: {low_pitch: 100}}", "vibrato.high_pitch: found 96"},
		{"shared", "{swellbox: 1, name: a, extends: horn, sampler: {vibrato_depth: {controller: 11}}}", "doc1.yaml:1:77: sampler.vibrato_depth.controller: controller 11 is already that of sampler.level"},
		{"shared fine", "{swellbox: 1, name: a, extends: horn, sampler: {level: {controller: 2, bits: 14}, brightness: {controller: 34}}}", "sampler.brightness.controller: controller 34 is already"},
		{"fine", "{swellbox: 1, name: a, extends: horn, sampler: {level: {controller: 71, bits: 14}}}", "doc1.yaml:1:69: sampler.level.controller: found 71, allowed is 1 to 31"},
		{"no number", "{swellbox: 1, name: a, sampler: {vibrato_rate: {points: [{value: 0, hz: 4}, {value: 127, hz: 8}]}}}", "sampler.vibrato_rate.controller: the key is missing"},
		{"no response", "{swellbox: 1, name: a, sampler: {vibrato_rate: {controller: 76}}}", "doc1.yaml:1:48: sampler.vibrato_rate: a response is missing"},
	} {
		l := library(t, strings.Split(c.docs, "|")...)
		_, err := l.Resolve("a")
		if ps := (Problems)(nil); !errors.As(err, &ps) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want Problems with %q", c.name, err, c.want)
		}
		if _, shown := l.Show("a"); shown == nil || shown.Error() != err.Error() {
			t.Errorf("%s: Show says %v, Resolve %v", c.name, shown, err)
		}
	}
	_, err := library(t).Resolve("trumpett")
	if err == nil || !strings.Contains(err.Error(), `the nearest is "trumpet"`) {
		t.Errorf("an unknown name: %v", err)
	}
}

func TestChainLimit(t *testing.T) {
	var docs []string
	for i := range chainLimit { // p0 rests on plain, so p15 is one too deep
		extends := "plain"
		if i > 0 {
			extends = fmt.Sprintf("p%d", i-1)
		}
		docs = append(docs, fmt.Sprintf("{swellbox: 1, name: p%d, extends: %s}", i, extends))
	}
	l := library(t, docs...)
	if _, err := l.Resolve(fmt.Sprintf("p%d", chainLimit-2)); err != nil {
		t.Errorf("at the limit: %v", err)
	}
	if _, err := l.Resolve(fmt.Sprintf("p%d", chainLimit-1)); err == nil || !strings.Contains(err.Error(), "is based on more than 15 others") {
		t.Errorf("past the limit: %v", err)
	}
}

func TestDocumentsLimit(t *testing.T) {
	l := library(t)
	d, err := Parse("x.yaml", []byte("{swellbox: 1, name: x}"))
	if err != nil {
		t.Fatal(err)
	}
	for l.count < documentsLimit {
		if err := l.Add(d); err != nil {
			t.Fatal(err)
		}
	}
	if err := l.Add(d); err == nil || !strings.Contains(err.Error(), "the library is full") {
		t.Errorf("past the limit: %v", err)
	}
}

func TestAddFolderKeepsTheGood(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"a.yaml":      "{swellbox: 1, name: mine, players: 2}",
		"b.yml":       "{swellbox: 1, name: bad, plyers: 2}",
		"c.yaml":      "{swellbox: 1, name: mine, players: 9}",
		"d.yaml":      "{swellbox: 1, name: yours}",
		"readme.txt":  "not a profile",
		".hidden.yml": "not a profile",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "e.yaml"), 0o700); err != nil {
		t.Fatal(err)
	}
	l := library(t)
	err := l.AddFolder(dir, Origin{Kind: Own})
	if err == nil {
		t.Fatal("no error for a bad file and a double one")
	}
	for _, want := range []string{
		filepath.Join(dir, "b.yml") + `:1:26: the key "plyers" is not known, the nearest is "players"`,
		filepath.Join(dir, "c.yaml") + ": the profile mine is already in " + filepath.Join(dir, "a.yaml"),
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("the error lacks %q:\n%v", want, err)
		}
	}
	if n := strings.Count(err.Error(), "\n") + 1; n != 2 {
		t.Errorf("%d errors, want 2:\n%v", n, err)
	}
	if p, err := l.Resolve("mine"); err != nil || p.Players != 2 {
		t.Errorf("mine: %+v, %v, want the 2 players of the first file", p, err)
	}
	if names := l.Names(); !slices.Contains(names, "yours") || slices.Contains(names, "bad") {
		t.Errorf("names %v, want yours and not bad", names)
	}
	if err := l.AddFolder(filepath.Join(dir, "nowhere"), Origin{Kind: Own}); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a folder that is not there: %v", err)
	}
}

func TestAddFile(t *testing.T) {
	dir := t.TempDir()
	big, good := filepath.Join(dir, "big.yaml"), filepath.Join(dir, "good.yaml")
	text := "{swellbox: 1, name: mine} # " + strings.Repeat("x", DocumentLimit)
	if err := os.WriteFile(big, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(good, []byte(text[:DocumentLimit]), 0o600); err != nil {
		t.Fatal(err)
	}
	l := library(t)
	if err := l.AddFile(big, Origin{Kind: Own}); err == nil || !strings.Contains(err.Error(), "allowed are 1048576") {
		t.Errorf("one byte and more over the limit: %v", err)
	}
	if err := l.AddFile(good, Origin{Kind: Own}); err != nil {
		t.Errorf("at the limit: %v", err)
	}
	if d, ok := l.Lookup("mine"); !ok || d.File != good {
		t.Errorf("mine comes from %v, want %s", d, good)
	}
}

// What Show writes is the same profile, resting on nothing but plain.
func TestShowIsTheWholeProfile(t *testing.T) {
	l := library(t)
	for _, name := range l.Names() {
		want, err := l.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		text, err := l.Show(name)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains("\n"+string(text), "\nextends:") {
			t.Errorf("%s: Show leaves extends in", name)
		}
		got, err := library(t, string(text)).Resolve(name)
		if err != nil {
			t.Errorf("%s: what Show wrote: %v", name, err)
			continue
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: what Show wrote is another profile:\n%s", name, text)
		}
	}
}
