package audition

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"swellbox/profiles"
)

// The voices that a document may name are those that there are.
func TestVoicesOfDocuments(t *testing.T) {
	b, err := profiles.Schema(profiles.KindProfile)
	if err != nil {
		t.Fatal(err)
	}
	var schema struct {
		Properties struct {
			Voice struct{ Enum []string }
		}
	}
	if err := json.Unmarshal(b, &schema); err != nil {
		t.Fatal(err)
	}
	voices := schema.Properties.Voice.Enum
	for _, v := range voices {
		if first, _, _ := strings.Cut(find(v, "").names, "|"); first != v {
			t.Errorf("the voice %q of documents sounds as %q", v, first)
		}
	}
	for _, in := range instruments {
		if first, _, _ := strings.Cut(in.names, "|"); first != "" && !slices.Contains(voices, first) {
			t.Errorf("no document may name the voice %q", first)
		}
	}
}
