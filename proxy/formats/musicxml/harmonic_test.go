package musicxml

import (
	"slices"
	"testing"
)

// Of a harmonic what sounds is played.
func TestHarmonics(t *testing.T) {
	is := func(what string) string {
		return `<notations><technical><harmonic>` + what + `</harmonic></technical></notations>`
	}
	also := func(what string) string { return "<chord/>" + is(what) }
	for _, c := range []struct {
		name, content string
		want          []string
	}{
		{"natural, with a circle", noteOf("A", 5, 1, is("<natural/>")), []string{"A5"}},
		{"touched at the fourth", noteOf("A", 4, 1, is("<artificial/><base-pitch/>")) + noteOf("D", 5, 1, also("<artificial/><touching-pitch/>")), []string{"A6"}},
		{"touched at the fifth", noteOf("A", 4, 1, is("<artificial/><base-pitch/>")) + noteOf("E", 5, 1, also("<artificial/><touching-pitch/>")), []string{"E6"}},
		{"touched at the octave", noteOf("A", 4, 1, is("<natural/><base-pitch/>")) + noteOf("A", 5, 1, also("<natural/><touching-pitch/>")), []string{"A5"}},
		{"touched first", noteOf("D", 5, 1, is("<artificial/><touching-pitch/>")) + noteOf("A", 4, 1, also("<artificial/><base-pitch/>")), []string{"A6"}},
		{"with what sounds", noteOf("A", 4, 1, is("<artificial/><base-pitch/>")) + noteOf("D", 5, 1, also("<artificial/><touching-pitch/>")) +
			noteOf("A", 6, 1, also("<artificial/><sounding-pitch/>")), []string{"A6"}},
		{"a base alone", noteOf("A", 4, 1, is("<natural/><base-pitch/>")), []string{"A5"}},
		{"an artificial base alone", noteOf("A", 4, 1, is("<artificial/><base-pitch/>")), []string{"A6"}},
		{"beside a note that is none", noteOf("A", 4, 1, is("<artificial/><base-pitch/>")) + noteOf("D", 5, 1, also("<artificial/><touching-pitch/>")) +
			noteOf("G", 3, 1, "<chord/>"), []string{"G3", "A6"}},
		{"where nothing is touched so", noteOf("A", 4, 1, is("<artificial/><base-pitch/>")) + noteOf("B", 4, 1, also("<artificial/><touching-pitch/>")), []string{"B4"}},
		{"one after the other", noteOf("A", 4, 1, is("<natural/><base-pitch/>")) + noteOf("D", 5, 1, ""), []string{"A5", "D5"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, n := range read(t, measureOf(c.content)).Score.Notes {
				got = append(got, keyText(n.Key))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%v sound, want %v", got, c.want)
			}
		})
	}
}
