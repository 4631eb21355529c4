package balance

import "swellbox/expr/acoustics"

// State says how a part is heard over a bar or a stretch, from the least heard.
type State uint8

// The states. Covered, blended, heard and dominant are the model's own, see
// [acoustics.State]; the other two say what the model, which hears one moment, cannot.
const (
	Covered  State = iota
	Doubled        // under those who double it, and heard as one with them
	Blended        // part of the sound, no voice in it
	Heard          // the ear can follow it
	Dominant       // as strong as all others together
	Alone          // nobody else sounds for most of its time
)

// states are all of them, with their words and what they mean.
var states = [...]struct{ name, short, letter, meaning string }{
	Covered:  {"covered", "covered", "C", "too soft to be heard"},
	Doubled:  {"lost in its doubling", "lost", "L", "under those who double it, and heard as one with them"},
	Blended:  {"blended", "blended", "B", "part of the sound, no voice in it"},
	Heard:    {"heard", "heard", "H", "the ear can follow it"},
	Dominant: {"dominant", "dominant", "D", "as strong as all others together"},
	Alone:    {"alone", "alone", "A", "nobody else sounds for most of its time"},
}

// String is the state in the words of the report.
func (s State) String() string { return states[s].name }

// MarshalText is String, for reports.
func (s State) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// letter stands for a state where there is no room for the word.
func (s State) letter() string { return states[s].letter }

// quiet are the states of which nothing is to be said: what most parts are most of the time.
func (s State) quiet() bool { return s == Doubled || s == Blended || s == Heard }

// stateOf is the state of a part that doubles nobody, by its audibility over a time of
// which it is dominant and alone for so much.
func stateOf(audibilityDB float64, weight, dominant, alone int) State {
	switch {
	case audibilityDB < 0:
		return Covered
	case 2*alone > weight:
		return Alone
	case audibilityDB < acoustics.HeardDB:
		return Blended
	case 2*dominant > weight:
		return Dominant
	}
	return Heard
}
