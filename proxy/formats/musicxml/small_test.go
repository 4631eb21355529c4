package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Small notes are played, but for those that only tell a player what another part plays.
func TestSmallNotes(t *testing.T) {
	rest := func(duration int) string {
		return fmt.Sprintf(`<note><rest/><duration>%d</duration><voice>2</voice></note>`, duration)
	}
	wholeRest := `<backup><duration>4</duration></backup><note><rest measure="yes"/><duration>4</duration><voice>2</voice></note>`
	metre := `<attributes><time><beats>4</beats><beat-type>4</beat-type></time></attributes>`
	ossia := `<attributes><staves>2</staves><staff-details number="2"><staff-type>ossia</staff-type></staff-details></attributes>`
	small := func(step string, octave, duration int) string { return noteOf(step, octave, duration, "<cue/>") }
	alone := []string{"0 1 C4 0", "1 1 D4 0", "2 2 E4 0"}
	run := small("C", 4, 1) + small("D", 4, 1) + small("E", 4, 2)
	oboe := quarter("C", 5) + quarter("D", 5) + noteOf("E", 5, 2, "")
	ofOboe := []string{"0 1 C5 0", "1 1 D5 0", "2 2 E5 0"}
	for _, c := range []struct {
		name    string
		parts   []string // one measure of each
		want    []string
		warning string
	}{
		{name: "a cadenza of one part", parts: []string{metre + run}, want: alone},
		{name: "over the rest of a part by itself", parts: []string{metre + run + wholeRest}, warning: "taken as a cue"},
		{name: "beside notes of the part", parts: []string{metre + run + wholeRest + `<backup><duration>4</duration></backup>` + noteOf("G", 3, 4, "<voice>3</voice>")},
			want: []string{"0 4 G3 0", "0 1 C4 0", "1 1 D4 0", "2 2 E4 0"}},
		{name: "what another part plays, an octave lower", parts: []string{metre + run, oboe}, want: ofOboe,
			warning: "taken as a cue, by which a player follows another part, and are not played: measures 1"},
		{name: "what another part plays, and then an entry", parts: []string{metre + small("C", 4, 1) + small("D", 4, 1) + noteOf("G", 4, 2, ""), oboe},
			want: []string{"0 1 C5 0", "1 1 D5 0", "2 2 G4 0", "2 2 E5 0"}, warning: "taken as a cue"},
		{name: "over a rest, but nobody else plays it", parts: []string{metre + run + wholeRest, metre + rest(4)}, want: alone},
		{name: "small in two parts at once", parts: []string{metre + small("C", 4, 4), metre + small("C", 4, 4)}, want: []string{"0 4 C4 0", "0 4 C4 0"}},
		{name: "a staff of another way to play", parts: []string{ossia + metre + quarter("C", 5) + `<backup><duration>1</duration></backup>` + noteOf("G", 4, 1, "<staff>2</staff>")},
			want: []string{"0 1 C5 0"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var list, parts strings.Builder
			for i, content := range c.parts {
				fmt.Fprintf(&list, `<score-part id="P%d"><part-name>Part %d</part-name></score-part>`, i, i)
				fmt.Fprintf(&parts, `<part id="P%d"><measure number="1">%s</measure></part>`, i, content)
			}
			d := read(t, `<score-partwise><part-list>`+list.String()+`</part-list>`+parts.String()+`</score-partwise>`)
			var got []string
			for _, n := range d.Score.Notes {
				got = append(got, fmt.Sprintf("%g %g %s %d", n.Beat, n.Length, keyText(n.Key), n.Velocity))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("read %q, want %q", got, c.want)
			}
			wantWarning(t, d, c.warning)
		})
	}
}

// What a program leaves over of empty time does not lengthen a measure.
func TestMeasureLength(t *testing.T) {
	const metre = `<attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>`
	for _, c := range []struct {
		name, content string
		want          float64 // quarter notes
		warning       string
	}{
		{"a rest past the end", metre + noteOf("C", 5, 3, "") + `<backup><duration>1</duration></backup><note><rest/><duration>2</duration><voice>2</voice></note>`, 3, ""},
		{"empty time past the end", metre + noteOf("C", 5, 3, "") + `<forward><duration>5</duration></forward>`, 3, ""},
		{"notes past the end", metre + noteOf("C", 5, 5, ""), 5, ""},
		{"a short measure of rests", metre + `<note><rest/><duration>1</duration></note>`, 1, ""},
		{"rests without a metre", `<attributes><time><senza-misura/></time></attributes><note><rest/><duration>7</duration></note>`, 7, ""},
		{"back too far and forward again", metre + noteOf("C", 5, 3, "") + `<backup><duration>604</duration></backup><forward><duration>602</duration></forward>` + noteOf("E", 4, 2, "<voice>2</voice>"), 3, ""},
		{"back too far", metre + noteOf("C", 5, 3, "") + `<backup><duration>604</duration></backup>` + noteOf("E", 4, 2, "<voice>2</voice>"), 3, "back beyond the start of the measure, by 601 quarter notes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := read(t, scoreOf(`<measure number="1">`+c.content+`</measure><measure number="2">`+quarter("D", 5)+`</measure>`))
			if got := d.Score.Bars[1].Beat; got != c.want {
				t.Errorf("the measure has %g quarter notes, want %g", got, c.want)
			}
			wantWarning(t, d, c.warning)
		})
	}
}

// As many measures as a score may have are read in time that grows with their number, whatever
// stands in each: each of these took minutes when what lies before was looked through anew.
func TestManyMeasures(t *testing.T) {
	const many = 80_000 // two days of one bar each are the most that is played
	metre := `<attributes><divisions>1</divisions><time><beats>1</beats><beat-type>4</beat-type></time></attributes>`
	for name, measure := range map[string]string{
		"not counted": `<measure number="1" implicit="yes">` + metre + `</measure>`,
		"movements":   `<measure number="1">` + strings.Replace(metre, "<time>", "<key><fifths>0</fifths></key><time>", 1) + `</measure>`,
		"small notes": `<measure number="1">` + metre + noteOf("C", 4, 1, "<cue/>") + `<backup><duration>1</duration></backup><note><rest/><duration>1</duration><voice>2</voice></note></measure>`,
	} {
		if d := read(t, scoreOf(strings.Repeat(measure, many))); len(d.Score.Bars) == 0 {
			t.Errorf("%s: no bars", name)
		}
	}
}
