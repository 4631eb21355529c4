package musicxml

import (
	"fmt"
	"strings"
	"testing"
)

// signs are what a measure of the table may hold, and how it is written.
var signs = map[string]string{
	"|:":       `<barline location="left"><repeat direction="forward"/></barline>`,
	":|":       `<barline location="right"><repeat direction="backward"/></barline>`,
	":|x3":     `<barline location="right"><repeat direction="backward" times="3"/></barline>`,
	":|x1":     `<barline location="right"><repeat direction="backward" times="1"/></barline>`,
	":|jump":   `<barline location="right"><repeat direction="backward" after-jump="yes"/></barline>`,
	"(1":       `<barline location="left"><ending number="1" type="start"/></barline>`,
	"(2":       `<barline location="left"><ending number="2" type="start"/></barline>`,
	"(3":       `<barline location="left"><ending number="3" type="start"/></barline>`,
	"(1,2":     `<barline location="left"><ending number="1, 2" type="start"/></barline>`,
	")":        `<barline location="right"><ending number="1" type="stop"/></barline>`,
	"DC":       `<sound dacapo="yes"/>`,
	"DC2":      `<sound dacapo="yes" time-only="2"/>`,
	"DS":       `<sound dalsegno="a"/>`,
	"DSb":      `<sound dalsegno="b"/>`,
	"segno":    `<sound segno="a"/>`,
	"segnob":   `<sound segno="b"/>`,
	"segno?":   `<direction><direction-type><segno/></direction-type></direction>`,
	"to":       `<sound tocoda="c"/>`,
	"coda":     `<sound coda="c"/>`,
	"coda?":    `<barline coda="x"/>`,
	"fine":     `<sound fine="yes"/>`,
	"implied":  `<sound forward-repeat="yes"/>`,
	"next|:":   `<barline location="right"><repeat direction="forward"/></barline>`,
	"before:|": `<barline location="left"><repeat direction="backward"/></barline>`,
	"final":    `<barline location="right"><bar-style>light-heavy</bar-style></barline>`,
	"anew":     `<attributes><key><fifths>1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes><sound tempo="90"/>`,
	"trio":     `<direction><direction-type><words>TRIO.</words></direction-type></direction>`,
	"no.1":     "", // measures are counted anew
}

