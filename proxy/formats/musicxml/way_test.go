package musicxml

import (
	"fmt"
	"strings"
	"testing"
)

// The way to play follows words and sounds, and is that of the page wherever a jump leads to.
func TestWays(t *testing.T) {
	words := func(text string) string {
		return `<direction><direction-type><words>` + text + `</words></direction-type></direction>`
	}
	program := func(n int) string {
		return fmt.Sprintf(`<sound><midi-instrument id="I"><midi-program>%d</midi-program></midi-instrument></sound>`, n)
	}
	for _, c := range []struct {
		name, sound string
		program     int // of the part list; 0 for none
		measures    []string
		want        string // beats and programs
	}{
		{"pizzicato and back", "strings.violin", 41, []string{words("pizz."), "", words("arco")}, "0:46 2:41"},
		{"without a program in the part list", "strings.cello", 0, []string{"", words("Pizzicato"), words("coll'arco")}, "1:46 2:43"},
		{"by the sound", "strings.viola", 42, []string{`<sound pizzicato="yes"/>`, `<sound pizzicato="no"/>`}, "0:46 1:42"},
		{"said twice", "strings.viola", 42, []string{words("pizz."), words("pizz."), words("arco"), words("arco")}, "0:46 2:42"},
		{"a repeat from the bow to the bow", "strings.violin", 41, []string{"", words("pizz.") + signs[":|"], words("arco")}, "1:46 2:41 3:46 4:41"},
		{"a repeat that starts plucked", "strings.violin", 41, []string{words("pizz."), signs["|:"], words("arco"), signs[":|"]}, "0:46 2:41 4:46 5:41"},
		{"muted", "brass.trumpet", 57, []string{words("con sord."), words("senza sord.")}, "0:60 1:57"},
		{"a flute has no strings", "wind.flutes.flute", 74, []string{words("pizz.")}, ""},
		{"another program", "wind.flutes.flute", 74, []string{"", program(73), program(74)}, "1:73 2:74"},
		{"the program from the start", "wind.flutes.flute", 0, []string{program(74), ""}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			midi := ""
			if c.program > 0 {
				midi = fmt.Sprintf(`<midi-instrument id="I"><midi-program>%d</midi-program></midi-instrument>`, c.program)
			}
			var b strings.Builder
			for k, content := range c.measures {
				fmt.Fprintf(&b, `<measure number="%d">%s%s</measure>`, k+1, content, quarter("C", 4))
			}
			d := read(t, `<score-partwise><part-list><score-part id="P"><score-instrument id="I"><instrument-sound>`+c.sound+
				`</instrument-sound></score-instrument>`+midi+`</score-part></part-list><part id="P">`+b.String()+`</part></score-partwise>`)
			var got []string
			for _, x := range d.Changes {
				got = append(got, fmt.Sprintf("%g:%d", x.Beat, x.Program))
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("%s, want %s", s, c.want)
			}
		})
	}
}

// A rehearsal mark is of the bar over which it stands, each time it is played.
func TestRehearsalMarks(t *testing.T) {
	mark := func(text string) string { return direction("<rehearsal>" + text + "</rehearsal>") }
	var measures strings.Builder
	for k, content := range []string{mark(" A\n1 "), "", mark("a mark of many letters") + mark("B") + signs[":|"]} {
		fmt.Fprintf(&measures, `<measure number="%d">%s%s</measure>`, k+1, content, quarter("C", 4))
	}
	d := read(t, scoreOf(measures.String()))
	var got []string
	for _, b := range d.Score.Bars {
		got = append(got, b.Mark)
	}
	if want := "A 1,,a mark of many l,A 1,,a mark of many l"; strings.Join(got, ",") != want {
		t.Errorf("%q, want %q", strings.Join(got, ","), want)
	}
}
