package profiles

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"go.yaml.in/yaml/v3"
)

// key is one key that a mapping may have, and how its value is read into a T.
// What is wrong with the value is noted, and the T left as it was.
type key[T any] struct {
	name  string
	about string // what it means, for the editors of documents
	form  form   // what the value may be
	read  func(r *reader, n *yaml.Node, path string, to *T)
}

// mapping reads the keys of n into to.
func mapping[T any](r *reader, n *yaml.Node, path string, keys []key[T], to *T) {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.name
	}
	if n.Kind != yaml.MappingNode {
		r.fault(n, path, "found %s, wanted keys with values: %s", found(n), strings.Join(names, ", "))
		return
	}
	seen := make([]bool, len(keys))
	for i := 0; i+1 < len(n.Content) && !r.full(); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		k := slices.Index(names, name.Value)
		switch {
		case name.Kind != yaml.ScalarNode:
			r.fault(name, path, "found %s in the place of a key, allowed are %s", found(name), strings.Join(names, ", "))
		case k < 0:
			hint := ""
			if near, ok := Nearest(name.Value, names); ok {
				hint = fmt.Sprintf(", the nearest is %q", near)
			}
			r.fault(name, path, "the key %q is not known%s; allowed are %s", shortened(name.Value), hint, strings.Join(names, ", "))
		case seen[k]:
			r.fault(name, join(path, name.Value), "the key is given twice")
		default:
			seen[k] = true
			keys[k].read(r, value, join(path, name.Value), to)
		}
	}
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// section is a key whose value is a mapping that is read into the same T.
func section[T any](name, about string, keys ...key[T]) key[T] {
	return key[T]{name, about, object(keys), func(r *reader, n *yaml.Node, path string, to *T) { mapping(r, n, path, keys, to) }}
}

// decimal reads a number written in decimal digits. Base prefixes, infinities
// and what is not a number are refused, and so is a number in quotes.
func decimal(n *yaml.Node) (float64, bool) {
	if n.Kind != yaml.ScalarNode || n.Style != 0 || strings.Trim(n.Value, "0123456789+-.eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(n.Value, 64)
	return v, err == nil
}

// within reads a number between lo and hi.
func (r *reader) within(n *yaml.Node, path string, lo, hi float64, unit string) (float64, bool) {
	v, ok := decimal(n)
	if !ok || v < lo || v > hi {
		r.fault(n, path, "found %s, allowed is %s", found(n), span(lo, hi, unit))
		return 0, false
	}
	return v, true
}

// span is a range with its unit, in words.
func span(lo, hi float64, unit string) string {
	return strings.TrimSpace(fmt.Sprintf("%g to %g %s", lo, hi, unit))
}

// number is a key for a quantity between lo and hi, in the unit of the key.
func number[T any](name, about string, lo, hi float64, unit string, at func(*T) *float64) key[T] {
	return scaled(name, about, lo, hi, unit, 1, at)
}

// percent is a key for a quantity that is written in percent and kept as a ratio.
func percent[T any](name, about string, lo, hi float64, unit string, at func(*T) *float64) key[T] {
	return scaled(name, about, lo, hi, unit, 100, at)
}

func scaled[T any](name, about string, lo, hi float64, unit string, divisor float64, at func(*T) *float64) key[T] {
	return key[T]{name, inUnit(about, unit), numberForm(lo, hi), func(r *reader, n *yaml.Node, path string, to *T) {
		if v, ok := r.within(n, path, lo, hi, unit); ok {
			*at(to) = v / divisor
		}
	}}
}

// milliseconds is a key for a time between lo and hi ms.
func milliseconds[T any](name, about string, lo, hi float64, at func(*T) *time.Duration) key[T] {
	return key[T]{name, inUnit(about, "ms"), numberForm(lo, hi), func(r *reader, n *yaml.Node, path string, to *T) {
		if v, ok := r.within(n, path, lo, hi, "ms"); ok {
			*at(to) = time.Duration(math.Round(v * float64(time.Millisecond)))
		}
	}}
}

// wholeWithin reads a whole number between lo and hi.
func (r *reader) wholeWithin(n *yaml.Node, path string, lo, hi int) (int, bool) {
	v, ok := decimal(n)
	if !ok || v != math.Trunc(v) || v < float64(lo) || v > float64(hi) {
		r.fault(n, path, "found %s, allowed is a whole number, %d to %d", found(n), lo, hi)
		return 0, false
	}
	return int(v), true
}

// whole is a key for a whole number between lo and hi.
func whole[T any, N int | uint8](name, about string, lo, hi int, at func(*T) *N) key[T] {
	return key[T]{name, about, wholeForm(lo, hi), func(r *reader, n *yaml.Node, path string, to *T) {
		if v, ok := r.wholeWithin(n, path, lo, hi); ok {
			*at(to) = N(v)
		}
	}}
}

// choice is one word that a key may have, and what it stands for.
type choice[V any] struct {
	word  string
	value V
}

// word is a key for one of a few words.
func word[T, V any](name, about string, choices []choice[V], at func(*T) *V) key[T] {
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = c.word
	}
	return key[T]{name, about, choiceForm(choices), func(r *reader, n *yaml.Node, path string, to *T) {
		i := -1
		if n.Kind == yaml.ScalarNode {
			i = slices.Index(words, n.Value)
		}
		if i < 0 {
			r.fault(n, path, "found %s, allowed is %s", found(n), strings.Join(words, ", "))
			return
		}
		*at(to) = choices[i].value
	}}
}

