package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"swellbox/expr"
)

// joinedUp writes a score out of any bytes, of three voices that tie and slur into one another:
// three bytes a note, with chords, steps back, and grace notes among them.
func joinedUp(b []byte) (text string, ends, slurs int) {
	var s strings.Builder
	for k := 0; len(b) >= 3; k++ {
		if k%8 == 0 {
			if k > 0 {
				s.WriteString("</measure>")
			}
			fmt.Fprintf(&s, `<measure number="%d">`, k/8+1)
		}
		more := ""
		if b[0]&3 == 1 || b[0]&3 == 3 {
			more += `<tie type="stop"/>`
			ends++
		}
		if b[0]&3 >= 2 {
			more += `<tie type="start"/>`
		}
		notations := ""
		for number := 1; number <= 2; number++ {
			switch b[1] >> (3 * number) & 7 {
			case 1:
				notations += fmt.Sprintf(`<slur number="%d" type="stop"/>`, number)
			case 2:
				notations += fmt.Sprintf(`<slur number="%d" type="start"/>`, number)
				slurs++
			case 3:
				notations += fmt.Sprintf(`<slur number="%d" type="stop"/><slur number="%d" type="start"/>`, number, number)
				slurs++
			}
		}
		start, duration := "<note>", "<duration>1</duration>"
		switch b[0] >> 5 {
		case 1:
			start = "<note><chord/>"
		case 2, 3:
			s.WriteString("<backup><duration>1</duration></backup>")
		case 4:
			start, duration = "<note><grace/>", ""
		}
		fmt.Fprintf(&s, "%s<pitch><step>%c</step><octave>4</octave></pitch>%s%s<voice>%d</voice><notations>%s</notations></note>",
			start, "CDE"[b[2]%3], duration, more, 1+b[2]>>2%3, notations)
		b = b[3:]
	}
	if s.Len() == 0 {
		return "", 0, 0
	}
	return scoreOf(s.String() + "</measure>"), ends, slurs
}

// FuzzJoinedUp: whatever is tied and slurred to what, the score can be read, a note is missing
// only where it goes on from another, and there are no more slurs than were begun.
func FuzzJoinedUp(f *testing.F) {
	seeds := [][]byte{
		{0, 0, 0, 2, 2 << 3, 1, 1, 1 << 3, 5, 0, 0, 1},                          // over a note that is tied to another voice
		{0, 0, 0, 2, 0, 0, 0, 0, 1, 0x41, 2 << 3, 4, 0, 0, 5, 0, 1 << 3, 5},     // from a note that is tied from another voice
		{2, 2 << 3, 0, 0x23, 0, 0, 0x43, 3 << 3, 4, 0x81, 2 << 6, 8, 1, 1, 255}, // chords, a step back, a grace note
	}
	if len(seeds) == 0 {
		f.Fatal("no seeds")
	}
	for _, b := range seeds {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) > 300 {
			return
		}
		text, ends, slurs := joinedUp(b)
		if text == "" {
			return
		}
		d, err := Read([]byte(text))
		if err != nil {
			if strings.Contains(err.Error(), "backup") || strings.Contains(err.Error(), "before the measure") {
				return
			}
			t.Fatalf("%v\n%s", err, text)
		}
		check(t, d)
		written := len(b) / 3
		if n := len(d.Score.Notes); n > written || n < written-ends {
			t.Fatalf("%d notes are written, %d of which may go on from another, and %d are played\n%s", written, ends, n, text)
		}
		marked := 0
		for i := range d.Score.Notes {
			if d.Score.Notes[i].Marks&(expr.SlurBegins|expr.SlurGoesOn|expr.SlurEnds) != 0 {
				marked++
			}
		}
		if slurs == 0 && marked > 0 {
			t.Fatalf("%d notes lie under no slur\n%s", marked, text)
		}
	})
}
