package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"swellbox/expr"
)

func slurOf(number int, kind string) string {
	return fmt.Sprintf(`<notations><slur number="%d" type="%s"/></notations>`, number, kind)
}

func tiesOf(kinds ...string) (ties string) {
	for _, k := range kinds {
		ties += `<tie type="` + k + `"/>`
	}
	return ties
}

func direction(types string) string {
	return "<direction><direction-type>" + types + "</direction-type></direction>"
}

func dynamicOf(name string) string { return direction("<dynamics><" + name + "/></dynamics>") }

// restOf is a rest of some divisions.
func restOf(duration int) string {
	return fmt.Sprintf("<note><rest/><duration>%d</duration></note>", duration)
}

// stressed is a mark with a number of what it sounds beside it.
func stressed(name string) string {
	return `<direction><direction-type><dynamics><` + name + `/></dynamics></direction-type><sound dynamics="120"/></direction>`
}

// voiceOf is a note of a voice and a staff.
func voiceOf(step string, octave, duration, voice, staff int, more string) string {
	return fmt.Sprintf(`<note><pitch><step>%s</step><octave>%d</octave></pitch><duration>%d</duration>%s<voice>%d</voice><staff>%d</staff></note>`, step, octave, duration, more, voice, staff)
}

const grace = `<note><grace/><pitch><step>B</step><octave>3</octave></pitch></note>`

