package musicxml

import (
	"testing"

	"swellbox/expr/ornament"
)

func TestOrnaments(t *testing.T) {
	over := func(signs string) string {
		return `<notations><ornaments>` + signs + `</ornaments></notations>`
	}
	key := func(fifths string) string {
		return `<attributes><key><fifths>` + fifths + `</fifths></key></attributes>`
	}
	sharp := `<note><pitch><step>F</step><alter>1</alter><octave>4</octave></pitch><duration>1</duration>`
	for _, c := range []struct {
		name, content string
		want          ornament.Sign
	}{
		{"trill", noteOf("E", 4, 1, over("<trill-mark/>")), ornament.Sign{Kind: ornament.Trill, Upper: 1, Lower: 2}},
		{"trill in two sharps", key("2") + noteOf("E", 4, 1, over("<trill-mark/>")), ornament.Sign{Kind: ornament.Trill, Upper: 2, Lower: 2}},
		{"trill in three flats", key("-3") + noteOf("D", 4, 1, over("<trill-mark/>")), ornament.Sign{Kind: ornament.Trill, Upper: 1, Lower: 2}},
		{"over the octave", noteOf("B", 4, 1, over("<trill-mark/>")), ornament.Sign{Kind: ornament.Trill, Upper: 1, Lower: 2}},
		{"under the octave", noteOf("C", 4, 1, over("<mordent/>")), ornament.Sign{Kind: ornament.Mordent, Upper: 2, Lower: 1}},
		{"on an altered note", sharp + over("<trill-mark/>") + "</note>", ornament.Sign{Kind: ornament.Trill, Upper: 1, Lower: 2}},
		{"with an accidental", noteOf("E", 4, 1, over("<trill-mark/><accidental-mark>sharp</accidental-mark>")), ornament.Sign{Kind: ornament.Trill, Upper: 2, Lower: 2}},
		{"with one below", noteOf("D", 4, 1, over(`<turn/><accidental-mark placement="below">sharp</accidental-mark>`)), ornament.Sign{Kind: ornament.Turn, Upper: 2, Lower: 1}},
		{"a mordent's is below", noteOf("A", 4, 1, over(`<mordent/><accidental-mark>sharp</accidental-mark>`)), ornament.Sign{Kind: ornament.Mordent, Upper: 2, Lower: 1}},
		{"as the file says", noteOf("E", 4, 1, over(`<trill-mark start-note="main" two-note-turn="half"/>`)), ornament.Sign{Kind: ornament.Trill, Upper: 1, Lower: 2, FromMain: true, Turned: true}},
		{"tremolo", noteOf("E", 4, 1, over(`<tremolo type="single">3</tremolo>`)), ornament.Sign{Kind: ornament.Tremolo, Strokes: 3}},
		{"tremolo on a quaver", noteOf("E", 4, 1, "<type>eighth</type>"+over(`<tremolo>2</tremolo>`)), ornament.Sign{Kind: ornament.Tremolo, Strokes: 3}},
		{"tremolo of no strokes", noteOf("E", 4, 1, over(`<tremolo>0</tremolo>`)), ornament.Sign{}},
		{"none", quarter("E", 4), ornament.Sign{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := read(t, measureOf(c.content))
			var got ornament.Sign
			if len(d.Ornaments) > 0 {
				got = d.Ornaments[0].Sign
			}
			if got != c.want {
				t.Errorf("%+v, want %+v", got, c.want)
			}
		})
	}
}

// An ornament stays upon its note when the notes of all parts are put in order, and a chord shares a tremolo.
func TestOrnamentsStayUponTheirNotes(t *testing.T) {
	tremolo := `<notations><ornaments><tremolo>2</tremolo></ornaments></notations>`
	d := read(t, `<score-partwise><part-list><score-part id="A"/><score-part id="B"/></part-list>`+
		`<part id="A"><measure>`+quarter("C", 4)+noteOf("D", 4, 1, `<notations><ornaments><turn/></ornaments></notations>`)+`</measure></part>`+
		`<part id="B"><measure>`+noteOf("E", 4, 1, "")+noteOf("F", 4, 1, "")+noteOf("G", 4, 1, "")+noteOf("A", 4, 1, "<chord/>"+tremolo)+`</measure></part></score-partwise>`)
	var got []string
	for _, o := range d.Ornaments {
		got = append(got, keyText(d.Score.Notes[o.Note].Key))
	}
	if len(got) != 3 || got[0] != "D4" || got[1] != "G4" || got[2] != "A4" {
		t.Errorf("ornaments on %v, want D4 G4 A4", got)
	}
}
