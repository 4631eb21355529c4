package change

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const started = `# A house sound.
swellbox: 1
name: mine # of the house
players: 10
vibrato:
  amount: 1
  depth_low_cents: 40 # Allen 2009
  rate_low_hz: 5.7
bloom: {amount: 1, swell_db: 1}
sampler:
  level: {controller: 11, curve: standard}
variants:
  # called by the low c
  - name: short
    keyswitch: 24
  - name: plucked
    keyswitch: 25
`

// The foundation's schema has no variants yet where this is run alone, so what is
// merged is compared before it is checked.
func merging(t testing.TB, base, ours, theirs string) (string, []Conflict) {
	t.Helper()
	docs := make([]*source, 3)
	for i, b := range []string{base, ours, theirs} {
		s, err := read([]byte(b))
		if err != nil {
			t.Fatal(err)
		}
		docs[i] = s
	}
	var m merger
	want := m.value("", docs[0].root, docs[1].root, docs[2].root)
	b, err := docs[1].rewritten(want)
	if err != nil {
		t.Fatal(err)
	}
	return string(b), m.conflicts
}

// changed is a document with replacements, each of which must be found once.
func changed(t testing.TB, doc string, oldNew ...string) string {
	t.Helper()
	for i := 0; i < len(oldNew); i += 2 {
		if strings.Count(doc, oldNew[i]) != 1 {
			t.Fatalf("%q is not in the document once", oldNew[i])
		}
		doc = strings.Replace(doc, oldNew[i], oldNew[i+1], 1)
	}
	return doc
}

func TestMergeKeyByKey(t *testing.T) {
	for name, c := range map[string]struct{ ours, theirs, want []string }{
		"two keys of one section": {
			[]string{"amount: 1\n  depth", "amount: 0.5 # less\n  depth"}, []string{"5.7\n", "6 # hall\n"},
			[]string{"amount: 1\n  depth", "amount: 0.5 # less\n  depth", "5.7\n", "6 # hall\n"}},
		"a key added, with its comments": {
			[]string{"players: 10", "players: 12"}, []string{"  rate_low", "  # slow start\n  onset_ms: 300 # May\n  rate_low"},
			[]string{"players: 10", "players: 12", "  rate_low", "  # slow start\n  onset_ms: 300 # May\n  rate_low"}},
		"a section added": {
			[]string{"players: 10", "players: 12"}, []string{"bloom:", "orchestra_weight: # loud\n  amount: 1\nbloom:"},
			[]string{"players: 10", "players: 12", "bloom:", "orchestra_weight: # loud\n  amount: 1\nbloom:"}},
		"a key in brackets": {
			[]string{"swell_db: 1", "swell_db: 2"}, []string{"{amount: 1, s", "{amount: 0, decay_limit_db: 3, s"},
			[]string{"swell_db: 1", "swell_db: 2", "{amount: 1, s", "{amount: 0, decay_limit_db: 3, s"}},
		"a key taken out": {
			[]string{"players: 10", "players: 12"}, []string{"  depth_low_cents: 40 # Allen 2009\n", ""},
			[]string{"players: 10", "players: 12", "  depth_low_cents: 40 # Allen 2009\n", ""}},
		"a section taken out": {
			[]string{"players: 10", "players: 12"}, []string{"vibrato:\n  amount: 1\n  depth_low_cents: 40 # Allen 2009\n  rate_low_hz: 5.7\n", ""},
			[]string{"players: 10", "players: 12", "vibrato:\n  amount: 1\n  depth_low_cents: 40 # Allen 2009\n  rate_low_hz: 5.7\n", ""}},
		"comments": {
			[]string{"# Allen 2009", "# ours", "# of the house", "# of us"}, []string{"# Allen 2009", "# theirs", "amount: 1\n  d", "amount: 1 # new\n  d"},
			[]string{"# Allen 2009", "# ours", "# of the house", "# of us", "amount: 1\n  d", "amount: 1 # new\n  d"}},
		"another way to give a curve": {
			[]string{"controller: 11", "controller: 7"}, []string{"curve: standard", "range_db: 40"},
			[]string{"controller: 11", "controller: 7", "curve: standard", "range_db: 40"}},
		"variants": {
			[]string{"keyswitch: 24", "keyswitch: 12"},
			[]string{"keyswitch: 25", "keyswitch: 26", "  - name: plucked", "  - name: muted # new\n    program: 3\n  - name: plucked"},
			[]string{"keyswitch: 24", "keyswitch: 12", "keyswitch: 25", "keyswitch: 26", "  - name: plucked", "  - name: muted # new\n    program: 3\n  - name: plucked"}},
		"a variant taken out": {
			[]string{"keyswitch: 25", "keyswitch: 26"}, []string{"  # called by the low c\n  - name: short\n    keyswitch: 24\n", ""},
			[]string{"keyswitch: 25", "keyswitch: 26", "  # called by the low c\n  - name: short\n    keyswitch: 24\n", ""}},
		"the same twice": {
			[]string{"players: 10", "players: 12"}, []string{"players: 10", "players: 12.0"}, []string{"players: 10", "players: 12"}},
	} {
		got, conflicts := merging(t, started, changed(t, started, c.ours...), changed(t, started, c.theirs...))
		if want := changed(t, started, c.want...); got != want || len(conflicts) > 0 {
			t.Errorf("%s: %v, merged to\n%s\nwant\n%s", name, conflicts, got, want)
		}
	}
}

