package profiles

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
)

// form is what a value may be, in the words of JSON Schema, draft 2020-12.
// Each key has its form beside its reader, made of the same bounds.
type form map[string]any

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

var forms = map[Kind]form{
	KindProfile:       document("Profile: how an instrument is played, and how its sampler answers", object(profileKeys, "swellbox", "name")),
	KindSeating:       document("Seating: which part plays with which profile", object(seatingKeys, "swellbox", "seats")),
	KindControllerMap: mapForm(),
}

func mapForm() form {
	f := document("Controller map: how one sampler answers, for many profiles", object(mapKeys, "swellbox", "controller_map"))
	f["$defs"] = form{"answer": object(answerKeys)}
	return f
}

// document is the form of a whole document. It has no identifier: it is where the
// program writes it.
func document(title string, f form) form {
	f["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	f["title"] = title
	return f
}

// object is the form of a mapping with these keys, of which some must be there.
func object[T any](keys []key[T], required ...string) form {
	properties := form{}
	for _, k := range keys {
		f := maps.Clone(k.form)
		f["description"] = k.about
		properties[k.name] = f
	}
	f := form{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		f["required"] = required
	}
	return f
}

// listForm is the form of a list.
func listForm(of form, least, most int) form {
	return form{"type": "array", "items": of, "minItems": least, "maxItems": most}
}

// either is the form of a value that may take one of several.
func either(of ...form) form { return form{"anyOf": of} }

// constForm is the form of one word.
func constForm(word string) form { return form{"const": word} }

func numberForm(lo, hi float64) form { return form{"type": "number", "minimum": lo, "maximum": hi} }

func wholeForm(lo, hi int) form { return form{"type": "integer", "minimum": lo, "maximum": hi} }

// choiceForm is the form of a choice. The words true and false are written bare, and so
// are no texts.
func choiceForm[V any](choices []choice[V]) form {
	if _, isSwitch := any(choices).([]choice[bool]); isSwitch {
		return form{"type": "boolean"}
	}
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = c.word
	}
	return form{"enum": words}
}

// Texts are bounded in bytes by their readers and in characters by their forms, of
// which there are never more.
var (
	nameForm = form{"type": "string", "pattern": `^[\p{Ll}\p{Nd}]+(-[\p{Ll}\p{Nd}]+)*$`, "maxLength": nameLimit}
	lineForm = form{"type": "string", "pattern": `\S`, "maxLength": textLimit}
)

// atMostOne forbids two of the keys at once.
func atMostOne(f form, keys []string) form {
	var forbidden []form
	for i, a := range keys {
		for _, b := range keys[i+1:] {
			forbidden = append(forbidden, form{"not": form{"required": []string{a, b}}})
		}
	}
	if len(forbidden) > 0 {
		f["allOf"] = forbidden
	}
	return f
}

// inUnit is a description with the unit, which a ratio has none of.
func inUnit(about, unit string) string {
	if unit == "" {
		return about
	}
	return about + ", " + unit
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
