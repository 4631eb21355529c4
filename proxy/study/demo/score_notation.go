package demo

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// The score is written in a notation of our own. A voice is a list of phrases,
// each beginning at a bar; where there is no phrase, the voice is silent, and a
// phrase that begins where the one before it ends takes it up. A phrase is words:
//
//	mf g4:4. d5:4~ c5:8~ | b4:4~ a4:8~ g4:4. | =:2.
//
//	g4:4.     a note: letter, # or b, octave (c4 is middle C), a colon, its value:
//	          2 a half note, 8 an eighth, a dot for dotted. No value: as before.
//	g4+b4:4.  two notes at once
//	r:8       a rest
//	=:2.      the note before is held on
//	~         at the end: slurred to the next note
//	'         at the end: staccato
//	*16       after the value: repeated in sixteenths for the length of the value
//	|         a bar line; what stands between two fills a bar
//	pp … ff   the dynamic from here on; a phrase begins with one
//	<  >      louder, softer until the next dynamic
type phrase struct {
	bar  int // 1-based
	text string
}

// note is one note as the notation program plays it.
type note struct {
	tick     int64
	written  int64 // ticks to the next note or rest
	length   int64 // ticks it sounds
	key      uint8
	velocity uint8
	slurred  bool // to the next note
}

const (
	ticksPerQuarter = 480
	barTicks        = 6 * ticksPerQuarter / 2 // six eighths

	detached = 12 // ticks by which a plain note ends early; common practice, no published source
	overlap  = 6  // ticks by which a slurred note runs into the next; common practice, no published source
)

// dynamics are the velocities at which notation programs play the written
// marks; common practice, no published source.
var dynamics = map[string]uint8{"pp": 33, "p": 49, "mp": 64, "mf": 80, "f": 96, "ff": 112}

var noteWord = regexp.MustCompile(`^([a-g][#b]?\d(?:\+[a-g][#b]?\d)*|r|=)(?::(\d+)(\.?))?(?:\*(\d+))?('?)(~?)$`)

// reader turns the words of a voice into notes.
type reader struct {
	notes   []note
	last    int   // notes[last:] sound together and are what a hold prolongs
	tick    int64 // where the next word begins
	value   int64 // ticks of a word without a value
	dynamic uint8 // 0 before the first mark
	slur    bool  // the note before is slurred and waits for its next

	hairpin string // "<", ">" or none
	from    int64  // where the hairpin begins
	first   int    // the first note under it
}

// readVoice reads the phrases of a voice, in order.
func readVoice(phrases []phrase) ([]note, error) {
	var r reader
	for _, p := range phrases {
		start := barTick(p.bar)
		switch {
		case start < r.tick:
			return nil, fmt.Errorf("phrase at bar %d begins before the one before it has ended", p.bar)
		case start > r.tick:
			if err := r.finish(); err != nil {
				return nil, err
			}
			r = reader{notes: r.notes, last: len(r.notes), tick: start}
		}
		for i, bar := range strings.Split(p.text, "|") {
			for word := range strings.FieldsSeq(bar) {
				if err := r.word(word); err != nil {
					return nil, fmt.Errorf("bar %d, %q: %w", p.bar+i, word, err)
				}
			}
			if want := start + int64(i+1)*barTicks; r.tick != want {
				return nil, fmt.Errorf("bar %d is %d ticks long instead of %d", p.bar+i, r.tick-want+barTicks, barTicks)
			}
		}
	}
	return r.notes, r.finish()
}

// finish is the end of a phrase that no other takes up.
func (r *reader) finish() error {
	if r.slur || r.hairpin != "" {
		return fmt.Errorf("the phrase that ends with bar %d ends within a slur or a hairpin", r.tick/barTicks)
	}
	return nil
}

