package profiles

import (
	"slices"
	"strings"
	"testing"

	"swellbox/profiles/names"
)

// Each seat that nobody takes is named, with its reason and what to do.
func TestEmptySeats(t *testing.T) {
	parts := []names.Hint{
		{Port: 1, Channel: 1, Track: "Violins I"},
		{Port: 1, Channel: 2, Track: "Oboe", Program: 69, HasProgram: true},
		{Port: 2, Channel: 3, Track: "Horn"},
	}
	for _, c := range []struct {
		seats string
		want  []string // what the sentences have in them, in order
	}{
		{`{track: violins i, profile: violins}, {program: 69, profile: oboe}, {port: 2, profile: horn}`, nil},
		{`{part: Solo, track: Violin solo, profile: violin}`, []string{
			`s.yaml: nobody plays by Solo (seat 1, line 2): no track with notes is called "Violin solo" (there are "Violins I", "Oboe", "Horn"); correct its track, or take it out`}},
		{`{channel: 3, profile: horn}, {port: 2, channel: 4, profile: tuba}`, []string{
			`nobody plays by tuba (seat 2, line 2): there are no notes on port 2, channel 4; correct its port or channel, or take it out`}},
		{`{channel: 7, profile: horn}`, []string{`there are no notes on channel 7;`}},
		{`{port: 3, profile: horn}`, []string{`there are no notes on port 3;`}},
		{`{track: horn, port: 1, profile: horn}`, []string{`the track "horn" plays on port 2, channel 3; correct its port or channel, or leave them out`}},
		{`{channel: 2, program: 70, profile: horn}`, []string{`program 70 is never called on channel 2; correct its program`}},
		{`{program: 70, profile: horn}`, []string{`program 70 is never called; correct its program`}},
		{`{track: Horn, program: 70, profile: horn}`, []string{`program 70 is never called; `}},
		{`{port: 1, profile: strings}, {part: First, channel: 1, profile: violins-1}`, []string{
			`nobody plays by First (seat 2, line 2): strings (seat 1, line 2), which stands before it, has its parts already; put this one first, or take it out`}},
		{`{channel: 11, profile: horn}, {channel: 12, profile: tuba}, {channel: 13, profile: oboe}, {channel: 14, profile: flute}, {channel: 1, profile: violins}`, []string{
			`s.yaml: nobody plays by 4 of 5 seats: horn (seat 1, line 2), tuba (seat 2, line 2), oboe (seat 3, line 2), flute (seat 4, line 2); where one of them should play, correct`}},
	} {
		got := seating(t, "swellbox: 1\nseats: ["+c.seats+"]").Empty(parts)
		if !slices.EqualFunc(got, c.want, strings.Contains) {
			t.Errorf("%s:\ngot  %q\nwant %q", c.seats, got, c.want)
		}
	}
	if got := seating(t, "swellbox: 1\nseats: [{track: Oboe, profile: oboe}]").Empty([]names.Hint{{Port: 1, Channel: 1}}); len(got) != 1 || !strings.Contains(got[0], `is called "Oboe", as none has a name;`) {
		t.Errorf("without names: %q", got)
	}
}

// Live music has ports and channels, and no tracks.
func TestUnheardSeats(t *testing.T) {
	s := seating(t, "swellbox: 1\nseats: [{channel: 1, profile: horn}, {port: 2, profile: tuba}, {track: Oboe, channel: 3, profile: oboe}]")
	got := s.Unheard(1)
	want := []string{
		"tuba (seat 2, line 2): it is on port 2, and swellbox listens to 1; correct its port",
		"Oboe (seat 3, line 2): what comes in live has no names of tracks; give it a port and a channel",
	}
	if !slices.EqualFunc(got, want, strings.Contains) {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := s.Unheard(2); len(got) != 1 {
		t.Errorf("with two ports: %q", got)
	}
	if got := (*Seating)(nil).Unheard(1); got != nil {
		t.Errorf("without a seating: %q", got)
	}
}