func TestMergeConflicts(t *testing.T) {
	for name, c := range map[string]struct {
		ours, theirs []string
		want         Conflict
	}{
		"a value":           {[]string{"players: 10", "players: 12"}, []string{"players: 10", "players: 14"}, Conflict{"players", "10", "12", "14"}},
		"deep down":         {[]string{"40 #", "32 #"}, []string{"40 #", "50 #"}, Conflict{"vibrato.depth_low_cents", "40", "32", "50"}},
		"taken out by us":   {[]string{"players: 10\n", ""}, []string{"players: 10", "players: 14"}, Conflict{"players", "10", "", "14"}},
		"taken out by them": {[]string{"players: 10", "players: 14"}, []string{"players: 10\n", ""}, Conflict{"players", "10", "14", ""}},
		"added twice":       {[]string{"players", "family: brass\nplayers"}, []string{"players", "family: strings\nplayers"}, Conflict{"family", "", "brass", "strings"}},
		"a curve": {[]string{"curve: standard", "range_db: 40"}, []string{"curve: standard", "points: [1]"},
			Conflict{"sampler.level.range_db", "{curve: standard}", "{range_db: 40}", "{points: [1]}"}},
		"a variant": {[]string{"keyswitch: 24", "keyswitch: 1"}, []string{"keyswitch: 24", "keyswitch: 2"}, Conflict{"variants.short.keyswitch", "24", "1", "2"}},
		"a section and a word": {[]string{"level: {controller: 11, curve: standard}", "level: none"}, []string{"controller: 11", "controller: 7"},
			Conflict{"sampler.level", "{controller: 11, curve: standard}", "none", "{controller: 7, curve: standard}"}},
	} {
		ours, theirs := changed(t, started, c.ours...), changed(t, started, c.theirs...)
		got, conflicts := merging(t, started, ours, theirs)
		if len(conflicts) != 1 || conflicts[0] != c.want || got != ours {
			t.Errorf("%s: %+v, want %+v, merged to\n%s", name, conflicts, c.want, got)
		}
		_, mirrored := merging(t, started, theirs, ours)
		if len(mirrored) != 1 || mirrored[0].Ours != c.want.Theirs || mirrored[0].Theirs != c.want.Ours {
			t.Errorf("%s: the other way round %+v", name, mirrored)
		}
	}
}

func TestMergeWithoutBase(t *testing.T) {
	merged, conflicts, err := Merge(nil, []byte("swellbox: 1\nname: a\nplayers: 3\n"), []byte("swellbox: 1\nname: a\nfamily: brass\n"))
	if want := "swellbox: 1\nname: a\nfamily: brass\nplayers: 3\n"; string(merged) != want || len(conflicts) > 0 || err != nil {
		t.Errorf("merged to\n%s%v, %v, want\n%s", merged, conflicts, err, want)
	}
}

func TestMergeErrors(t *testing.T) {
	good := "swellbox: 1\nname: a\n"
	for _, c := range []struct{ base, ours, theirs, want string }{
		{good, "a: [", good, "ours: the document is not readable"},
		{good, good, "[]", "theirs: the document has no keys"},
		{"- a", good, good, "what both started from: the document has no keys"},
		{good, good + "players: 0\n", good + "family: brass\n", "the two changes do not go together: merged:4:10: players"},
	} {
		merged, conflicts, err := Merge([]byte(c.base), []byte(c.ours), []byte(c.theirs))
		if merged != nil || conflicts != nil || err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q %v %v, want %s", merged, conflicts, err, c.want)
		}
	}
}

