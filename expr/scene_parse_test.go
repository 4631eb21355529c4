package expr_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
)

// A scene is a page of what goes in and, under four dashes, what comes out:
//
//	# what it shows
//	part NAME plays PROFILE on channel N[, N players][, vibrato by bend]
//	until N ms
//
//	N ms  NAME  note KEY VELOCITY      a velocity of 0 ends the note
//	N ms  NAME  end KEY
//	N ms  NAME  bend VALUE             -8192..8191
//	N ms  NAME  expression VALUE       or volume, modulation, damper; or controller N VALUE
//	N ms  NAME  reset                  "reset all controllers"
//	----
//
// A word that stands nowhere here is an error.
type scene struct {
	parts []scenePart
	until time.Duration
	input []expr.Event
}

type scenePart struct {
	name    string
	channel int // from 0
	players int
	profile *expr.Profile
}

// controllers are the names of controllers (MIDI 1.0).
var controllers = []struct {
	word   string
	number byte
}{{"modulation", 1}, {"volume", 7}, {"expression", 11}, {"damper", 64}, {"brightness", 74}}

func parseScene(text string, lib *profiles.Library) (*scene, error) {
	s := &scene{}
	for i, line := range strings.Split(text, "\n") {
		words := strings.Fields(line)
		var err error
		switch {
		case len(words) == 0 || strings.HasPrefix(line, "#"):
		case words[0] == "part":
			err = s.part(line, lib)
		case words[0] == "until":
			s.until, err = moment(words[1:])
		default:
			err = s.event(words)
		}
		if err != nil {
			return nil, fmt.Errorf("line %d, %q: %w", i+1, line, err)
		}
	}
	switch {
	case len(s.parts) == 0:
		return nil, fmt.Errorf("nobody plays")
	case len(s.input) == 0:
		return nil, fmt.Errorf("nothing is played")
	case s.until < s.input[len(s.input)-1].At:
		return nil, fmt.Errorf("it is over at %v, before its last event", s.until)
	}
	return s, nil
}

func (s *scene) part(line string, lib *profiles.Library) error {
	clauses := strings.Split(line, ", ")
	words := strings.Fields(clauses[0])
	if len(words) != 7 || words[2] != "plays" || words[4] != "on" || words[5] != "channel" {
		return fmt.Errorf("want: part NAME plays PROFILE on channel N")
	}
	channel, err := number(words[6], 1, 16)
	if err != nil {
		return err
	}
	profile, err := lib.Resolve(words[3])
	if err != nil {
		return err
	}
	p := scenePart{name: words[1], channel: channel - 1, profile: profile}
	for _, clause := range clauses[1:] {
		switch words := strings.Fields(clause); {
		case clause == "vibrato by bend":
			drawn := *profile
			drawn.Sampler.VibratoDepth = expr.Control{Number: -1}
			drawn.Sampler.BendVibrato = true
			p.profile = &drawn
		case len(words) == 2 && words[1] == "players":
			if p.players, err = number(words[0], 1, 100); err != nil {
				return err
			}
		default:
			return fmt.Errorf("%q is not known", clause)
		}
	}
	s.parts = append(s.parts, p)
	return nil
}

// moment reads "N ms".
func moment(words []string) (time.Duration, error) {
	if len(words) != 2 || words[1] != "ms" {
		return 0, fmt.Errorf("want a time: N ms")
	}
	n, err := number(words[0], 0, 1_000_000)
	return time.Duration(n) * time.Millisecond, err
}

func number(word string, least, most int) (int, error) {
	n, err := strconv.Atoi(word)
	if err != nil || n < least || n > most {
		return 0, fmt.Errorf("%q is no number from %d to %d", word, least, most)
	}
	return n, nil
}

func (s *scene) event(words []string) error {
	if len(words) < 4 {
		return fmt.Errorf("want: N ms NAME and what it does")
	}
	at, err := moment(words[:2])
	if err != nil {
		return err
	}
	if n := len(s.input); n > 0 && at < s.input[n-1].At {
		return fmt.Errorf("it comes before what stands above it")
	}
	i := slices.IndexFunc(s.parts, func(p scenePart) bool { return p.name == words[2] })
	if i < 0 {
		return fmt.Errorf("there is no part %q", words[2])
	}
	msg, err := message(words[3], words[4:])
	if err != nil {
		return err
	}
	msg[0] |= byte(s.parts[i].channel)
	s.input = append(s.input, expr.Short(at, 0, msg...))
	return nil
}

// message reads what a part does, as a message on channel 1.
func message(verb string, args []string) ([]byte, error) {
	if verb == "controller" && len(args) == 2 {
		n, err := number(args[0], 0, 127)
		if err != nil {
			return nil, err
		}
		v, err := number(args[1], 0, 127)
		return []byte{0xB0, byte(n), byte(v)}, err
	}
	if verb == "note" && len(args) == 2 {
		key, err := keyOf(args[0])
		if err != nil {
			return nil, err
		}
		v, err := number(args[1], 0, 127)
		return []byte{0x90, key, byte(v)}, err
	}
	if verb == "reset" && len(args) == 0 {
		return []byte{0xB0, 121, 0}, nil
	}
	if len(args) != 1 {
		return nil, fmt.Errorf("%q with %d words after it is not known", verb, len(args))
	}
	switch verb {
	case "end":
		key, err := keyOf(args[0])
		return []byte{0x80, key, 64}, err
	case "bend":
		v, err := number(args[0], -8192, 8191)
		return []byte{0xE0, byte((v + 8192) & 0x7F), byte((v + 8192) >> 7)}, err
	}
	for _, c := range controllers {
		if c.word == verb {
			v, err := number(args[0], 0, 127)
			return []byte{0xB0, c.number, byte(v)}, err
		}
	}
	return nil, fmt.Errorf("%q is not known", verb)
}

var keyNames = []string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}

// keyOf reads a key's name; C4 is 60.
func keyOf(name string) (byte, error) {
	cut := strings.IndexAny(name, "-0123456789")
	if cut > 0 {
		octave, err := strconv.Atoi(name[cut:])
		if i := slices.Index(keyNames, name[:cut]); err == nil && i >= 0 {
			if key := (octave+1)*12 + i; key >= 0 && key <= 127 {
				return byte(key), nil
			}
		}
	}
	return 0, fmt.Errorf("%q is no key, such as C4 or F#5", name)
}

func keyName(key byte) string { return keyNames[key%12] + strconv.Itoa(int(key)/12-1) }
