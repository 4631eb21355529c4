package profiles

import (
	"go.yaml.in/yaml/v3"

	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// Limits of what a score calls an instrument.
const (
	namesLimit    = 500
	doubtfulLimit = 50
	orderLimit    = 200
	severalLimit  = 16
)

// voices are those of the demonstration synthesiser, by the names that it has for them; a test
// of package audition holds the two together.
var voices = words(
	"piccolo", "flute", "cor anglais", "oboe", "bass clarinet", "clarinet", "contrabassoon", "bassoon",
	"trumpet", "trombone", "tuba", "horn",
	"timpani", "glockenspiel", "celesta", "vibraphone", "marimba", "xylophone", "tubular bell", "harp", "piano",
	"bass drum", "snare", "cymbal", "tam-tam", "triangle", "tambourine", "percussion",
	"violin", "viola", "bass", "cello", "choir",
)

var numbersCount = []reading.Choice[names.Numbers]{
	{Word: "players", Value: names.NumberPlayers}, {Word: "sections", Value: names.NumberSections}, {Word: "neither", Value: names.NumberOther},
}

// scoreKey is how a score calls the instrument. It is a document's own: who extends a profile is
// not called like it. A document that lies over another of its name says only what differs.
var scoreKey = reading.Section("score", "how a score calls it, and where it stands there; not handed on to profiles based on it",
	namesKey("names", "its names in all languages, one or several, short or written out, upper or lower case alike", func(d *draft) *[]string { return &d.called.Names }),
	namesKey("plurals", "words of the names that say that several play who else play alone", func(d *draft) *[]string { return &d.called.Plurals }),
	reading.Key[draft]{
		Name: "doubtful", About: "names, of others too, that mean it with some programs of General MIDI",
		Form: reading.ListForm(reading.Object(doubtfulKeys, "names", "programs"), 0, doubtfulLimit), Read: readDoubtful,
	},
	namesKey("letters", "letters that mean it where nothing but numbers stands beside them", func(d *draft) *[]string { return &d.called.Letters }),
	programsKey("programs", "programs of General MIDI that mean it, from 1", 128, func(d *draft) *[]int { return &d.called.Programs }),
	reading.Whole("order", "place from the top of a score, by which a doubtful name is settled: wood-wind from 1, brass from 21, percussion from 41, harp and keyboards from 61, voices from 81, strings from 101",
		1, orderLimit, func(d *draft) *int { return &d.called.Order }),
	reading.Word("numbers_count", "what a number in its name counts", numbersCount, func(d *draft) *names.Numbers { return &d.called.Numbers }),
	reading.Whole("several", "how many a plural stands for, two if not given", 1, severalLimit, func(d *draft) *int { return &d.called.Several }),
	reading.PlainName("alone", "the profile of one of its players who plays alone", func(d *draft) *string { return &d.called.Alone }),
	reading.Word("bowed", "its name may say that it plays pizzicato or tremolo", switches, func(d *draft) *bool { return &d.called.Bowed }),
)

var doubtfulKeys = []reading.Key[names.Doubtful]{
	namesKey("names", "the names", func(d *names.Doubtful) *[]string { return &d.Names }),
	programsKey("programs", "the programs, from 1", 128, func(d *names.Doubtful) *[]int { return &d.Programs }),
}

// namesKey is a key for a list of names, which are folded.
func namesKey[T any](name, about string, at func(*T) *[]string) reading.Key[T] {
	return reading.Key[T]{Name: name, About: about, Form: reading.ListForm(reading.LineForm, 0, namesLimit), Read: func(r *reading.Reader, n *yaml.Node, path string, to *T) {
		if n.Kind != yaml.SequenceNode || len(n.Content) > namesLimit {
			r.Fault(n, path, "found %s, wanted a list of at most %d names", reading.Counted(n), namesLimit)
			return
		}
		folded := make([]string, 0, len(n.Content))
		for _, c := range n.Content {
			f, ok := names.Fold(c.Value)
			if c.Kind != yaml.ScalarNode || !ok || c.ShortTag() != "!!str" || len(c.Value) > reading.TextLimit {
				r.Fault(c, path, "found %s, allowed is a name of one to three words", reading.Found(c))
				continue
			}
			folded = append(folded, f)
		}
		*at(to) = folded
	}}
}

// programsKey is a key for a list of programs.
func programsKey[T any](name, about string, most int, at func(*T) *[]int) reading.Key[T] {
	return reading.Key[T]{Name: name, About: about, Form: reading.ListForm(reading.WholeForm(1, 128), 0, most), Read: func(r *reading.Reader, n *yaml.Node, path string, to *T) {
		if n.Kind != yaml.SequenceNode || len(n.Content) > most {
			r.Fault(n, path, "found %s, wanted a list of at most %d programs", reading.Counted(n), most)
			return
		}
		programs := make([]int, 0, len(n.Content))
		for _, c := range n.Content {
			if v, ok := r.WholeWithin(c, path, 1, 128); ok {
				programs = append(programs, v)
			}
		}
		*at(to) = programs
	}}
}

func readDoubtful(r *reading.Reader, n *yaml.Node, path string, to *draft) {
	if n.Kind != yaml.SequenceNode || len(n.Content) > doubtfulLimit {
		r.Fault(n, path, "found %s, wanted a list of at most %d {names: …, programs: …}", reading.Counted(n), doubtfulLimit)
		return
	}
	to.called.Doubtful = make([]names.Doubtful, len(n.Content))
	for i, entry := range n.Content {
		for _, name := range []string{"names", "programs"} {
			if entry.Kind == yaml.MappingNode && reading.Child(entry, name) == nil {
				r.Fault(entry, path, "the key %s is missing", name)
			}
		}
		reading.Mapping(r, entry, path, doubtfulKeys, &to.called.Doubtful[i])
	}
}