// edited is a document with a few random edits.
func edited(t *rapid.T, doc []byte, label string) ([]byte, map[string]string) {
	made := map[string]string{}
	for range rapid.IntRange(0, 4).Draw(t, label) {
		path, value := drawEdit(t)
		if b, err := Set(doc, path, value); err == nil {
			doc, made[path] = b, value
		}
	}
	return doc, made
}

func TestManyMerges(t *testing.T) {
	docs := documents(t)
	rapid.Check(t, func(rt *rapid.T) {
		base := rapid.SampledFrom(docs).Draw(rt, "document")
		x, xs := edited(rt, base, "edits of ours")
		y, ys := edited(rt, base, "edits of theirs")
		for _, c := range [][2][]byte{{x, base}, {base, x}, {x, x}} {
			got, conflicts, err := Merge(base, c[0], c[1])
			if err != nil || len(conflicts) > 0 || !bytes.Equal(got, x) {
				rt.Fatalf("merged with nothing: %v, %v,\n%s\nwant\n%s", conflicts, err, got, x)
			}
		}
		xy, one, errOne := Merge(base, x, y)
		yx, two, errTwo := Merge(base, y, x)
		if (errOne == nil) != (errTwo == nil) || len(one) != len(two) {
			rt.Fatalf("one way %v, %v, the other %v, %v", one, errOne, two, errTwo)
		}
		if errOne != nil {
			rt.Fatalf("no edit excludes another here: %v", errOne)
		}
		torn := map[string]bool{}
		for _, c := range one {
			if c.Ours == c.Theirs {
				rt.Fatalf("a conflict of equals: %+v", c)
			}
			torn[c.Path] = true
		}
		a, b := leaves(t, xy), leaves(t, yx)
		if len(one) == 0 && fmt.Sprint(a) != fmt.Sprint(b) {
			rt.Fatalf("one way\n%s\nthe other\n%s", xy, yx)
		}
		// What either side changed and the other did not is there; no key of ours is lost.
		if len(one) == 0 {
			for path, value := range ys {
				if _, both := xs[path]; both || overlaps(xs, path) || overlaps(ys, path) {
					continue
				}
				if v, ok, err := Get(xy, path); err != nil || !ok || v != value {
					rt.Fatalf("theirs set %s to %s, merged has %q, %v\n%s", path, value, v, err, xy)
				}
			}
		}
		for path := range leaves(t, base) {
			_, inX := leaves(t, x)[path]
			_, inY := leaves(t, y)[path]
			if _, ok := a[path]; !ok && inX && inY && !torn[path] && !overlaps(xs, path) && !overlaps(ys, path) {
				rt.Fatalf("%s is lost:\n%s", path, xy)
			}
		}
	})
}

// overlaps reports whether an edit has another path that contains path or lies in it.
func overlaps(edits map[string]string, path string) bool {
	for p := range edits {
		if p != path && (strings.HasPrefix(path, p) || strings.HasPrefix(p, path)) {
			return true
		}
	}
	return false
}

// Whatever is merged: no panic, and what comes out without a conflict is a document
// whose every value is that of one side.
func FuzzMerge(f *testing.F) {
	f.Add([]byte(started), []byte(changed(f, started, "players: 10", "players: 12")), []byte(changed(f, started, "40 #", "32 #")))
	f.Add([]byte(""), []byte(mine), []byte("{swellbox: 1, name: mine}"))
	f.Add([]byte("swellbox: 1\nname: a\n"), []byte("swellbox: 1\nname: a\nvibrato: {}\n"), []byte("swellbox: 1\nname: a\nvibrato:\n  amount: 1\n"))
	f.Fuzz(func(t *testing.T, base, ours, theirs []byte) {
		merged, conflicts, err := Merge(base, ours, theirs)
		if err != nil || len(conflicts) > 0 {
			return
		}
		got, o, th := leaves(t, merged), leaves(t, ours), leaves(t, theirs)
		for path, v := range got {
			if !strings.Contains(path, "[") && v != "{}" && o[path] != v && th[path] != v {
				t.Errorf("%s is %q, ours has %q, theirs %q", path, v, o[path], th[path])
			}
		}
		paths := slices.Collect(func(yield func(string) bool) {
			for p := range o {
				if _, both := th[p]; both && !yield(p) {
					return
				}
			}
		})
		for _, p := range paths {
			if _, ok := got[p]; !ok {
				t.Errorf("%s is in ours and in theirs, and not in\n%s", p, merged)
			}
		}
	})
}