func (r *reader) word(w string) error {
	if w == "<" || w == ">" {
		if r.dynamic == 0 || r.hairpin != "" {
			return fmt.Errorf("a hairpin needs a dynamic before it")
		}
		r.hairpin, r.from, r.first = w, r.tick, len(r.notes)
		return nil
	}
	if v, ok := dynamics[w]; ok {
		return r.mark(v)
	}
	m := noteWord.FindStringSubmatch(w)
	if m == nil {
		return fmt.Errorf("is not a note, a rest or a dynamic")
	}
	if m[2] != "" {
		value, err := ticks(m[2], m[3])
		if err != nil {
			return err
		}
		r.value = value
	}
	switch {
	case r.value == 0:
		return fmt.Errorf("the first note of a phrase needs a value")
	case r.dynamic == 0:
		return fmt.Errorf("a phrase begins with a dynamic")
	}
	staccato, slurred := m[5] != "", m[6] != ""
	switch m[1] {
	case "r":
		if r.slur || staccato || slurred || m[4] != "" {
			return fmt.Errorf("a rest cannot be slurred into, slurred, repeated or staccato")
		}
		r.tick += r.value
		r.last = len(r.notes)
		return nil
	case "=":
		return r.hold(staccato, slurred, m[4] != "")
	}
	return r.strike(strings.Split(m[1], "+"), m[4], staccato, slurred)
}

// strike adds the notes of one word.
func (r *reader) strike(names []string, division string, staccato, slurred bool) error {
	each := r.value
	if division != "" {
		var err error
		if each, err = ticks(division, ""); err != nil {
			return err
		}
		if r.value%each != 0 {
			return fmt.Errorf("the value is no multiple of the repeated one")
		}
	}
	keys := make([]uint8, len(names))
	for i, name := range names {
		var err error
		if keys[i], err = pitch(name); err != nil {
			return err
		}
	}
	r.join(keys)
	for end := r.tick + r.value; r.tick < end; r.tick += each {
		r.last = len(r.notes)
		for _, k := range keys {
			n := note{tick: r.tick, written: each, key: k, velocity: r.dynamic}
			n.length = sounding(each, staccato)
			r.notes = append(r.notes, n)
		}
	}
	r.slur = slurred
	return nil
}

// join lengthens a slurred note now that the keys after it are known: it runs
// into the next, or stops just short of it where the same key is struck again.
func (r *reader) join(keys []uint8) {
	if !r.slur {
		return
	}
	for i := range r.notes[r.last:] {
		n := &r.notes[r.last+i]
		n.slurred = true
		n.length = n.written + overlap
		if slices.Contains(keys, n.key) {
			n.length = n.written - 1
		}
	}
}

func (r *reader) hold(staccato, slurred, repeated bool) error {
	if r.last >= len(r.notes) || r.slur || staccato || repeated {
		return fmt.Errorf("there is no note before it to be held on")
	}
	for i := range r.notes[r.last:] {
		n := &r.notes[r.last+i]
		n.written += r.value
		n.length = sounding(n.written, false)
	}
	r.tick += r.value
	r.slur = slurred
	return nil
}

// mark sets the dynamic and, at the end of a hairpin, what led to it.
func (r *reader) mark(velocity uint8) error {
	if r.hairpin != "" {
		if r.tick == r.from || (velocity > r.dynamic) != (r.hairpin == "<") {
			return fmt.Errorf("the hairpin %s does not lead here", r.hairpin)
		}
		rise := int64(velocity) - int64(r.dynamic)
		for i := range r.notes[r.first:] {
			n := &r.notes[r.first+i]
			n.velocity = uint8(int64(r.dynamic) + rise*(n.tick-r.from)/(r.tick-r.from))
		}
		r.hairpin = ""
	}
	r.dynamic = velocity
	return nil
}

// sounding is how long a notation program plays a note of the given value.
func sounding(written int64, staccato bool) int64 {
	if staccato {
		return written / 2
	}
	return written - detached
}

// ticks reads a value such as 4 with or without its dot.
func ticks(value, dot string) (int64, error) {
	n, err := strconv.Atoi(value)
	if err != nil || !slices.Contains([]int{1, 2, 4, 8, 16, 32}, n) {
		return 0, fmt.Errorf("value %s is none of 1, 2, 4, 8, 16, 32", value)
	}
	t := int64(4 * ticksPerQuarter / n)
	if dot != "" {
		t += t / 2
	}
	return t, nil
}

// pitch reads a name such as f#3 as a MIDI note.
func pitch(name string) (uint8, error) {
	key := map[byte]int{'c': 0, 'd': 2, 'e': 4, 'f': 5, 'g': 7, 'a': 9, 'b': 11}[name[0]]
	switch name[1] {
	case '#':
		key++
	case 'b':
		key--
	}
	key += 12 * (int(name[len(name)-1]-'0') + 1)
	if key > 127 {
		return 0, fmt.Errorf("%s is above the highest MIDI note", name)
	}
	return uint8(key), nil
}

func barTick(bar int) int64 { return int64(bar-1) * barTicks }