func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name     string
		measures []string // the signs of each
		want     string
		warning  string
	}{
		{name: "straight", measures: []string{"", "", ""}, want: "1 2 3"},
		{name: "from the start", measures: []string{"", ":|", ""}, want: "1 2 1 2 3"},
		{name: "from the sign", measures: []string{"", "|:", ":|", ""}, want: "1 2 3 2 3 4"},
		{name: "one after the other", measures: []string{":|", ":|", ""}, want: "1 1 2 2 3"},
		{name: "three times", measures: []string{"|:", ":|x3", ""}, want: "1 2 1 2 1 2 3"},
		{name: "once", measures: []string{"|:", ":|x1", ""}, want: "1 2 3"},
		{name: "two endings", measures: []string{"|:", "(1 :| )", "(2 )", ""}, want: "1 2 1 3 4"},
		{name: "long endings", measures: []string{"|:", "(1", ":| )", "(2", ")", ""}, want: "1 2 3 1 4 5 6"},
		{name: "three endings", measures: []string{"|:", "(1 :| )", "(2 :| )", "(3 )"}, want: "1 2 1 3 1 4"},
		{name: "an ending for two times", measures: []string{"|:", "(1,2 :| )", "(3 )"}, want: "1 2 1 2 1 3"},
		{name: "second ending without a bracket", measures: []string{"|:", "(1 :| )", "", ""}, want: "1 2 1 3 4"},
		{name: "endings, then a section", measures: []string{"|:", "(1 :| )", "(2 )", "", ":|", ""}, want: "1 2 1 3 4 5 4 5 6"},
		{name: "the second ending is repeated by mistake", measures: []string{"|:", "(1 :| )", "(2 :| )", ""}, want: "1 2 1 3 4"},
		{name: "implied start", measures: []string{"", "implied", ":|"}, want: "1 2 3 2 3"},
		{name: "start at the right", measures: []string{"next|:", ":|"}, want: "1 2 2", warning: "start of the next"},
		{name: "end at the left", measures: []string{"", "before:|"}, want: "1 1 2"},
		{name: "da capo", measures: []string{"", "DC"}, want: "1 2 1 2"},
		{name: "da capo al fine", measures: []string{"fine", "DC"}, want: "1 2 1"},
		{name: "no repeats after da capo", measures: []string{"|: ", ":| fine", "DC"}, want: "1 2 1 2 3 1 2"},
		{name: "repeats after da capo", measures: []string{"|: ", ":|jump fine", "DC"}, want: "1 2 1 2 3 1 2"},
		{name: "repeats after da capo, fine later", measures: []string{"|: ", ":|jump", "fine", "DC"}, want: "1 2 1 2 3 4 1 2 1 2 3"},
		{name: "last ending after da capo", measures: []string{"|:", "(1 :| )", "(2 ) fine", "DC"}, want: "1 2 1 3 4 1 3"},
		{name: "da capo the second time", measures: []string{"|:", "DC2 :|", "fine"}, want: "1 2 1 2 1 2 3"},
		{name: "dal segno", measures: []string{"", "segno", "DS", ""}, want: "1 2 3 2 3 4"},
		{name: "dal segno al coda", measures: []string{"", "segno", "to", "DS", "coda", ""}, want: "1 2 3 4 2 3 5 6"},
		{name: "repeats in the coda", measures: []string{"to", "DC", "coda |:", ":|"}, want: "1 2 1 3 4 3 4"},
		{name: "two segnos", measures: []string{"segno", "segnob", "DSb", "DS", ""}, want: "1 2 3 2 3 4 1 2 3 4 5"},
		{name: "unnamed segno", measures: []string{"", "segno?", "DS", ""}, want: "1 2 3 2 3 4"},
		{name: "otherwise named coda", measures: []string{"to", "DC", "coda?"}, want: "1 2 1 3"},
		{name: "no segno", measures: []string{"", "DS", ""}, want: "1 2 3", warning: `measure "2": no segno is marked "a"`},
		{name: "no coda", measures: []string{"to", "DC"}, want: "1 2 1 2", warning: `measure "1": no coda is marked "c"`},
		{name: "da capo in a second movement", measures: []string{"final", "no.1 fine", "", "DC", "no.1"}, want: "1 1 2 3 1 1"},
		{name: "da capo in a second movement, whole", measures: []string{"final", "no.1", "DC", "no.1"}, want: "1 1 2 1 2 1"},
		{name: "da capo in a movement of another key and metre", measures: []string{"", "final", "anew fine", "DC final", "anew"}, want: "1 2 3 4 3 5"},
		{name: "movements counted on", measures: []string{"final", "", "DC"}, want: "1 2 3 1 2 3"},
		{name: "dal segno in a second movement", measures: []string{"segno", "final", "no.1", "segno", "DS final", "no.1"}, want: "1 2 1 2 3 2 3 1"},
		{name: "repeats after a jump in the movement before", measures: []string{"DC final", "no.1", ":|"}, want: "1 1 1 2 1 2"},
		{name: "trio", measures: []string{"", "final", "trio", "DC final", "no.1"}, want: "1 2 3 4 1 2 1"},
		{name: "trio of repeats", measures: []string{":|", ":| final", "trio |:", ":| DC final", "no.1"}, want: "1 1 2 2 3 4 3 4 1 2 1"},
		{name: "trio counted anew", measures: []string{"", "final", "no.1 trio", "DC final"}, want: "1 2 1 2 1 2"},
		{name: "Fine before a middle counted anew", measures: []string{"", "fine final", "no.1", "DC final"}, want: "1 2 1 2 1 2"},
		{name: "Fine, and another piece", measures: []string{"fine", "DC", "", ""}, want: "1 2 1 3 4"},
		{name: "two trios", measures: []string{"fine", "trio", "DC", "trio", "DC"}, want: "1 2 3 1 4 5 1"},
		{name: "never played", measures: []string{"|:", "(1 :| )", "(3 :| )", "(2 )", ""}, want: "1 2 1 4 5", warning: "never played: 3;"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b strings.Builder
			number := 0
			for _, line := range c.measures {
				if number++; strings.Contains(line, "no.1") {
					number = 1
				}
				fmt.Fprintf(&b, `<measure number="%d">`, number)
				for name := range strings.FieldsSeq(line) {
					if _, ok := signs[name]; !ok {
						t.Fatalf("there is no sign %q", name)
					}
					b.WriteString(signs[name])
				}
				b.WriteString(quarter("C", 4) + "</measure>")
			}
			d := read(t, scoreOf(b.String()))
			var got []string
			for _, bar := range d.Score.Bars {
				got = append(got, fmt.Sprint(bar.Number))
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("played %s, want %s", s, c.want)
			}
			wantWarning(t, d, c.warning)
		})
	}
}

// scoreOf is a score of one part.
func scoreOf(measures string) string {
	return `<score-partwise><part-list><score-part id="P1"><part-name>One</part-name></score-part></part-list><part id="P1">` +
		measures + `</part></score-partwise>`
}

// measureOf is a score of one measure.
func measureOf(content string) string {
	return scoreOf(`<measure number="1">` + content + `</measure>`)
}

func quarter(step string, octave int) string { return noteOf(step, octave, 1, "") }

// noteOf is a note of the first voice, with more in it.
func noteOf(step string, octave, duration int, more string) string {
	return fmt.Sprintf(`<note><pitch><step>%s</step><octave>%d</octave></pitch><duration>%d</duration>%s</note>`, step, octave, duration, more)
}

func read(t *testing.T, text string) *Document {
	t.Helper()
	d, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	check(t, d)
	return d
}

// wantWarning expects one warning with a text in it, or none where the text is empty.
func wantWarning(t *testing.T, d *Document, text string) {
	t.Helper()
	if text == "" && len(d.Warnings) == 0 {
		return
	}
	if text == "" || len(d.Warnings) != 1 || !strings.Contains(d.Warnings[0], text) {
		t.Errorf("warnings %q, want one of %q", d.Warnings, text)
	}
}
