package change

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/profiles"
)

const mine = `# My violins, as the hall wants them.
swellbox: 1
name:   mine # of the house
extends: "violins"

players: 10
vibrato:
    amount: 1.0   # normal
    # the hall is dry
    depth_low_cents: 40 # Allen 2009
    # depth_high_cents: 100
bloom: {swell_db: 1, swell_ms: 700} # ours
marks:
    reading:
        # measured in May
        points:
        - {velocity: 1, level_db: -30} # softest
        - {velocity: 80, level_db: 0}
        - {velocity: 127, level_db: 9.5} # loudest
sampler:
    level: {controller: 11,
        curve: standard }
# the end
`

func TestSet(t *testing.T) {
	for _, c := range []struct{ path, value, old, new string }{
		{"players", "12", "players: 10\n", "players: 12\n"},
		{"name", "ours", "mine #", "ours #"},
		{"extends", "violas", `"violins"`, "violas"},
		{"vibrato.amount", "0.5", "amount: 1.0   # normal", "amount: 0.5   # normal"},
		{"vibrato.depth_low_cents", "32", "cents: 40 # Allen", "cents: 32 # Allen"},
		{"vibrato.onset_ms", "150", "# depth_high_cents: 100\n", "# depth_high_cents: 100\n    onset_ms: 150\n"},
		{"bloom.swell_ms", "800", "swell_ms: 700", "swell_ms: 800"},
		{"bloom.amount", "1", "700}", "700, amount: 1}"},
		{"orchestra_weight.amount", "1", "# the end\n", "# the end\norchestra_weight:\n    amount: 1\n"},
		{"sampler.level.controller", "7", "controller: 11", "controller: 7"},
		{"sampler.level.range_db", "40", "curve: standard }", "range_db: 40 }"},
		{"sampler.brightness.controller", "74", "standard }\n", "standard }\n    brightness:\n        controller: 74\n"},
		{"marks.reading.points[2].level_db", "1.5", "80, level_db: 0}", "80, level_db: 1.5}"},
		{"marks.reading.points[4]", "{velocity: 127, level_db: 10}", "", ""},
		{"marks.reading.points[2]", "{velocity: 64, level_db: -3}", "{velocity: 80, level_db: 0}", "{velocity: 64, level_db: -3}"},
		{"marks.reading.points", "[{velocity: 1, level_db: -30}, {velocity: 127, level_db: 9.5}]", "        - {velocity: 80, level_db: 0}\n", ""},
		{"marks.reading.points", "[{velocity: 1, level_db: -30}, {velocity: 80, level_db: 0}, {velocity: 99, level_db: 2}, {velocity: 127, level_db: 9.5}]",
			"level_db: 0}\n", "level_db: 0}\n        - {velocity: 99, level_db: 2}\n"},
		{"marks.reading.curve", "standard", "points:\n        - {velocity: 1, level_db: -30} # softest\n        - {velocity: 80, level_db: 0}\n        - {velocity: 127, level_db: 9.5} # loudest\n", "curve: standard\n"},
		{"marks.reading", "sampler", "reading:\n        # measured in May\n        points:\n        - {velocity: 1, level_db: -30} # softest\n        - {velocity: 80, level_db: 0}\n        - {velocity: 127, level_db: 9.5} # loudest\n", "reading: sampler\n"},
		{"vibrato.open_strings", "[55, 62]", "# depth_high_cents: 100\n", "# depth_high_cents: 100\n    open_strings: [55, 62]\n"},
	} {
		got, err := Set([]byte(mine), c.path, c.value)
		if c.old == "" {
			if err == nil {
				t.Errorf("%s = %s is taken:\n%s", c.path, c.value, got)
			}
			continue
		}
		if strings.Count(mine, c.old) != 1 {
			t.Fatalf("%q is not in the document once", c.old)
		}
		if want := strings.Replace(mine, c.old, c.new, 1); err != nil || string(got) != want {
			t.Errorf("%s = %s gives\n%s%v\nwant\n%s", c.path, c.value, got, err, want)
		}
	}
}

