package expr

import (
	"errors"
	"fmt"
)

// Knowledge is one kind of what an engine knows besides the notes themselves. Should what
// finds it out fail, by a panic, that kind is lost and named, and the music goes on without
// it: for a part until it is seated anew, for all until a score is loaded.
type Knowledge uint8

const (
	OfVoices  Knowledge = iota // of a part: its voices
	OfPhrases                  // of a part: its phrases, and what stands around a note
	OfPedal                    // of a part: what its foot has to do
	OfTiming                   // of a part: when its player is early or late
	OfHabits                   // of a part: how its player shapes a note
	OfTune                     // who has it
	OfHarmony
	OfBeat
	OfTransport // whether the sequence runs
	OfRubato
	OfScore     // that is loaded
	OfFollowing // where in a score the music is

	// OfAll is of the engine itself, which takes no panic in its place: it is for tests of
	// those who drive one.
	OfAll
)

// losses are what was lost, and what becomes of the music.
var losses = [...]struct{ lost, without string }{
	OfVoices:    {"its voices cannot be told apart", "it plays as one voice"},
	OfPhrases:   {"its phrases cannot be found", "it plays without them"},
	OfPedal:     {"its pedalling failed", "it plays with the written pedal alone"},
	OfTiming:    {"its timing failed", "it plays in time with the rest"},
	OfTune:      {"who has the tune cannot be told", "all parts play as if they had it"},
	OfHarmony:   {"the harmony cannot be told", "all parts play without it"},
	OfBeat:      {"the beat cannot be found", "all parts play without it"},
	OfTransport: {"whether the music runs cannot be told", "it is always taken to run"},
	OfRubato:    {"the rubato failed", "all parts play at the tempo that comes in"},
	OfScore:     {"the score cannot be read", "all parts play without it"},
	OfFollowing: {"the score cannot be followed", "all parts play without it"},
	OfHabits:    {"a habit failed", "the part plays raw"},
	OfAll:       {"the engine failed", "all parts play raw"},
}

// Loss is the error of a kind of knowledge that was lost for a reason.
func (k Knowledge) Loss(reason any) error {
	return fmt.Errorf("%s: %v; %s", losses[k].lost, reason, losses[k].without)
}

// Lose is deferred where a kind of knowledge is used: it takes a panic as its loss.
//
//	defer expr.Lose(&fault, expr.OfBeat)
func Lose(fault *error, k Knowledge) {
	if r := recover(); r != nil {
		*fault = k.Loss(r)
	}
}

// Trial is called before each use of a kind of knowledge; nil is none. A test that has it
// panic hears what is played without that kind.
type Trial func(Knowledge)

// Of tries a kind of knowledge.
func (t Trial) Of(k Knowledge) {
	if t != nil {
		t(k)
	}
}

// InOne is several errors as one sentence, or nil if there are none.
func InOne(errs ...error) error {
	var all error
	for _, err := range errs {
		switch {
		case err == nil:
		case all == nil:
			all = err
		default:
			all = errors.New(all.Error() + "; " + err.Error())
		}
	}
	return all
}
