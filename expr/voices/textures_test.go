package voices

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"time"
)

// composer writes random music in C major: four beats a bar, a chord a bar.
type composer struct {
	*rand.Rand
	chords []int // degrees of the scale, a bar each
}

func newComposer(seed uint64, bars int) *composer {
	c := &composer{Rand: rand.New(rand.NewPCG(seed, 7))}
	usual := []int{0, 3, 4, 5, 1, 0, 4}
	for range bars {
		c.chords = append(c.chords, usual[c.IntN(len(usual))])
	}
	c.chords[0], c.chords[bars-1] = 0, 0
	return c
}

func degree(d int) string { return string("cdefgab"[d%7]) + strconv.Itoa(d/7) }

// ofChord reports whether a degree is of the triad on another.
func ofChord(d, root int) bool {
	over := (d - root + 35) % 7
	return over <= 4 && over%2 == 0
}

// tune is a random melody about a height.
func (c *composer) tune(height, bars int) (text string) {
	rhythms := [][]float64{{1, 1, 1, 1}, {2, 1, 1}, {1.5, .5, 1, 1}, {.5, .5, 1, 1, 1}, {1, .5, .5, 2}, {3, 1}, {1, 1, 2}, {1, .5, .5, .5, .5, 1}, {.5, .5, .5, .5, .5, .5, 1}}
	d := height
	for bar := range bars {
		rhythm := rhythms[c.IntN(len(rhythms))]
		if bar%4 == 3 {
			rhythm = [][]float64{{4}, {2, 2}, {1, 3}}[c.IntN(3)]
		}
		for i, length := range rhythm {
			if i == 0 { // strong beats belong to the chord
				for !ofChord(d, c.chords[bar%len(c.chords)]) {
					d++
				}
			} else {
				by := []int{1, 1, 1, -1, -1, -1, 1, -1, 2, -2, 0, 3, -4}[c.IntN(13)]
				if d > height+5 {
					by = -1
				} else if d < height-4 {
					by = 1
				}
				d += by
			}
			text += degree(d) + ":" + strconv.FormatFloat(length, 'g', -1, 64) + " "
		}
	}
	return text
}

// figure plays, each bar, tones of the chord (0, 2, 4 its triad) from a height in a pattern.
func (c *composer) figure(height int, length string, pattern []int) (text string) {
	for _, chord := range c.chords {
		root := height + chord
		if chord > 3 {
			root -= 7
		}
		for _, p := range pattern {
			if p == rest {
				text += "r:" + length + " "
			} else {
				text += degree(root+p) + ":" + length + " "
			}
		}
	}
	return text
}

const rest = -100

// accompaniment is one part's figure at random, with nothing of a tune.
func (c *composer) accompaniment(height int) string {
	switch c.IntN(7) {
	case 0:
		return c.figure(height, ".5", []int{0, 4, 2, 4, 0, 4, 2, 4})
	case 1:
		return c.figure(height, ".25", []int{0, 2, 4, 7, 9, 7, 4, 2, 0, 2, 4, 7, 9, 7, 4, 2})
	case 2:
		return c.figure(height, ".5", []int{0, 0, 0, 0, 0, 0, 0, 0})
	case 3:
		return c.figure(height, "1", []int{rest, 2, rest, 2})
	case 4:
		return c.figure(height, "4", []int{2})
	case 5:
		return c.figure(height, ".125", []int{0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2})
	}
	return c.figure(height, "1", []int{0, -3, 0, -3})
}

