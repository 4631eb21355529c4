package voices

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// sound is a note of a piece: when, how long, how high, how loud, of which part.
type sound struct {
	at, length    time.Duration
	key, velocity int
	part          int
	tune          bool // it is of a part that has the tune now
}

// piece is music with the answer to who has the tune.
type piece struct {
	name   string
	parts  int
	sounds []sound // in the order of their times
}

// turn is who has the tune from a beat on. Several parts share it if they double.
type turn struct {
	from  float64
	parts []int
}

// compose reads parts written as "c4:1 [c4 e4]:0.5 r:2": notes, chords or rests, with
// their lengths in beats. Bars are for the eye. "x3( ... )" repeats.
func compose(name string, beat time.Duration, parts []string, turns []turn) piece {
	p := piece{name: name, parts: len(parts)}
	for i, text := range parts {
		velocity := 80
		if head, rest, ok := strings.Cut(text, "|v"); ok && head == "" {
			n, after, _ := strings.Cut(rest, " ")
			velocity, _ = strconv.Atoi(n)
			text = after
		}
		pos := 0.0
		text = strings.NewReplacer("[", "[ ", "]:", " ]:", "|", " ").Replace(unfold(text))
		var chord []int
		for _, word := range strings.Fields(text) {
			name, length, timed := strings.Cut(word, ":")
			if name == "[" {
				chord = chord[:0]
				continue
			}
			if name != "]" {
				if name != "r" {
					chord = append(chord, keyOf(name))
				}
				if !timed {
					continue
				}
			}
			beats, err := strconv.ParseFloat(length, 64)
			if err != nil {
				panic(fmt.Sprintf("%s: %q: %v", p.name, word, err))
			}
			for _, k := range chord {
				p.sounds = append(p.sounds, sound{
					at: time.Duration(pos * float64(beat)), length: time.Duration(beats * float64(beat) * 0.9),
					key: k, velocity: velocity, part: i,
				})
			}
			chord = chord[:0]
			pos += beats
		}
	}
	p.finish(beat, turns)
	return p
}

func (p *piece) finish(beat time.Duration, turns []turn) {
	slices.SortStableFunc(p.sounds, func(a, b sound) int { return cmp.Compare(a.at, b.at) })
	for i := range p.sounds {
		s := &p.sounds[i]
		for _, t := range turns {
			if s.at >= time.Duration(t.from*float64(beat)) {
				s.tune = slices.Contains(t.parts, s.part)
			}
		}
	}
}

// unfold writes repeats out.
func unfold(text string) string {
	for {
		x := strings.LastIndex(text, "x")
		if x < 0 {
			return text
		}
		open := x + strings.Index(text[x:], "(")
		shut := open + strings.Index(text[open:], ")")
		n, err := strconv.Atoi(text[x+1 : open])
		if err != nil {
			panic(err)
		}
		text = text[:x] + strings.Repeat(text[open+1:shut]+" ", n) + text[shut+1:]
	}
}

// keyOf is the MIDI note of a name such as c4 (60), eb3, f#5.
func keyOf(name string) int {
	step := strings.IndexByte("c.d.ef.g.a.b", name[0])
	octave, err := strconv.Atoi(name[len(name)-1:])
	if err != nil || step < 0 {
		panic("no note " + name)
	}
	return 12*(octave+1) + step + strings.Count(name, "#") - strings.Count(name[1:], "b")
}

// event is a note's beginning or end.
type event struct {
	at   time.Duration
	on   bool
	note int // index into sounds
}

// events are the piece's beginnings and ends in order, ends first.
func (p *piece) events() []event {
	var all []event
	for i, s := range p.sounds {
		all = append(all, event{s.at, true, i}, event{s.at + s.length, false, i})
	}
	slices.SortStableFunc(all, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(int(truth(a.on)), int(truth(b.on))))
	})
	return all
}

// answer is what an ensemble says of one moment.
type answer struct {
	at       time.Duration
	tune     int
	salience float64
	want     []int     // the parts that have the tune
	all      []float64 // salience of every part
}

// listen plays a piece to an ensemble and asks after every moment.
func (p *piece) listen(e *Ensemble) []answer {
	var answers []answer
	tunes := map[int]bool{}
	var at time.Duration = -1
	ask := func() {
		if at < 0 {
			return
		}
		part, s := e.Tune(at + Together + 1)
		a := answer{at: at, tune: part, salience: s}
		for i := range p.parts {
			if tunes[i] {
				a.want = append(a.want, i)
			}
			a.all = append(a.all, e.Salience(i, at+Together+1))
		}
		answers = append(answers, a)
	}
	for _, ev := range p.events() {
		s := p.sounds[ev.note]
		if at >= 0 && ev.at > at+Together {
			ask()
			at = -1
		}
		if !ev.on {
			e.Off(s.part, ev.at)
			continue
		}
		if at < 0 {
			at = ev.at
		}
		if s.tune {
			for other := range tunes { // a new turn
				tunes[other] = tunes[other] && p.shares(s.part, other, ev.at)
			}
		}
		tunes[s.part] = s.tune
		e.Note(s.part, ev.at, s.key, s.velocity)
	}
	ask()
	return answers
}

// shares reports whether two parts have the tune together: their latest notes by a time
// both are of it.
func (p *piece) shares(a, b int, at time.Duration) bool {
	last := map[int]bool{}
	for _, s := range p.sounds {
		if s.at <= at {
			last[s.part] = s.tune
		}
	}
	return last[a] && last[b]
}

func accuracy(answers []answer, from time.Duration) (right, all int) {
	for _, a := range answers {
		if a.at < from || len(a.want) == 0 {
			continue
		}
		all++
		if slices.Contains(a.want, a.tune) {
			right++
		}
	}
	return right, all
}