// What stands in a measure of quarter divisions, and what sounds: beat, length, key,
// velocity and marks.
func TestNotes(t *testing.T) {
	back := func(n int) string { return fmt.Sprintf("<backup><duration>%d</duration></backup>", n) }
	const forward = "<forward><duration>2</duration></forward>"
	for _, c := range []struct {
		name, content string
		want          []string
	}{
		{"a tie", noteOf("C", 4, 2, tiesOf("start")) + noteOf("C", 4, 1, tiesOf("stop", "start")) + noteOf("C", 4, 1, tiesOf("stop")),
			[]string{"0 4 C4 0"}},
		{"a tie of the page only", noteOf("C", 4, 1, `<notations><tied type="start"/></notations>`) + noteOf("C", 4, 1, `<notations><tied type="stop"/></notations>`),
			[]string{"0 2 C4 0"}},
		{"a tie to nothing", noteOf("C", 4, 1, tiesOf("start")) + quarter("D", 4), []string{"0 1 C4 0", "1 1 D4 0"}},
		{"a tie over a rest", noteOf("C", 4, 1, tiesOf("start")) + "<note><rest/><duration>1</duration></note>" + noteOf("C", 4, 1, tiesOf("stop")),
			[]string{"0 1 C4 0", "2 1 C4 0"}},
		{"a chord written out", noteOf("C", 4, 1, tiesOf("start")) + noteOf("E", 4, 1, tiesOf("start")) + noteOf("C", 4, 2, tiesOf("stop")) + noteOf("E", 4, 2, "<chord/>"+tiesOf("stop")),
			[]string{"0 4 C4 0", "1 3 E4 0"}},
		{"a chord written out, tied to another voice", voiceOf("C", 4, 1, 5, 2, tiesOf("start")) + voiceOf("E", 4, 1, 5, 2, "") + back(2) + voiceOf("G", 4, 2, 1, 1, "") + voiceOf("C", 4, 2, 1, 1, tiesOf("stop")),
			[]string{"0 4 C4 0", "0 2 G4 0", "1 1 E4 0"}},
		{"a key struck again meanwhile", noteOf("C", 4, 1, tiesOf("start")) + quarter("C", 4) + noteOf("C", 4, 2, tiesOf("stop")),
			[]string{"0 1 C4 0", "1 1 C4 0", "2 2 C4 0"}},
		{"a tie within a chord", noteOf("C", 4, 1, tiesOf("start")) + noteOf("E", 4, 1, "<chord/>") + noteOf("C", 4, 1, tiesOf("stop")) + noteOf("F", 4, 1, "<chord/>"),
			[]string{"0 2 C4 0", "0 1 E4 0", "1 1 F4 0"}},
		{"a tie from voice to voice", voiceOf("C", 4, 1, 1, 1, tiesOf("start")) + voiceOf("C", 4, 1, 2, 1, tiesOf("stop")), []string{"0 2 C4 0"}},
		{"two ties in unison", voiceOf("C", 4, 1, 1, 1, tiesOf("start")+"<notations><fermata/></notations>") + back(1) + voiceOf("C", 4, 1, 2, 1, tiesOf("start")) +
			voiceOf("C", 4, 2, 2, 1, tiesOf("stop")) + back(2) + voiceOf("C", 4, 1, 1, 1, tiesOf("stop")), []string{"0 2 C4 0 fermata", "0 3 C4 0"}},
		{"a slur", noteOf("C", 4, 1, slurOf(1, "start")) + quarter("D", 4) + noteOf("E", 4, 1, slurOf(1, "stop")) + quarter("F", 4),
			[]string{"0 1 C4 0 slur( slur-", "1 1 D4 0 slur-", "2 1 E4 0 )slur", "3 1 F4 0"}},
		{"a slur from a note tied from another voice", voiceOf("C", 4, 1, 1, 1, "") + voiceOf("D", 4, 1, 1, 1, "") + voiceOf("E", 4, 1, 1, 1, tiesOf("start")) +
			voiceOf("E", 4, 1, 2, 1, tiesOf("stop")+slurOf(1, "start")) + voiceOf("F", 4, 1, 2, 1, slurOf(1, "stop")),
			[]string{"0 1 C4 0", "1 1 D4 0", "2 2 E4 0 slur( slur-", "4 1 F4 0 )slur"}},
		{"slurs one after the other", noteOf("C", 4, 1, slurOf(1, "start")) + noteOf("D", 4, 1, slurOf(1, "stop")+slurOf(1, "start")) + noteOf("E", 4, 1, slurOf(1, "stop")),
			[]string{"0 1 C4 0 slur( slur-", "1 1 D4 0 slur( slur- )slur", "2 1 E4 0 )slur"}},
		{"a slur in a slur", noteOf("C", 4, 1, slurOf(1, "start")) + noteOf("D", 4, 1, slurOf(2, "start")) + noteOf("E", 4, 1, slurOf(2, "stop")) + noteOf("F", 4, 1, slurOf(1, "stop")),
			[]string{"0 1 C4 0 slur( slur-", "1 1 D4 0 slur( slur-", "2 1 E4 0 slur- )slur", "3 1 F4 0 )slur"}},
		{"a slur over chords", noteOf("C", 4, 1, slurOf(1, "start")) + noteOf("E", 4, 1, "<chord/>") + noteOf("D", 4, 1, slurOf(1, "stop")) + noteOf("F", 4, 1, "<chord/>"),
			[]string{"0 1 C4 0 slur( slur-", "0 1 E4 0 slur( slur-", "1 1 D4 0 )slur", "1 1 F4 0 )slur"}},
		{"a slur to a tied note", noteOf("C", 4, 1, slurOf(1, "start")) + noteOf("D", 4, 1, tiesOf("start")) + noteOf("D", 4, 1, tiesOf("stop")+slurOf(1, "stop")),
			[]string{"0 1 C4 0 slur( slur-", "1 2 D4 0 )slur"}},
		{"a slur over one tied note", noteOf("D", 4, 1, tiesOf("start")+slurOf(1, "start")) + noteOf("D", 4, 1, tiesOf("stop")+slurOf(1, "stop")), []string{"0 2 D4 0"}},
		{"a slur in one of two voices", voiceOf("C", 5, 1, 1, 1, slurOf(1, "start")) + voiceOf("D", 5, 1, 1, 1, slurOf(1, "stop")) + back(2) + voiceOf("C", 4, 2, 2, 1, ""),
			[]string{"0 2 C4 0", "0 1 C5 0 slur( slur-", "1 1 D5 0 )slur"}},
		{"a slur from voice to voice", voiceOf("C", 5, 1, 1, 1, slurOf(1, "start")) + voiceOf("D", 5, 1, 1, 1, "") + voiceOf("E", 3, 1, 2, 2, slurOf(1, "stop")),
			[]string{"0 1 C5 0 slur( slur-", "1 1 D5 0 slur-", "2 1 E3 0 )slur"}},
		{"a slur over a note that is tied to another voice", noteOf("D", 4, 1, "") + voiceOf("E", 4, 1, 1, 1, tiesOf("start")+slurOf(1, "start")) + voiceOf("E", 4, 1, 2, 1, tiesOf("stop")+slurOf(1, "stop")),
			[]string{"0 1 D4 0", "1 2 E4 0"}},
		{"a slur to a note that is tied to another voice", voiceOf("C", 4, 1, 1, 1, slurOf(1, "start")) + voiceOf("D", 4, 1, 1, 1, "") + voiceOf("E", 4, 1, 1, 1, tiesOf("start")) + voiceOf("E", 4, 1, 2, 1, tiesOf("stop")+slurOf(1, "stop")),
			[]string{"0 1 C4 0 slur( slur-", "1 1 D4 0 slur-", "2 2 E4 0 )slur"}},
		{"a slur from a note that is tied from another voice", voiceOf("D", 4, 1, 1, 1, "") + voiceOf("E", 4, 1, 1, 1, tiesOf("start")) + voiceOf("F", 4, 1, 1, 1, "") + back(1) +
			voiceOf("E", 4, 1, 2, 1, tiesOf("stop")+slurOf(1, "start")) + voiceOf("D", 3, 1, 2, 1, "") + voiceOf("C", 3, 1, 2, 1, slurOf(1, "stop")),
			[]string{"0 1 D4 0", "1 2 E4 0 slur( slur-", "2 1 F4 0", "3 1 D3 0 slur-", "4 1 C3 0 )slur"}},
		{"articulations of a chord", noteOf("C", 4, 1, "") + noteOf("E", 4, 1, "<chord/><notations><articulations><staccato/></articulations><fermata/></notations>"),
			[]string{"0 1 C4 0 staccato fermata", "0 1 E4 0 staccato fermata"}},
		{"articulations", noteOf("C", 4, 1, "<notations><articulations><staccatissimo/><tenuto/><accent/><strong-accent/><breath-mark/></articulations></notations>"),
			[]string{"0 1 C4 0 staccatissimo tenuto accent marcato breath"}},
		{"an appoggiatura", `<note><grace/><pitch><step>B</step><octave>3</octave></pitch><type>quarter</type></note>` + noteOf("C", 4, 2, ""),
			[]string{"0 1 B3 0 grace", "1 1 C4 0"}},
		{"a short grace note", `<note><grace slash="yes"/><pitch><step>B</step><octave>3</octave></pitch><type>eighth</type></note>` + noteOf("C", 4, 2, ""),
			[]string{"0 0.125 B3 0 grace", "0.125 1.875 C4 0"}},
		{"two grace notes before a chord", grace + grace + noteOf("C", 4, 2, "") + noteOf("E", 4, 2, "<chord/>"),
			[]string{"0 0.125 B3 0 grace", "0.125 0.125 B3 0 grace", "0.25 1.75 C4 0", "0.25 1.75 E4 0"}},
		{"grace notes of a short note", strings.Repeat(grace, 8) + "<attributes><divisions>2</divisions></attributes>" + quarter("C", 4),
			[]string{"0 0.03125 B3 0 grace", "0.03125 0.03125 B3 0 grace", "0.0625 0.03125 B3 0 grace", "0.09375 0.03125 B3 0 grace",
				"0.125 0.03125 B3 0 grace", "0.1562 0.03125 B3 0 grace", "0.1875 0.03125 B3 0 grace", "0.2188 0.03125 B3 0 grace", "0.25 0.25 C4 0"}},
		{"a grace note at the end", noteOf("C", 4, 2, "") + grace, []string{"0 1.875 C4 0", "1.875 0.125 B3 0 grace"}},
		{"a grace note that is to come before", noteOf("C", 4, 2, "") + strings.Replace(grace, "<grace/>", `<grace steal-time-previous="10"/>`, 1) + quarter("D", 4),
			[]string{"0 1.875 C4 0", "1.875 0.125 B3 0 grace", "2 1 D4 0"}},
		{"a grace note before a tied note", noteOf("C", 4, 2, tiesOf("start")) + grace + noteOf("C", 4, 1, tiesOf("stop")),
			[]string{"0 1.875 C4 0", "1.875 0.125 B3 0 grace", "2 1 C4 0"}},
		{"a chord of marks", noteOf("C", 4, 1, "<notations><articulations><tenuto/></articulations></notations>") + noteOf("E", 4, 1, "<chord/>") + noteOf("G", 4, 1, "<chord/><notations><fermata/></notations>"),
			[]string{"0 1 C4 0 tenuto fermata", "0 1 E4 0 tenuto fermata", "0 1 G4 0 tenuto fermata"}},
		{"a small note", noteOf("C", 4, 1, "<cue/>") + quarter("D", 4), []string{"0 1 C4 0", "1 1 D4 0"}},
		{"a grace chord first", noteOf("C", 4, 0, "<grace/>") + noteOf("E", 4, 0, "<grace/><chord/>") + noteOf("F", 4, 4, ""),
			[]string{"0 0.125 C4 0 grace", "0 0.125 E4 0 grace", "0.125 3.875 F4 0"}},
		{"too many signs", "<direction><direction-type><dynamics>" + strings.Repeat("<f/>", maxSigns+1) + "</dynamics></direction-type></direction>" + quarter("C", 4),
			[]string{"0 1 C4 96"}},
		{"unpitched", `<note><unpitched/><duration>1</duration></note><note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched><duration>1</duration></note>`,
			[]string{"0 1 B4 0", "1 1 E4 0"}},
		{"quarter tones", strings.ReplaceAll(quarter("C", 4)+quarter("D", 4), "</step>", "</step><alter>-0.5</alter>"), []string{"0 1 C4 0", "1 1 D4 0"}},
		{"divisions change", noteOf("C", 4, 1, "") + "<attributes><divisions>3</divisions></attributes>" + noteOf("D", 4, 1, "") + noteOf("E", 4, 2, ""),
			[]string{"0 1 C4 0", "1 0.3333 D4 0", "1.333 0.6667 E4 0"}},
		{"dynamics", quarter("C", 4) + dynamicOf("pp") + quarter("C", 4) + noteOf("C", 4, 1, "<notations><dynamics><f/></dynamics></notations>") + dynamicOf("other-dynamics") + quarter("C", 4),
			[]string{"0 1 C4 0", "1 1 C4 33", "2 1 C4 96", "3 1 C4 96"}},
		{"stresses", dynamicOf("mp") + dynamicOf("sf") + quarter("C", 4) + quarter("C", 4) + dynamicOf("fp") + quarter("C", 4) + quarter("C", 4),
			[]string{"0 1 C4 96 accent", "1 1 C4 64", "2 1 C4 96 accent", "3 1 C4 49"}},
		{"the number of a note", dynamicOf("p") + strings.Replace(quarter("C", 4), "<note>", `<note dynamics="100">`, 1) + quarter("C", 4), []string{"0 1 C4 90", "1 1 C4 49"}},
		{"the number of a mark", "<direction><direction-type><dynamics><p/></dynamics></direction-type><sound dynamics=\"50\"/></direction>" + quarter("C", 4), []string{"0 1 C4 45"}},
		{"the number of a stress", dynamicOf("mp") + stressed("sf") + quarter("C", 4) + quarter("C", 4) + stressed("fp") + quarter("C", 4) + quarter("C", 4),
			[]string{"0 1 C4 108 accent", "1 1 C4 64", "2 1 C4 108 accent", "3 1 C4 49"}},
		{"solos", direction("<words>Solo</words>") + quarter("C", 4) + direction("<words>a 2</words>") + quarter("D", 4) + direction("<words>1. solo</words>") + quarter("E", 4) +
			direction("<words>soli, espr.</words>") + quarter("F", 4) + restOf(3) + quarter("G", 4) + restOf(4) + quarter("A", 4),
			[]string{"0 1 C4 0 solo", "1 1 D4 0", "2 1 E4 0", "3 1 F4 0 solo", "7 1 G4 0 solo", "12 1 A4 0"}},
		{"a solo for the first player", direction("<words>II. Solo</words>") + quarter("C", 4) + direction("<words>Tutti</words>") + direction("<words>con sordino, solo</words>") + quarter("D", 4),
			[]string{"0 1 C4 0", "1 1 D4 0 solo"}},
		{"a hairpin over a long note", noteOf("C", 4, 4, "") + back(3) + direction(`<wedge type="diminuendo"/>`) + forward + direction(`<wedge type="stop"/>`),
			[]string{"0 4 C4 0 softer"}},
		{"hairpins end where the next note begins", direction(`<wedge type="crescendo"/>`) + quarter("C", 4) + direction(`<wedge type="stop"/>`) + direction(`<wedge type="diminuendo"/>`) + quarter("D", 4) + direction(`<wedge type="stop"/>`) + quarter("E", 4),
			[]string{"0 1 C4 0 louder", "1 1 D4 0 softer", "2 1 E4 0"}},
		{"louder in words", direction("<words>poco cresc.</words>") + dynamicOf("p") + quarter("C", 4) + quarter("D", 4) + dynamicOf("f") + quarter("E", 4),
			[]string{"0 1 C4 49 louder", "1 1 D4 49 louder", "2 1 E4 96"}},
		{"louder, then softer, in words", direction("<words>crescendo</words>") + quarter("C", 4) + direction("<words>dim. e rit.</words>") + quarter("D", 4) + dynamicOf("p") + quarter("E", 4),
			[]string{"0 1 C4 0 louder", "1 1 D4 0 softer", "2 1 E4 49"}},
		{"softer in words, to no end", direction("<words>decresc.</words>") + quarter("C", 4), []string{"0 1 C4 0"}},
		{"a mark for one staff of two", `<direction><direction-type><dynamics><p/></dynamics></direction-type><staff>1</staff></direction><direction><direction-type><dynamics><f/></dynamics></direction-type><staff>2</staff></direction>` +
			voiceOf("C", 5, 1, 1, 1, "") + back(1) + voiceOf("C", 3, 1, 2, 2, ""), []string{"0 1 C3 96", "0 1 C5 49"}},
		{"a mark for a staff without one", `<direction><direction-type><dynamics><p/></dynamics></direction-type><staff>1</staff></direction>` +
			voiceOf("C", 5, 1, 1, 1, "") + back(1) + voiceOf("C", 3, 1, 2, 2, ""), []string{"0 1 C3 49", "0 1 C5 49"}},
		{"transposed by staff", `<attributes><transpose number="2"><chromatic>-7</chromatic><octave-change>-1</octave-change></transpose></attributes>` +
			voiceOf("C", 5, 1, 1, 1, "") + back(1) + voiceOf("C", 5, 1, 2, 2, ""), []string{"0 1 F3 0", "0 1 C5 0"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := read(t, measureOf(c.content))
			wantWarning(t, d, "")
			var got []string
			for i := range d.Score.Notes {
				n := &d.Score.Notes[i]
				text := fmt.Sprintf("%.4g %.4g %s %d %s", n.Beat, n.Length, keyText(n.Key), n.Velocity, markText(n.Marks))
				if n.Solo {
					text += " solo"
				}
				got = append(got, strings.Join(strings.Fields(text), " "))
			}
			if a, b := strings.Join(got, "\n"), strings.Join(c.want, "\n"); a != b {
				t.Errorf("read\n%s\nwant\n%s", a, b)
			}
		})
	}
}