// texts writes a random texture: its parts and who has the tune.
func (c *composer) texts(kind string, bars int) (parts []string, turns []turn) {
	pad := func(height, tone int) string { return c.figure(height, "4", []int{tone}) }
	oom := func(height int) []string {
		return []string{
			c.figure(height-7, "1", []int{0, rest, -3, rest}),
			c.figure(height, "1", []int{rest, 2, rest, 2}),
			c.figure(height, "1", []int{rest, 4, rest, 4}),
		}
	}
	first := []turn{{0, []int{0}}}
	switch kind {
	case "melody over figures":
		parts = append(parts, c.tune(35, bars), c.accompaniment(24))
		if c.IntN(2) == 0 {
			parts = append(parts, pad(21, 0), pad(24, 4))
		}
		return parts, first
	case "melody beneath figures":
		parts = []string{c.tune(26, bars), pad(15, 0)}
		switch c.IntN(3) {
		case 0:
			parts = append(parts, c.figure(35, ".25", []int{0, 2, 4, 7, 9, 7, 4, 2, 0, 2, 4, 7, 9, 7, 4, 2}))
		case 1:
			parts = append(parts, c.figure(35, ".5", []int{0, 4, 2, 4, 0, 4, 2, 4}))
		case 2:
			parts = append(parts, c.figure(35, ".125", []int{0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2, 0, 2}))
		}
		return parts, first
	case "bass tune":
		return []string{c.tune(16, bars), c.accompaniment(28), c.accompaniment(35), pad(30, 2)}, first
	case "oom-pah, tune among":
		return append([]string{c.tune(25, bars)}, oom(28)...), first
	case "solo over pad":
		return []string{c.tune(32, bars), pad(35, 4), pad(33, 2), pad(28, 0), pad(21, 0)}, first
	case "doubled tune":
		t := c.tune(31, bars)
		return []string{octaves(t, 1), t, c.accompaniment(21), c.accompaniment(24)}, []turn{{0, []int{0, 1}}}
	case "chorale":
		t := c.tune(33, bars)
		return append([]string{t}, c.beneath(t)...), first
	case "tune handed on":
		half := bars / 2
		whole := *c
		c.chords = whole.chords[:half]
		a, accA := c.tune(35, half), c.figure(30, ".5", []int{0, 4, 2, 4, 0, 4, 2, 4})
		c.chords = whole.chords[half:]
		b, accB := c.tune(30, half), c.figure(35, ".5", []int{0, 4, 2, 4, 0, 4, 2, 4})
		c.chords = whole.chords
		return []string{a + accB, accA + b, pad(16, 0)}, []turn{{0, []int{0}}, {float64(4 * half), []int{1}}}
	case "fugato":
		return c.fugato(bars)
	}
	panic(kind)
}

// beneath are three voices that go with a tune, note against note, in tones of the chord
// below the tune's note.
func (c *composer) beneath(t string) (voices []string) {
	notes := splitNotes(t)
	voices = make([]string, 3)
	pos := 0.0
	for _, n := range notes {
		chord := c.chords[int(pos/4)%len(c.chords)]
		d := n.degree
		for v := range voices {
			for d--; !ofChord(d, chord); d-- {
			}
			if v == 2 {
				d = chord + 14
			}
			voices[v] += degree(d) + ":" + strconv.FormatFloat(n.length, 'g', -1, 64) + " "
		}
		pos += n.length
	}
	return voices
}

// fugato is a random subject of two bars, entered by three parts in a random order, each
// a fifth or octave from the last; who has entered goes on freely.
func (c *composer) fugato(bars int) (parts []string, turns []turn) {
	heights := []int{35, 28, 21}
	c.Shuffle(3, func(i, j int) { heights[i], heights[j] = heights[j], heights[i] })
	subject := splitNotes(c.tune(28, 2))
	for i, h := range heights {
		text := ""
		if i > 0 {
			text = "r:" + strconv.Itoa(8*i) + " "
		}
		shift := h - 28
		if i%2 == 1 {
			shift += 4 - 7*c.IntN(2)
		}
		for _, n := range subject {
			text += degree(n.degree+shift) + ":" + strconv.FormatFloat(n.length, 'g', -1, 64) + " "
		}
		text += c.tune(h, 2*(2-i))
		parts = append(parts, text)
		turns = append(turns, turn{float64(8 * i), []int{i}})
	}
	return parts, turns
}

type noteText struct {
	degree int
	length float64
}

func splitNotes(t string) (notes []noteText) {
	for _, word := range strings.Fields(t) {
		length, err := strconv.ParseFloat(word[3:], 64)
		if err != nil {
			panic(err)
		}
		d := 7*int(word[1]-'0') + strings.IndexByte("cdefgab", word[0])
		notes = append(notes, noteText{d, length})
	}
	return notes
}

var kinds = []string{
	"melody over figures", "melody beneath figures", "bass tune", "oom-pah, tune among", "solo over pad",
	"doubled tune", "chorale", "tune handed on", "fugato",
}

// random is a random piece of a kind, at a random tempo, its velocities and lengths
// played unevenly.
func random(kind string, seed uint64) piece {
	const bars = 8
	c := newComposer(seed, bars)
	texts, turns := c.texts(kind, bars)
	beat := time.Duration(450+c.IntN(500)) * time.Millisecond
	p := compose(kind, beat, texts, turns)
	for i := range p.sounds {
		s := &p.sounds[i]
		s.velocity += c.IntN(11) - 5
		s.length = time.Duration(float64(s.length) * (0.7 + 0.3*c.Float64()))
	}
	number := c.Perm(p.parts)
	for i := range p.sounds {
		p.sounds[i].part = number[p.sounds[i].part]
	}
	return p
}
