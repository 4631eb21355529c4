package console_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"

	"swellbox/proxy/console"
)

// described is the description that the page's server hands out.
func described(t *testing.T, r *rig) (doc map[string]any, schema func(name string) *jsonschema.Schema) {
	t.Helper()
	code, text := r.ask("GET", "/openapi.yaml", "", nil)
	if code != 200 {
		t.Fatalf("the description: %d", code)
	}
	var read any
	if err := yaml.Unmarshal([]byte(text), &read); err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(read)
	if err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("mem:///openapi", value); err != nil {
		t.Fatal(err)
	}
	return value.(map[string]any), func(name string) *jsonschema.Schema {
		s, err := c.Compile("mem:///openapi#/components/schemas/" + name)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		return s
	}
}

// The description names every request that is served, and no other.
func TestDescriptionNamesAllRequests(t *testing.T) {
	r := start(t, nil)
	doc, _ := described(t, r)
	var said []string
	for path, methods := range doc["paths"].(map[string]any) {
		for method := range methods.(map[string]any) {
			said = append(said, strings.ToUpper(method)+" "+path)
		}
	}
	served := console.Patterns()
	slices.Sort(said)
	slices.Sort(served)
	if !slices.Equal(said, served) {
		t.Errorf("described: %v\nserved: %v", said, served)
	}
}

// What is told is as described, key by key; and what the description allows is taken.
func TestAnswersAreAsDescribed(t *testing.T) {
	r := start(t, nil)
	r.play()
	_, schema := described(t, r)
	p := r.read()
	until(p, "state", func(s *map[string]any) bool { return len((*s)["parts"].([]any)) > 10 })
	seen := map[string]int{}
	check := func(name string, v any) {
		t.Helper()
		seen[name]++
		if err := schema(name).Validate(v); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	for _, request := range []struct{ schema, path, body string }{
		{"Switch", "switch", `{"side":"raw","parts":["Violas"]}`},
		{"Switch", "switch", `{"side":"shaped"}`},
		{"Place", "place", `{"place":"studio"}`},
		{"Lookahead", "lookahead", `{"ms":200}`},
		{"Match", "match", `{"on":true}`},
		{"Seat", "seat", `{"part":0,"x":2,"y":14}`},
		{"Seat", "seat", `{"part":0,"usual":true}`},
		{"Listener", "listener", `{"room":"mid","row":3}`},
		{"Adjust", "adjust", `{"name":"violas","do":"amount","key":"vibrato","amount":1.5,"going":true}`},
		{"Blind", "blind", `{"do":"begin"}`},
		{"Blind", "blind", `{"do":"play","what":"b"}`},
		{"Blind", "blind", `{"do":"answer","what":"b"}`},
		{"Nothing", "panic", `{}`},
	} {
		var v any
		if err := json.Unmarshal([]byte(request.body), &v); err != nil {
			t.Fatal(err)
		}
		check(request.schema, v)
		r.do(request.path, request.body)
		if request.path == "adjust" {
			_, told := r.ask("POST", "/api/adjust", `{"name":"violas","do":"look"}`, nil)
			var v any
			if err := json.Unmarshal([]byte(told), &v); err != nil {
				t.Fatal(err)
			}
			check("Adjusted", v)
			continue
		}
		check("State", any(next[map[string]any](p, "state")))
		for range 3 {
			check("Now", any(next[map[string]any](p, "now")))
		}
	}
	if err := schema("Switch").Validate(map[string]any{"side": "loud"}); err == nil {
		t.Error("the description allows anything")
	}
	t.Log(slices.Sorted(maps.Keys(seen)))
}