// isWord reports whether n is the bare word w.
func isWord(n *yaml.Node, w string) bool { return n.Kind == yaml.ScalarNode && n.Value == w }

// textLimit is the longest name of a part, a track or a profile, in bytes.
const textLimit = 200

// text is a key for a name that a person reads: one line of printable characters.
func text[T any](name, about string, at func(*T) *string) key[T] {
	return key[T]{name, about, lineForm, func(r *reader, n *yaml.Node, path string, to *T) {
		unprintable := func(c rune) bool { return c == unicode.ReplacementChar || !unicode.IsPrint(c) }
		if n.Kind != yaml.ScalarNode || strings.TrimSpace(n.Value) == "" || len(n.Value) > textLimit ||
			strings.ContainsFunc(n.Value, unprintable) || n.ShortTag() == "!!null" {
			r.fault(n, path, "found %s, allowed is one line of printable text, at most %d bytes", found(n), textLimit)
			return
		}
		*at(to) = n.Value
	}}
}

// plainName is a key for the name of a profile, a variant or a controller map.
func plainName[T any](name, about string, at func(*T) *string) key[T] {
	return key[T]{name, about, nameForm, func(r *reader, n *yaml.Node, path string, to *T) {
		if r.named(n, path) {
			*at(to) = n.Value
		}
	}}
}

// named reports whether n is a name, and notes if not.
func (r *reader) named(n *yaml.Node, path string) bool {
	if n.Kind == yaml.ScalarNode && n.ShortTag() != "!!null" && ValidName(n.Value) {
		return true
	}
	r.fault(n, path, "found %s, allowed are lower-case letters, digits and single hyphens between them, at most %d bytes", found(n), nameLimit)
	return false
}

// nameLimit is the longest name of a profile, a variant or a controller map, in bytes.
const nameLimit = 64

// ValidName reports whether s can name a document: lower-case letters of any alphabet,
// digits, and single hyphens between them, at most 64 bytes. Names are lower case because
// they are file names too, and some file systems take Horn and horn for one.
func ValidName(s string) bool {
	if len(s) > nameLimit {
		return false
	}
	for _, w := range strings.Split(s, "-") {
		other := func(c rune) bool {
			return c == unicode.ReplacementChar || !unicode.IsLower(c) && !unicode.IsDigit(c)
		}
		if w == "" || strings.ContainsFunc(w, other) {
			return false
		}
	}
	return true
}

// Printable is a name as a document may have it: one line of printable characters, of at most as
// many bytes as are allowed. A file may hold any bytes.
func Printable(name string) string {
	name = strings.Map(func(r rune) rune {
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, name)
	if len(name) > textLimit {
		name = strings.ToValidUTF8(name[:textLimit], "")
	}
	return strings.TrimSpace(name)
}
