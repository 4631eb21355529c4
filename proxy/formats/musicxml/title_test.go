package musicxml

import (
	"strings"
	"testing"
)

// The elements are those of MusicXML 4.0: a work has a title, and a movement of it one of its own.
func TestTitle(t *testing.T) {
	for head, want := range map[string]string{
		"": "",
		"<movement-title> Slowly \n and softly</movement-title>":                            "Slowly and softly",
		"<work><work-number>Op. 1</work-number><work-title>Suite</work-title></work>":       "Suite",
		"<work><work-title>Suite</work-title></work><movement-title>March</movement-title>": "Suite: March",
		"<work><work-title>Suite</work-title></work><movement-title>Suite</movement-title>": "Suite",
		"<movement-title>" + strings.Repeat("é", 300) + "</movement-title>":                 strings.Repeat("é", mostTitle),
		"<work/><movement-title/>": "",
	} {
		d, err := Read([]byte(`<score-partwise>` + head + `<part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>
<part id="P1"><measure number="1"><note><rest/><duration>4</duration></note></measure></part></score-partwise>`))
		if err != nil {
			t.Fatal(err)
		}
		if d.Title != want {
			t.Errorf("%.60s: the title is %.40q, want %.40q", head, d.Title, want)
		}
	}
}
