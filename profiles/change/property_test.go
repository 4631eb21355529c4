package change

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"

	"swellbox/profiles"
)

// leaves are the paths of all values of a document that hold no others.
func leaves(t testing.TB, b []byte) map[string]string {
	t.Helper()
	s, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]string{}
	var walk func(n *yaml.Node, path string)
	walk = func(n *yaml.Node, path string) {
		is := items(n)
		if len(is) == 0 {
			found[path] = flow(n)
		}
		for i, it := range is {
			switch {
			case it.key == nil:
				walk(it.value, fmt.Sprintf("%s[%d]", path, i+1))
			case path == "":
				walk(it.value, it.key.Value)
			default:
				walk(it.value, path+"."+it.key.Value)
			}
		}
	}
	walk(s.root, "")
	return found
}

// numbers are quantities with values that each may have.
var numbers = map[string][]string{
	"players":                   {"1", "12", "500"},
	"family":                    {"strings", "brass", "other"},
	"marks.amount":              {"0", "0.5", "2"},
	"marks.carried_by":          {"velocity", "both"},
	"bloom.swell_db":            {"0", "1.25"},
	"orchestra_weight.extra_db": {"-3", "6"},
	"vibrato.amount":            {"0", "1"},
	"vibrato.depth_low_cents":   {"20", "1e2"},
	"vibrato.onset_ms":          {"0", "350"},
	"vibrato.open_strings":      {"[]", "[55]", "[55, 62, 69]"},
	"sampler.level.controller":  {"7", "11"},
	"sampler.level.points":      {"[{value: 0, level_db: -60}, {value: 127, level_db: 0}]"},
	"sampler.bend_vibrato":      {"true"},
	"marks.reading":             {"sampler", "{curve: standard}", "{points: [{velocity: 1, level_db: -9}, {velocity: 127, level_db: 9}]}"},
}

func drawEdit(t *rapid.T) (path, value string) {
	paths := make([]string, 0, len(numbers))
	for p := range numbers {
		paths = append(paths, p)
	}
	slices.Sort(paths)
	path = rapid.SampledFrom(paths).Draw(t, "path")
	return path, rapid.SampledFrom(numbers[path]).Draw(t, "value")
}

// documents are the built-in ones and one of an odd layout, in the order of their names.
func documents(t testing.TB) [][]byte {
	t.Helper()
	files := builtin(t)
	var names []string
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	docs := [][]byte{[]byte(mine)}
	for _, name := range names {
		docs = append(docs, files[name])
	}
	return docs
}

// comments are the comments of a document, sorted.
func comments(b []byte) []string {
	var cs []string
	for line := range strings.Lines(string(b)) {
		if _, c, ok := strings.Cut(line, "# "); ok {
			cs = append(cs, strings.TrimSpace(c))
		}
	}
	slices.Sort(cs)
	return cs
}

// What is set is read again, every other value and every comment is as it was,
// and so is every line that does not hold the value.
func TestSetChangesOneValue(t *testing.T) {
	docs := documents(t)
	rapid.Check(t, func(rt *rapid.T) {
		doc := rapid.SampledFrom(docs).Draw(rt, "document")
		path, value := drawEdit(rt)
		got, err := Set(doc, path, value)
		if err != nil {
			// A section that a document replaces by a word cannot take a key.
			if strings.Contains(err.Error(), "in the place of a section") {
				return
			}
			rt.Fatalf("%s = %s: %v in\n%s", path, value, err, doc)
		}
		if v, ok, err := Get(got, path); err != nil || !ok || v != value {
			rt.Fatalf("%s is %q, %v, %v after it was set to %q:\n%s", path, v, ok, err, value, got)
		}
		before, after := leaves(t, doc), leaves(t, got)
		section := path
		if strings.HasSuffix(path, ".points") {
			section = strings.TrimSuffix(path, ".points") // what it takes the place of
		}
		for p, v := range before {
			if p == path || strings.HasPrefix(p, path) || strings.HasPrefix(path, p+".") ||
				section != path && strings.HasPrefix(p, section+".") && (strings.HasSuffix(p, ".curve") || strings.HasSuffix(p, ".range_db")) {
				continue
			}
			if after[p] != v {
				rt.Fatalf("%s was %q and is %q after %s was set", p, v, after[p], path)
			}
		}
		if path != "marks.reading" && !slices.Equal(comments(doc), comments(got)) && !strings.HasSuffix(path, "points") {
			rt.Fatalf("comments were lost or made:\n%s", got)
		}
		if n := bytes.Count(got, []byte("\n")) - bytes.Count(doc, []byte("\n")); n >= 0 && n <= 3 {
			if lost := linesLost(doc, got); lost > 1 {
				rt.Fatalf("%d lines changed when %s was set to %s:\n%s", lost, path, value, got)
			}
		}
	})
}

// linesLost counts the lines of a between the lines with which both begin and end.
func linesLost(a, b []byte) int {
	as, bs := strings.SplitAfter(string(a), "\n"), strings.SplitAfter(string(b), "\n")
	for len(as) > 0 && len(bs) > 0 && as[0] == bs[0] {
		as, bs = as[1:], bs[1:]
	}
	for len(as) > 0 && len(bs) > 0 && as[len(as)-1] == bs[len(bs)-1] {
		as, bs = as[:len(as)-1], bs[:len(bs)-1]
	}
	return len(as)
}

// Whatever the document, the path and the value: either there is an error and no
// document, or a valid one with that value and every other value as it was.
func FuzzSet(f *testing.F) {
	for _, doc := range documents(f) {
		f.Add(doc, "vibrato.onset_ms", "200")
	}
	f.Add([]byte(mine), "marks.reading.points[2].level_db", "1")
	f.Add([]byte("swellbox: 1\nname: |\n  a\nplayers: >-\n  3\n"), "players", "3")
	f.Add([]byte("? swellbox\n: 1\n? name\n: a\n"), "players", "3")
	f.Add([]byte("swellbox: 1\nname: a\nvariants:\n- name: short\n  keyswitch: 3\n"), "variants.short.keyswitch", "4")
	f.Fuzz(func(t *testing.T, doc []byte, path, value string) {
		kept := bytes.Clone(doc)
		got, err := Set(doc, path, value)
		if !bytes.Equal(doc, kept) {
			t.Fatal("the document given was written to")
		}
		if err != nil {
			if got != nil {
				t.Errorf("an error and a document: %v", err)
			}
			return
		}
		if _, err := profiles.ParseAny("got", got); err != nil {
			t.Errorf("%q = %q in %q gives %q: %v", path, value, doc, got, err)
		}
		if _, ok, err := Get(got, path); err != nil || !ok {
			t.Errorf("%q is not in %q: %v", path, got, err)
		}
		again, err := Set(got, path, value)
		if err != nil || !bytes.Equal(again, got) {
			t.Errorf("set a second time: %q, then %q, %v", got, again, err)
		}
	})
}
