package profiles

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles/reading"
)

// plainValue is a YAML tree as JSON has it.
func plainValue(n *yaml.Node) any {
	switch n.Kind {
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = plainValue(n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		l := []any{}
		for _, c := range n.Content {
			l = append(l, plainValue(c))
		}
		return l
	}
	if v, ok := reading.Decimal(n); ok {
		return v
	}
	switch n.ShortTag() {
	case "!!null":
		return nil
	case "!!bool":
		return n.Value == "true"
	}
	return n.Value
}

func candidateOf(t *testing.T, name string, kind Kind, text string) candidate {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return candidate{name, kind, plainValue(doc.Content[0]), text}
}

// judge reads a document with our own reader of its kind.
func (c candidate) judge() (err error) {
	switch c.Kind {
	case KindProfile:
		_, err = Parse(c.Name, []byte(c.text))
	case KindSeating:
		_, err = ParseSeating(c.Name, []byte(c.text))
	case KindControllerMap:
		_, err = ParseControllerMap(c.Name, []byte(c.text))
	}
	return err
}

// goodDocuments are such as the reader takes.
func goodDocuments(t *testing.T) (good []candidate) {
	t.Helper()
	for name, b := range builtinFiles(t) {
		good = append(good, candidateOf(t, name, KindProfile, string(b)))
	}
	l := mapped(t, wellMapped)
	for _, name := range l.Names() {
		whole, err := l.ShowOrigins(name, "big-room")
		if err != nil {
			t.Fatal(err)
		}
		good = append(good, candidateOf(t, "whole "+name, KindProfile, string(whole)))
	}
	return append(good, candidateOf(t, "seating", KindSeating, orchestra), candidateOf(t, "map", KindControllerMap, wellMapped))
}

func TestSchemaTakesWhatTheReaderTakes(t *testing.T) {
	good := goodDocuments(t)
	found := verdicts(t, good)
	for _, c := range good {
		if err := c.judge(); err != nil || found[c.Name] != "" {
			t.Errorf("%s: the reader says %v, the other validator %q", c.Name, err, found[c.Name])
		}
	}
}

// brokenDocuments are such as the reader refuses.
func brokenDocuments(t *testing.T) (broken []candidate) {
	t.Helper()
	const profile, seats, controllerMap = "{swellbox: 1, name: a, ", "{swellbox: 1, seats: [", "{swellbox: 1, controller_map: a, "
	for _, c := range []struct {
		kind Kind
		text string
	}{
		{KindProfile, "{name: a}"},
		{KindProfile, "{swellbox: 2, name: a}"},
		{KindProfile, "{swellbox: 1}"},
		{KindProfile, "{swellbox: 1, name: First Violins}"},
		{KindProfile, "{swellbox: 1, name: a--b}"},
		{KindProfile, profile + "colour: red}"},
		{KindProfile, profile + "vibrato: {onset: 30}}"},
		{KindProfile, profile + "players: 2.5}"},
		{KindProfile, profile + "players: '3'}"},
		{KindProfile, profile + "players: 0x10}"},
		{KindProfile, profile + "family: viols}"},
		{KindProfile, profile + "vibrato: {amount: .nan}}"},
		{KindProfile, profile + "vibrato: [1]}"},
		{KindProfile, profile + "vibrato: {open_strings: [1,2,3,4,5,6,7,8,9,10,11,12,13]}}"},
		{KindProfile, profile + "marks: {reading: {curve: standard, range_db: 40}}}"},
		{KindProfile, profile + "marks: {reading: {law: linear}}}"},
		{KindProfile, profile + "marks: {reading: none}}"},
		{KindProfile, profile + "marks: {reading: {points: [{velocity: 1, level_db: 0}]}}}"},
		{KindProfile, profile + "marks: {reading: {points: [{velocity: 1}, {velocity: 2, level_db: 3}]}}}"},
		{KindProfile, profile + "sampler: {level: {controller: 6}}}"},
		{KindProfile, profile + "sampler: {level: {bits: 8}}}"},
		{KindProfile, profile + "sampler: {vibrato_depth: {curve: standard}}}"},
		{KindProfile, profile + "sampler: {bend_vibrato: yes}}"},
		{KindProfile, profile + "articulation: {keyswitch: 128}}"},
		{KindProfile, profile + "variants: [{keyswitch: 3}]}"},
		{KindProfile, profile + "variants: [{name: b, program: []}]}"},
		{KindProfile, profile + "variants: [{name: b, program: [0]}]}"},
		{KindProfile, profile + "variants: [{name: b, family: brass}]}"},
		{KindSeating, "{swellbox: 1}"},
		{KindSeating, "{swellbox: 1, seats: []}"},
		{KindSeating, seats + "{channel: 1}]}"},
		{KindSeating, seats + "{profile: horn}]}"},
		{KindSeating, seats + "{channel: 17, profile: horn}]}"},
		{KindSeating, seats + "{track: ' ', profile: horn}]}"},
		{KindSeating, seats + "{channel: 1, profile: horn, articulation: 3-}]}"},
		{KindSeating, seats + "{channel: 1, profile: horn}], ensemble: {controller_map: ''}}"},
		{KindControllerMap, "{swellbox: 1}"},
		{KindControllerMap, controllerMap + "everyone: {vibrato: {amount: 1}}}"},
		{KindControllerMap, controllerMap + "families: {viols: {}}}"},
		{KindControllerMap, controllerMap + "profiles: {Horn: {}}}"},
		{KindControllerMap, controllerMap + "profiles: {horn: {sampler: {level: {controller: 0}}}}}"},
		{KindControllerMap, controllerMap + "profiles: {horn: {variants: [{name: a, players: 3}]}}}"},
	} {
		broken = append(broken, candidateOf(t, fmt.Sprintf("%s %s", c.kind, c.text), c.kind, c.text))
	}
	return broken
}

func TestSchemaRefusesWhatTheReaderRefuses(t *testing.T) {
	broken := brokenDocuments(t)
	found := verdicts(t, broken)
	for _, c := range broken {
		if ps := (Problems)(nil); !errors.As(c.judge(), &ps) || found[c.Name] == "" {
			t.Errorf("%s: the reader says %v, the other validator %q, want a refusal of both", c.Name, c.judge(), found[c.Name])
		}
	}
}

// Every number that a schema bounds: both take the bounds and refuse what is past them.
func TestSchemaBoundsAreTheReaders(t *testing.T) {
	var all []candidate
	past := map[string]bool{}
	for kind, f := range forms {
		numbers := 0
		walkForm(f, nil, func(path []string, f reading.Form) {
			for _, end := range []struct {
				bound string
				step  float64
			}{{"minimum", -1}, {"maximum", 1}} {
				bound, err := numberOf(json.Marshal(f[end.bound]))
				if err != nil {
					t.Fatal(err)
				}
				for _, beyond := range []float64{0, end.step} {
					b, err := json.Marshal(around(kind, path, bound+beyond))
					if err != nil {
						t.Fatal(err)
					}
					c := candidateOf(t, fmt.Sprintf("%s %s of %g", kind, strings.Join(path, "."), bound+beyond), kind, string(b))
					past[c.Name] = beyond != 0
					all = append(all, c)
					numbers++
				}
			}
		})
		if least := map[Kind]int{KindProfile: 200, KindSeating: 20, KindControllerMap: 100}[kind]; numbers < least {
			t.Errorf("%d documents for the bounds of a %s, want %d or more: the walk has lost some", numbers, kind, least)
		}
	}
	found := verdicts(t, all)
	for _, c := range all {
		if err := c.judge(); (err != nil) != past[c.Name] || (found[c.Name] != "") != past[c.Name] {
			t.Errorf("%s: the reader says %v, the other validator %q", c.Name, err, found[c.Name])
		}
	}
}

// walkForm visits the forms of all numbers, except those in the points of curves,
// with the keys that lead to them.
func walkForm(f reading.Form, path []string, visit func([]string, reading.Form)) {
	path = slices.Clip(path)
	if f["$ref"] != nil {
		f = forms[KindControllerMap]["$defs"].(reading.Form)["answer"].(reading.Form)
	}
	if f["minimum"] != nil {
		visit(path, f)
	}
	if properties, ok := f["properties"].(reading.Form); ok {
		for name, p := range properties {
			if name != "points" {
				walkForm(p.(reading.Form), append(path, name), visit)
			}
		}
	}
	if any, ok := f["additionalProperties"].(reading.Form); ok {
		walkForm(any, append(path, "horn"), visit)
	}
	if items, ok := f["items"].(reading.Form); ok {
		walkForm(items, append(path, "[]"), visit)
	}
	if ways, ok := f["anyOf"].([]reading.Form); ok {
		for _, w := range ways {
			walkForm(w, path, visit)
		}
	}
}

// around is the least document of a kind that has a value at a path.
func around(kind Kind, path []string, value any) any {
	for i, step := range slices.Backward(path) {
		if step == "[]" {
			value = []any{value}
			continue
		}
		m := map[string]any{step: value}
		if i > 0 && path[i-1] == "[]" {
			switch path[i-2] {
			case "variants":
				m["name"] = "v"
			case "doubtful":
				for _, key := range []string{"names", "programs"} {
					if _, has := m[key]; !has {
						m[key] = []any{}
					}
				}
			case "keys":
				for _, needed := range []string{"key", "level_db"} {
					if _, has := m[needed]; !has {
						m[needed] = 0
					}
				}
			case "seats":
				m["profile"] = "horn"
				if _, has := m["channel"]; !has {
					m["channel"] = 1
				}
			}
		}
		value = m
	}
	m := value.(map[string]any)
	m["swellbox"] = 1
	switch kind {
	case KindProfile:
		m["name"] = "a"
	case KindControllerMap:
		m["controller_map"] = "a"
	case KindSeating:
		if m["seats"] == nil {
			m["seats"] = []any{map[string]any{"profile": "horn", "channel": 1}}
		}
	}
	return m
}

func numberOf(b []byte, err error) (v float64, _ error) {
	return v, errors.Join(err, json.Unmarshal(b, &v))
}

// Every key of every kind says what it means, and each form stands alone.
func TestSchemaDescribesEveryKey(t *testing.T) {
	for kind, f := range forms {
		keys := 0
		var walk func(path string, v any)
		walk = func(path string, v any) {
			f, ok := v.(reading.Form)
			if !ok {
				return
			}
			if f["$ref"] != nil {
				f = forms[KindControllerMap]["$defs"].(reading.Form)["answer"].(reading.Form)
			}
			if properties, ok := f["properties"].(reading.Form); ok {
				if f["additionalProperties"] != false {
					t.Errorf("%s: %s takes other keys", kind, path)
				}
				for name, p := range properties {
					keys++
					about, _ := p.(reading.Form)["description"].(string)
					if about == "" || strings.ContainsAny(about, "\n") {
						t.Errorf("%s: %s.%s is described as %q", kind, path, name, about)
					}
					walk(path+"."+name, p)
				}
			}
			walk(path, f["items"])
			walk(path, f["additionalProperties"])
			ways, _ := f["anyOf"].([]reading.Form)
			for _, w := range ways {
				walk(path, w)
			}
		}
		walk("", f)
		if keys < 10 {
			t.Errorf("%s: %d keys found, the walk has lost some", kind, keys)
		}
		if f["$schema"] != "https://json-schema.org/draft/2020-12/schema" || f["title"] == "" {
			t.Errorf("%s: %v, %v", kind, f["$schema"], f["title"])
		}
	}
	if _, err := Schema("score"); err == nil || !strings.Contains(err.Error(), `no document of the kind "score"; the kinds are [controller-map profile seating]`) {
		t.Errorf("an unknown kind: %v", err)
	}
}