func TestSetInOtherLayouts(t *testing.T) {
	for _, c := range []struct{ doc, path, value, want string }{
		{"{swellbox: 1, name: a}", "vibrato.amount", "1", "{swellbox: 1, name: a, vibrato: {amount: 1}}"},
		{"{swellbox: 1, name: a,}", "players", "3", "{swellbox: 1, name: a, players: 3,}"},
		{"swellbox: 1\nname: a", "players", "3", "swellbox: 1\nname: a\nplayers: 3"},
		{"swellbox: 1\r\nname: a # b\r\n", "vibrato.amount", "1", "swellbox: 1\r\nname: a # b\r\nvibrato:\r\n  amount: 1\r\n"},
		{"\ufeffswellbox: 1\nname: a\n", "name", "b", "\ufeffswellbox: 1\nname: b\n"},
		{"\ufeffname: a\nswellbox: 1\n", "name", "b", "\ufeffname: b\nswellbox: 1\n"},
		{"# é\n{name: 'é', swellbox: 1, players: 1}\n", "players", "2", "# é\n{name: 'é', swellbox: 1, players: 2}\n"},
		{"swellbox: 1\nname: 'a'\n", "name", "b", "swellbox: 1\nname: b\n"},
		{"swellbox: 1\nname: a\nvibrato: {}\n", "vibrato.amount", "1", "swellbox: 1\nname: a\nvibrato: {amount: 1}\n"},
		{"---\nswellbox: 1\nname: a\n...\n", "players", "4", "---\nswellbox: 1\nname: a\nplayers: 4\n...\n"},
	} {
		got, err := Set([]byte(c.doc), c.path, c.value)
		if err != nil || string(got) != c.want {
			t.Errorf("%q with %s = %s gives\n%q, %v, want\n%q", c.doc, c.path, c.value, got, err, c.want)
		}
	}
}

func TestSetErrors(t *testing.T) {
	for _, c := range []struct{ doc, path, value, want string }{
		{mine, "", "1", "wanted keys with points between them"},
		{mine, "vibrato..k", "1", "wanted keys with points between them"},
		{mine, "a[0]", "1", "wanted a place in a list from 1"},
		{mine, "a[1", "1", "wanted a place in a list from 1"},
		{mine, "a[]", "1", "wanted a place in a list from 1"},
		{mine, strings.Repeat("a", 501), "1", "allowed are 500"},
		{mine, "players", "", "the value is empty"},
		{mine, "players", "1\n2", "not one line"},
		{mine, "players", strings.Repeat("1", valueLimit+1), "allowed are 16384"},
		{mine, "players", "0", "allowed is a whole number, 1 to 500"},
		{mine, "players", "3 # more", `found "3 # more"`},
		{mine, "players", "&a 3", `found "&a 3"`},
		{mine, "players[1]", "3", "found no list"},
		{mine, "players.number", "3", "found 10 in the place of a section"},
		{mine, "vibrato.onset", "3", `the nearest is "onset_ms"`},
		{mine, "marks.reading.points[5]", "3", "the list has 3 entries"},
		{mine, "marks.reading.points.loud", "3", `nothing in the list is named "loud"`},
		{"a: &x 1\nb: *x\n", "a", "2", "anchors, aliases and tags are not allowed"},
		{"", "a", "2", "has no keys"},
		{"a: \xff", "a", "2", "UTF-8"},
		{"a: [", "a", "2", "not readable as YAML"},
		{"a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40), "a", "2", "nested deeper than 32"},
		{strings.Repeat("a: 1\n", profiles.DocumentLimit/5+1), "a", "2", "allowed are 1048576"},
		{"a: [" + strings.Repeat("1,", 2*itemsLimit+1) + "]", "a", "2", "more than 1024 entries"},
	} {
		got, err := Set([]byte(c.doc), c.path, c.value)
		if got != nil || err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q = %q gives %.200v\nwant %s", c.path, c.value, err, c.want)
		}
	}
}

func TestSetFaultIsOfTheDocument(t *testing.T) {
	_, err := Set([]byte(mine), "vibrato.depth_low_cents", "4000")
	var ps profiles.Problems
	if !errors.As(err, &ps) || len(ps) != 1 || ps[0].Line != 10 || ps[0].Key != "vibrato.depth_low_cents" {
		t.Errorf("%v, want a problem in line 10", err)
	}
}

func builtin(t testing.TB) map[string][]byte {
	t.Helper()
	names, err := filepath.Glob("../builtin/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, name := range names {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(name)] = b
	}
	if len(files) < 60 {
		t.Fatalf("%d built-in documents, want 60 or more", len(files))
	}
	return files
}
