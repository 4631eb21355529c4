package musicxml

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// randomScore writes a score of some parts and measures: chords, ties over bar lines, rests, two
// voices, triplets and dotted notes, several metres and divisions, repeats with endings and without,
// transposing parts, slurs.
func randomScore(r *rand.Rand, parts, measures int) string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><part-list>`)
	for i := range parts {
		fmt.Fprintf(&b, `<score-part id="P%d"><part-name>Part %d</part-name></score-part>`, i, i)
	}
	b.WriteString("</part-list>\n")
	left, right := randomBarlines(r, measures)
	metres := make([]int, measures) // quarter notes
	for k := range metres {
		metres[k] = 2 + r.IntN(3)
		if k > 0 && r.IntN(4) > 0 {
			metres[k] = metres[k-1]
		}
	}
	for i := range parts {
		w := randomPart{r: r, b: &b, divisions: []int{12, 24, 48, 240}[r.IntN(4)]}
		fmt.Fprintf(&b, "<part id=\"P%d\">\n", i)
		for k := range measures {
			fmt.Fprintf(&b, `<measure number="%d">%s`, k+1, left[k])
			b.WriteString("<attributes>")
			if k == 0 {
				fmt.Fprintf(&b, "<divisions>%d</divisions>", w.divisions)
			}
			fmt.Fprintf(&b, "<time><beats>%d</beats><beat-type>4</beat-type></time>", metres[k])
			if k == 0 && i == 1 {
				b.WriteString("<transpose><chromatic>-2</chromatic></transpose>")
			}
			b.WriteString("</attributes>\n")
			w.measure(metres[k], left[k]+right[k] == "" && k+1 < measures && left[k+1] == "")
			b.WriteString(right[k] + "</measure>\n")
		}
		b.WriteString("</part>\n")
	}
	b.WriteString("</score-partwise>\n")
	return b.String()
}

// randomBarlines are sections that are played once, twice, three times, or twice with two
// endings. None is played three times before one with endings: there musicxml-io 0.9.6
// loses the second ending.
func randomBarlines(r *rand.Rand, measures int) (left, right []string) {
	left, right = make([]string, measures), make([]string, measures)
	endings := r.IntN(2) == 0
	for k := 0; k+4 < measures; {
		n := 2 + r.IntN(2) // the measures of the section
		kind := r.IntN(3)
		if kind == 2 && !endings {
			kind = 1
		}
		switch kind {
		case 1:
			times := ""
			if !endings && r.IntN(3) == 0 {
				times = ` times="3"`
			}
			left[k] = `<barline location="left"><repeat direction="forward"/></barline>`
			right[k+n-1] = `<barline location="right"><repeat direction="backward"` + times + `/></barline>`
		case 2:
			left[k] = `<barline location="left"><repeat direction="forward"/></barline>`
			left[k+n-1] = `<barline location="left"><ending number="1" type="start"/></barline>`
			right[k+n-1] = `<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline>`
			left[k+n] = `<barline location="left"><ending number="2" type="start"/></barline>`
			right[k+n] = `<barline location="right"><ending number="2" type="discontinue"/></barline>`
			n++
		}
		k += n
	}
	return left, right
}

type randomPart struct {
	r         *rand.Rand
	b         *strings.Builder
	divisions int
	tied      int // key that the last note of the first voice is tied with; 0 if none
}

// measure writes two voices, of which the first may be tied to the next measure.
func (w *randomPart) measure(metre int, tie bool) {
	w.voice(metre, 1, 60, tie)
	if w.r.IntN(2) == 0 {
		return
	}
	fmt.Fprintf(w.b, "<backup><duration>%d</duration></backup>", metre*w.divisions)
	w.voice(metre, 2, 36, false)
}

// rhythms divide a quarter note or two, in twelfths.
var rhythms = [][]int{{12}, {6, 6}, {4, 4, 4}, {9, 3}, {3, 3, 6}, {18, 6}, {8, 8, 8}, {24}}

func (w *randomPart) voice(metre, voice, low int, tie bool) {
	for left := metre * 12; left > 0; {
		rhythm := rhythms[w.r.IntN(len(rhythms))]
		sum := 0
		for _, n := range rhythm {
			sum += n
		}
		if sum > left {
			continue
		}
		left -= sum
		for i, n := range rhythm {
			w.note(n*w.divisions/12, voice, low, tie && left == 0 && i == len(rhythm)-1)
		}
	}
}

func (w *randomPart) note(duration, voice, low int, tie bool) {
	key := low + w.r.IntN(18)
	ties := ""
	if voice == 1 && w.tied > 0 {
		key, ties = w.tied, `<tie type="stop"/>`
		w.tied = 0
	}
	if ties == "" && w.r.IntN(6) == 0 {
		fmt.Fprintf(w.b, "<note><rest/><duration>%d</duration><voice>%d</voice></note>\n", duration, voice)
		return
	}
	if voice == 1 && tie && w.r.IntN(2) == 0 {
		ties += `<tie type="start"/>`
		w.tied = key
	}
	w.write("", key, duration, ties, voice)
	if w.r.IntN(5) == 0 {
		w.write("<chord/>", key+3+w.r.IntN(3), duration, "", voice)
	}
}

var steps = []string{"C", "C1", "D", "D1", "E", "F", "F1", "G", "G1", "A", "A1", "B"}

func (w *randomPart) write(chord string, key, duration int, ties string, voice int) {
	step, alter := steps[key%12], ""
	if len(step) > 1 {
		step, alter = step[:1], "<alter>1</alter>"
	}
	fmt.Fprintf(w.b, "<note>%s<pitch><step>%s</step>%s<octave>%d</octave></pitch><duration>%d</duration>%s<voice>%d</voice></note>\n",
		chord, step, alter, key/12-1, duration, ties, voice)
}
