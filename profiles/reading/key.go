package reading

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

// Key is one key that a mapping may have, and how its value is read into a T.
// What is wrong with the value is noted, and the T left as it was.
type Key[T any] struct {
	Name  string
	About string // what it means, for the editors of documents
	Form  Form   // what the value may be
	Read  func(r *Reader, n *yaml.Node, path string, to *T)
}

// Mapping reads the keys of n into to.
func Mapping[T any](r *Reader, n *yaml.Node, path string, keys []Key[T], to *T) {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.Name
	}
	if n.Kind != yaml.MappingNode {
		r.Fault(n, path, "found %s, wanted keys with values: %s", Found(n), strings.Join(names, ", "))
		return
	}
	seen := make([]bool, len(keys))
	for i := 0; i+1 < len(n.Content) && !r.Full(); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		k := slices.Index(names, name.Value)
		switch {
		case name.Kind != yaml.ScalarNode:
			r.Fault(name, path, "found %s in the place of a key, allowed are %s", Found(name), strings.Join(names, ", "))
		case k < 0:
			hint := ""
			if near, ok := Nearest(name.Value, names); ok {
				hint = fmt.Sprintf(", the nearest is %q", near)
			}
			r.Fault(name, path, "the key %q is not known%s; allowed are %s", Shortened(name.Value), hint, strings.Join(names, ", "))
		case seen[k]:
			r.Fault(name, Join(path, name.Value), "the key is given twice")
		default:
			seen[k] = true
			keys[k].Read(r, value, Join(path, name.Value), to)
		}
	}
}

func Join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// Section is a key whose value is a mapping that is read into the same T.
func Section[T any](name, about string, keys ...Key[T]) Key[T] {
	return Key[T]{name, about, Object(keys), func(r *Reader, n *yaml.Node, path string, to *T) { Mapping(r, n, path, keys, to) }}
}

// Decimal reads a number written in decimal digits. Base prefixes, infinities
// and what is not a number are refused, and so is a number in quotes.
func Decimal(n *yaml.Node) (float64, bool) {
	if n.Kind != yaml.ScalarNode || n.Style != 0 || strings.Trim(n.Value, "0123456789+-.eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(n.Value, 64)
	return v, err == nil
}

// Within reads a number between lo and hi.
func (r *Reader) Within(n *yaml.Node, path string, lo, hi float64, unit string) (float64, bool) {
	v, ok := Decimal(n)
	if !ok || v < lo || v > hi {
		r.Fault(n, path, "found %s, allowed is %s", Found(n), span(lo, hi, unit))
		return 0, false
	}
	return v, true
}

// span is a range with its unit, in words.
func span(lo, hi float64, unit string) string {
	return strings.TrimSpace(fmt.Sprintf("%g to %g %s", lo, hi, unit))
}

// Number is a key for a quantity between lo and hi, in the unit of the key.
func Number[T any](name, about string, lo, hi float64, unit string, at func(*T) *float64) Key[T] {
	return scaled(name, about, lo, hi, unit, 1, at)
}

// Percent is a key for a quantity that is written in percent and kept as a ratio.
func Percent[T any](name, about string, lo, hi float64, unit string, at func(*T) *float64) Key[T] {
	return scaled(name, about, lo, hi, unit, 100, at)
}

func scaled[T any](name, about string, lo, hi float64, unit string, divisor float64, at func(*T) *float64) Key[T] {
	return Key[T]{name, InUnit(about, unit), NumberForm(lo, hi), func(r *Reader, n *yaml.Node, path string, to *T) {
		if v, ok := r.Within(n, path, lo, hi, unit); ok {
			*at(to) = v / divisor
		}
	}}
}

// Milliseconds is a key for a time between lo and hi ms.
func Milliseconds[T any](name, about string, lo, hi float64, at func(*T) *time.Duration) Key[T] {
	return Key[T]{name, InUnit(about, "ms"), NumberForm(lo, hi), func(r *Reader, n *yaml.Node, path string, to *T) {
		if v, ok := r.Within(n, path, lo, hi, "ms"); ok {
			*at(to) = time.Duration(math.Round(v * float64(time.Millisecond)))
		}
	}}
}

// WholeWithin reads a whole number between lo and hi.
func (r *Reader) WholeWithin(n *yaml.Node, path string, lo, hi int) (int, bool) {
	v, ok := Decimal(n)
	if !ok || v != math.Trunc(v) || v < float64(lo) || v > float64(hi) {
		r.Fault(n, path, "found %s, allowed is a whole number, %d to %d", Found(n), lo, hi)
		return 0, false
	}
	return int(v), true
}

// Whole is a key for a whole number between lo and hi.
func Whole[T any, N int | uint8](name, about string, lo, hi int, at func(*T) *N) Key[T] {
	return Key[T]{name, about, WholeForm(lo, hi), func(r *Reader, n *yaml.Node, path string, to *T) {
		if v, ok := r.WholeWithin(n, path, lo, hi); ok {
			*at(to) = N(v)
		}
	}}
}

// Choice is one word that a key may have, and what it stands for.
type Choice[V any] struct {
	Word  string
	Value V
}

// Word is a key for one of a few words.
func Word[T, V any](name, about string, choices []Choice[V], at func(*T) *V) Key[T] {
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = c.Word
	}
	return Key[T]{name, about, choiceForm(choices), func(r *Reader, n *yaml.Node, path string, to *T) {
		i := -1
		if n.Kind == yaml.ScalarNode {
			i = slices.Index(words, n.Value)
		}
		if i < 0 {
			r.Fault(n, path, "found %s, allowed is %s", Found(n), strings.Join(words, ", "))
			return
		}
		*at(to) = choices[i].Value
	}}
}

// IsWord reports whether n is the bare word w.
func IsWord(n *yaml.Node, w string) bool { return n.Kind == yaml.ScalarNode && n.Value == w }

// TextLimit is the longest name of a part, a track or a profile, in bytes.
const TextLimit = 200

// Text is a key for a name that a person reads: one line of printable characters.
func Text[T any](name, about string, at func(*T) *string) Key[T] {
	return Key[T]{name, about, LineForm, func(r *Reader, n *yaml.Node, path string, to *T) {
		unprintable := func(c rune) bool { return c == unicode.ReplacementChar || !unicode.IsPrint(c) }
		if n.Kind != yaml.ScalarNode || strings.TrimSpace(n.Value) == "" || len(n.Value) > TextLimit ||
			strings.ContainsFunc(n.Value, unprintable) || n.ShortTag() == "!!null" {
			r.Fault(n, path, "found %s, allowed is one line of printable text, at most %d bytes", Found(n), TextLimit)
			return
		}
		*at(to) = n.Value
	}}
}

// PlainName is a key for the name of a profile, a variant or a controller map.
func PlainName[T any](name, about string, at func(*T) *string) Key[T] {
	return Key[T]{name, about, NameForm, func(r *Reader, n *yaml.Node, path string, to *T) {
		if r.Named(n, path) {
			*at(to) = n.Value
		}
	}}
}

// Named reports whether n is a name, and notes if not.
func (r *Reader) Named(n *yaml.Node, path string) bool {
	if n.Kind == yaml.ScalarNode && n.ShortTag() != "!!null" && ValidName(n.Value) {
		return true
	}
	r.Fault(n, path, "found %s, allowed are lower-case letters, digits and single hyphens between them, at most %d bytes", Found(n), nameLimit)
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
	if len(name) > TextLimit {
		name = strings.ToValidUTF8(name[:TextLimit], "")
	}
	return strings.TrimSpace(name)
}