// A slur over the repeat sign: each time it leads to where it is played to.
func TestSlurIntoEndings(t *testing.T) {
	d := read(t, scoreOf(`<measure number="1">`+noteOf("C", 4, 1, slurOf(1, "start"))+`</measure>`+
		`<measure number="2">`+signs["(1"]+noteOf("D", 4, 1, slurOf(1, "stop"))+signs[":|"]+`</measure>`+
		`<measure number="3">`+signs["(2"]+noteOf("E", 4, 1, slurOf(1, "stop"))+signs[")"]+`</measure>`))
	wantWarning(t, d, "")
	for i, want := range []expr.Marks{expr.SlurBegins | expr.SlurGoesOn, expr.SlurEnds, expr.SlurBegins | expr.SlurGoesOn, expr.SlurEnds} {
		if got := d.Score.Notes[i].Marks; got != want {
			t.Errorf("note %d has the marks %q, want %q", i, markText(got), markText(want))
		}
	}
}

func TestPedals(t *testing.T) {
	mark := func(kind string) string { return direction(`<pedal type="` + kind + `"/>`) }
	d := read(t, measureOf(mark("start")+quarter("C", 4)+mark("change")+quarter("C", 4)+mark("stop")+quarter("C", 4)+
		mark("sostenuto")+quarter("C", 4)+`<sound damper-pedal="no"/>`+quarter("C", 4)+`<sound damper-pedal="100"/>`+quarter("C", 4)))
	var got []string
	for _, p := range d.Pedals {
		got = append(got, fmt.Sprintf("%g %g %v", p.Beat, p.Length, p.Sostenuto))
	}
	if s := strings.Join(got, ", "); s != "0 1 false, 1 1 false, 3 1 true, 5 1 false" {
		t.Errorf("pedals %s", s)
	}
}
