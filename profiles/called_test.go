package profiles

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"swellbox/profiles/names"
)

// No two built-in documents claim one name or one program, every program is somebody's, a name
// is found as it stands in its document, and who plays alone or is doubtful is known.
func TestBuiltInNames(t *testing.T) {
	l := library(t)
	r := l.Called()
	owner := map[string]string{}
	claim := func(what, profile string) {
		t.Helper()
		if other, taken := owner[what]; taken && other != profile {
			t.Errorf("%s is claimed by %s and by %s", what, other, profile)
		}
		owner[what] = profile
	}
	var doubtful []string
	for _, name := range l.Names() {
		d, _ := l.Lookup(name)
		for _, n := range d.called.Names {
			claim("the name "+n, name)
		}
		for _, n := range d.called.Letters {
			claim("the name "+n, name)
		}
		for _, p := range d.called.Programs {
			claim(fmt.Sprint("program ", p), name)
		}
		for _, c := range d.called.Doubtful {
			doubtful = append(doubtful, c.Names...)
		}
		if alone := d.called.Alone; alone != "" {
			if _, ok := l.Lookup(alone); !ok {
				t.Errorf("%s alone is %q, which is no profile", name, alone)
			}
		}
	}
	for p := 1; p <= 128; p++ {
		if owner[fmt.Sprint("program ", p)] == "" {
			t.Errorf("program %d is nobody's", p)
		}
	}
	for _, n := range doubtful {
		if owner["the name "+n] == "" {
			t.Errorf("the doubtful name %q is nobody's", n)
		}
	}
	for what, profile := range owner {
		name, isName := strings.CutPrefix(what, "the name ")
		if !isName || slices.Contains(doubtful, name) {
			continue
		}
		if got, why := r.Guess(names.Hint{Track: name}); got != profile {
			t.Errorf("%q is %s (%s), in the document of %s", name, got, why, profile)
		}
	}
}

// A document of the user's goes before a built-in one, says only what differs where it lies over
// one of its name, and does not hand its names on.
func TestUsersNames(t *testing.T) {
	guessed := func(track string, docs ...string) string {
		t.Helper()
		got, _ := library(t, docs...).Called().Guess(names.Hint{Track: track})
		return got
	}
	shawm := "swellbox: 1\nname: a-shawm\nextends: oboe\nscore: {names: [Schalmei, Oboe]}\n"
	for _, c := range []struct {
		track, want string
		docs        []string
	}{
		{"2 Schalmei", "a-shawm", []string{shawm}},
		{"Oboe", "a-shawm", []string{shawm}},
		{"Hautbois", "oboe", []string{shawm}},
		{"Hautbois", "oboe", []string{"swellbox: 1\nname: mine\nextends: oboe\n"}},
		{"Hautbois", "oboe", []string{"swellbox: 1\nname: oboe\nextends: oboe\nscore: {programs: [112]}\n"}},
		{"Hautbois", "plain", []string{"swellbox: 1\nname: oboe\nextends: oboe\nscore: {names: []}\n"}},
	} {
		if got := guessed(c.track, c.docs...); got != c.want {
			t.Errorf("%q is %s, want %s", c.track, got, c.want)
		}
	}
	l := library(t, shawm)
	b, err := l.Show("a-shawm")
	if err != nil || strings.Contains(string(b), "hautbois") || !strings.Contains(string(b), "Schalmei") {
		t.Errorf("shown is %s, %v", b, err)
	}
	if got := l.Voice("a-shawm"); got != "oboe" {
		t.Errorf("its voice is %q", got)
	}
	for text, want := range map[string]string{
		"names: [one two three four]":              "a name of one to three words",
		"names: [5]":                               "a name of one to three words",
		"names: horn":                              "wanted a list",
		"doubtful: [{names: [horn]}]":              "the key programs is missing",
		"doubtful: [{names: [], programs: [200]}]": "1 to 128",
		"name: [horn]":                             `the nearest is "names"`,
	} {
		if _, err := Parse("f.yaml", []byte("swellbox: 1\nname: mine\nscore: {"+text+"}\n")); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}
