package profiles

import (
	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// version is the one form of the documents there is: "swellbox: 1".
const version = 1

// draft is a profile or a way of playing it while it is read: what a document says
// outside the instrument, and what can only be settled once all parents are merged.
type draft struct {
	extends         string
	profile         expr.Profile
	readingAsPlayer bool // the sampler's own answer to velocity is the reading
	level           control
	depth           control
	rate            control
	delay           control
	brightness      control
	call            call
	called          names.Called
	voice           string
}

var families = words("strings", "woodwind", "brass", "percussion", "keyboard", "plucked", "voice", "other")

// words are choices that stand for themselves.
func words(ws ...string) []reading.Choice[string] {
	cs := make([]reading.Choice[string], len(ws))
	for i, w := range ws {
		cs[i] = reading.Choice[string]{Word: w, Value: w}
	}
	return cs
}

var switches = []reading.Choice[bool]{{Word: "true", Value: true}, {Word: "false", Value: false}}

// playersLimit is the largest section or choir.
const playersLimit = 500

// versionKey is a key for the version of the form, which [reader.ofVersion] has checked.
func versionKey[T any]() reading.Key[T] {
	return reading.Key[T]{Name: "swellbox", About: "version of the form of the document", Form: reading.Form{"const": version}, Read: func(*reading.Reader, *yaml.Node, string, *T) {}}
}

// ofVersion reports whether the document is of the form that this program
// reads. If not, that is noted and nothing else of the document makes sense.
func ofVersion(r *reading.Reader, root *yaml.Node) bool {
	n := reading.Child(root, "swellbox")
	if n == nil {
		r.Fault(root, "swellbox", "the key is missing; write \"swellbox: %d\"", version)
		return false
	}
	if v, ok := reading.Decimal(n); !ok || v != version {
		r.Fault(n, "swellbox", "found version %s, this program reads version %d", reading.Found(n), version)
		return false
	}
	return true
}

// call is a way of playing's name and what calls it.
type call struct {
	name      string
	keyswitch *int  // MIDI note; nil: none
	programs  []int // 1..128
}
