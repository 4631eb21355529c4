package balance

import "swellbox/expr/acoustics"

// State says how a part is heard over a bar or a stretch, from the least heard.
type State uint8

// The states; see the package's documentation for how they are told apart.
const (
	Lost       State = iota
	Colour           // of a line that another part carries
	Background       // there, if one listens for it
	Heard            // beside what is in front
	Front            // what a listener follows
	Alone            // nobody else sounds for most of its time
)

// states are all of them, with their words and what they mean.
var states = [...]struct{ name, short, letter, meaning string }{
	Lost:       {"lost", "lost", "L", "softer than what covers it: nobody hears it"},
	Colour:     {"colour", "colour", "C", "plays a line with others, under them: one hears the line, and its colour in it"},
	Background: {"background", "back", "B", "one hears it if one listens for it"},
	Heard:      {"heard", "heard", "H", "a voice that one can follow beside what is in front"},
	Front:      {"in front", "front", "F", "what a listener follows, with all that play it"},
	Alone:      {"alone", "alone", "A", "nobody else sounds for most of its time"},
}

// States is how many states there are.
const States = len(states)

// String is the state in the words of the report.
func (s State) String() string { return states[s].name }

// Meaning explains the state in a sentence.
func (s State) Meaning() string { return states[s].meaning }

// MarshalText is String, for reports.
func (s State) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Letter stands for a state where there is no room for the word.
func (s State) Letter() string { return states[s].letter }

// quiet are the states of which nothing is to be said.
func (s State) quiet() bool { return s == Colour || s == Background || s == Heard }

// stateOf is the state of a part by its audibility alone, over a time of which it is alone for so much: of
// what draws the ear, and of lines, it knows nothing.
func stateOf(audibilityDB float64, weight, alone int) State {
	switch {
	case audibilityDB < 0:
		return Lost
	case 2*alone > weight:
		return Alone
	case audibilityDB < acoustics.HeardDB:
		return Background
	}
	return Heard
}
