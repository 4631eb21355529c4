package musicxml

import (
	"fmt"
	"slices"
	"testing"
)

// A part of keys that are struck, of which the file does not say the channel, is on that of percussion.
func TestPercussionWithoutAChannel(t *testing.T) {
	d := read(t, `<score-partwise><part-list><score-part id="P"><score-instrument id="snare"/><midi-instrument id="snare"><midi-unpitched>39</midi-unpitched></midi-instrument></score-part>`+
		`<score-part id="Q"/></part-list><part id="P"><measure><note><unpitched/><duration>1</duration></note></measure></part><part id="Q"><measure>`+quarter("C", 4)+`</measure></part></score-partwise>`)
	if n := d.Score.Notes; n[1].Channel != 9 || n[1].Key != 38 || n[0].Channel != 1 {
		t.Errorf("key %d on channel %d, then one on %d; want 38 on 9, and 1", n[1].Key, n[1].Channel, n[0].Channel)
	}
}

// What strikes unpitched instruments is the key of each, which the file counts from 1.
func TestPercussion(t *testing.T) {
	list := `<score-partwise><part-list><score-part id="P"><part-name>Drums</part-name>` +
		`<score-instrument id="bass"/><score-instrument id="snare"/><score-instrument id="bell"/>` +
		`<midi-instrument id="bass"><midi-channel>10</midi-channel><midi-unpitched>37</midi-unpitched></midi-instrument>` +
		`<midi-instrument id="snare"><midi-channel>10</midi-channel><midi-unpitched>39</midi-unpitched></midi-instrument>` +
		`<midi-instrument id="bell"><midi-channel>11</midi-channel></midi-instrument>` +
		`</score-part></part-list><part id="P"><measure number="1">`
	struck := func(more string) string {
		return `<note>` + more + `<unpitched><display-step>C</display-step><display-octave>5</display-octave></unpitched><duration>1</duration></note>`
	}
	by := func(id string) string { return `<instrument id="` + id + `"/>` }
	for _, c := range []struct {
		name, content string
		want          []string // key and channel
	}{
		{"each by its own key", struck(by("bass")) + struck(by("snare")), []string{"36 9", "38 9"}},
		{"at once", struck(by("bass")) + struck("<chord/>"+by("snare")), []string{"36 9", "38 9"}},
		{"without a name, by the first", struck(""), []string{"36 9"}},
		{"without a key, as it stands", struck(by("bell")), []string{"72 10"}},
		{"a pitched note of one with a key", noteOf("D", 5, 1, by("snare")), []string{"74 9"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, n := range read(t, list+c.content+`</measure></part></score-partwise>`).Score.Notes {
				got = append(got, fmt.Sprintf("%d %d", n.Key, n.Channel))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}
