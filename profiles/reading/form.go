package reading

import "maps"

// Form is what a value may be, in the words of JSON Schema, draft 2020-12.
// Each key has its form beside its reader, made of the same bounds.
type Form map[string]any

// DocumentForm is the form of a whole document. It has no identifier: it is where the
// program writes it.
func DocumentForm(title string, f Form) Form {
	f["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	f["title"] = title
	return f
}

// Object is the form of a mapping with these keys, of which some must be there.
func Object[T any](keys []Key[T], required ...string) Form {
	properties := Form{}
	for _, k := range keys {
		f := maps.Clone(k.Form)
		f["description"] = k.About
		properties[k.Name] = f
	}
	f := Form{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		f["required"] = required
	}
	return f
}

// ListForm is the form of a list.
func ListForm(of Form, least, most int) Form {
	return Form{"type": "array", "items": of, "minItems": least, "maxItems": most}
}

// Either is the form of a value that may take one of several.
func Either(of ...Form) Form { return Form{"anyOf": of} }

// ConstForm is the form of one word.
func ConstForm(word string) Form { return Form{"const": word} }

func NumberForm(lo, hi float64) Form { return Form{"type": "number", "minimum": lo, "maximum": hi} }

func WholeForm(lo, hi int) Form { return Form{"type": "integer", "minimum": lo, "maximum": hi} }

// choiceForm is the form of a choice. The words true and false are written bare, and so
// are no texts.
func choiceForm[V any](choices []Choice[V]) Form {
	if _, isSwitch := any(choices).([]Choice[bool]); isSwitch {
		return Form{"type": "boolean"}
	}
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = c.Word
	}
	return Form{"enum": words}
}

// Texts are bounded in bytes by their readers and in characters by their forms, of
// which there are never more.
var (
	NameForm = Form{"type": "string", "pattern": `^[\p{Ll}\p{Nd}]+(-[\p{Ll}\p{Nd}]+)*$`, "maxLength": nameLimit}
	LineForm = Form{"type": "string", "pattern": `\S`, "maxLength": TextLimit}
)

// AtMostOne forbids two of the keys at once.
func AtMostOne(f Form, keys []string) Form {
	var forbidden []Form
	for i, a := range keys {
		for _, b := range keys[i+1:] {
			forbidden = append(forbidden, Form{"not": Form{"required": []string{a, b}}})
		}
	}
	if len(forbidden) > 0 {
		f["allOf"] = forbidden
	}
	return f
}

// InUnit is a description with the unit, which a ratio has none of.
func InUnit(about, unit string) string {
	if unit == "" {
		return about
	}
	return about + ", " + unit
}
