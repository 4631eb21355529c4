package profiles

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"swellbox/profiles/reading"
)

// Schema is the JSON Schema (draft 2020-12) of a kind of document, made of the
// tables that the documents are read with. What depends on more than one key, as
// that a curve rises, only the reader knows.
func Schema(kind Kind) ([]byte, error) {
	f, ok := forms[kind]
	if !ok {
		return nil, fmt.Errorf("there is no document of the kind %q; the kinds are %v", string(kind), Kinds)
	}
	b, err := json.MarshalIndent(f, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("cannot write the schema of a %s: %w", kind, err)
	}
	return append(b, '\n'), nil
}

var forms = map[Kind]reading.Form{
	KindProfile:       reading.DocumentForm("Profile: how an instrument is played, and how its sampler answers", reading.Object(profileKeys, "swellbox", "name")),
	KindSeating:       reading.DocumentForm("Seating: which part plays with which profile", reading.Object(seatingKeys, "swellbox", "seats")),
	KindControllerMap: mapForm(),
}

func mapForm() reading.Form {
	f := reading.DocumentForm("Controller map: how one sampler answers, for many profiles", reading.Object(mapKeys, "swellbox", "controller_map"))
	f["$defs"] = reading.Form{"answer": reading.Object(answerKeys)}
	return f
}

// Kind is a kind of document.
type Kind string

// The kinds of documents.
const (
	KindProfile       Kind = "profile"
	KindSeating       Kind = "seating"
	KindControllerMap Kind = "controller-map"
)

// Kinds are all kinds of documents.
var Kinds = slices.Sorted(maps.Keys(forms))
