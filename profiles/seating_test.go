package profiles

import (
	"errors"
	"strings"
	"testing"

	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

const orchestra = `swellbox: 1
ensemble: {headroom_db: 8}
seats:
  - {part: Violins I, port: 1, channel: 1, profile: violins-1, players: 14}
  - {part: Second port, port: 2, profile: brass}
  - {part: Oboe, track: "Oboe  1", profile: oboe}
  - {part: Any horn, program: 61, profile: horn}
  - {part: Sixteen, channel: 16, program: 1, profile: piano}
`

func seating(t *testing.T, text string) *Seating {
	t.Helper()
	s, err := ParseSeating("s.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSeatingFor(t *testing.T) {
	s := seating(t, orchestra)
	if want := (Ensemble{HeadroomDB: 8, CeilingDB: 3, Room: "large", Row: 10}); s.Ensemble != want {
		t.Errorf("ensemble %+v, want %+v", s.Ensemble, want)
	}
	for _, c := range []struct {
		hint names.Hint
		want string
	}{
		{names.Hint{Port: 1, Channel: 1}, "Violins I"},
		{names.Hint{Port: 1, Channel: 1, Program: 61, HasProgram: true}, "Violins I"}, // the first of two that agree
		{names.Hint{Port: 1, Channel: 2}, ""},
		{names.Hint{Port: 2, Channel: 1}, "Second port"},
		{names.Hint{Port: 2, Channel: 9, Track: "Oboe 1"}, "Second port"},
		{names.Hint{Port: 3, Channel: 9, Track: " oboe 1 "}, "Oboe"},
		{names.Hint{Track: "Oboe 12"}, ""},
		{names.Hint{Channel: 3, Program: 61, HasProgram: true}, "Any horn"},
		{names.Hint{Channel: 3, Program: 61}, ""},
		{names.Hint{Channel: 16, Program: 1, HasProgram: true}, "Sixteen"},
		{names.Hint{Channel: 16, Program: 2, HasProgram: true}, ""},
		{names.Hint{}, ""},
	} {
		seat, ok := s.For(c.hint)
		if ok != (c.want != "") || seat.Part != c.want {
			t.Errorf("For(%+v) = %q, %v, want %q", c.hint, seat.Part, ok, c.want)
		}
	}
	want := Seat{Part: "Violins I", Port: 1, Channel: 1, Profile: "violins-1", Players: 14}
	if seat, _ := s.For(names.Hint{Port: 1, Channel: 1}); seat != want {
		t.Errorf("found %+v, want %+v", seat, want)
	}
	if got := seating(t, "swellbox: 1\nseats: [{channel: 1, profile: horn}]").Ensemble; got != DefaultEnsemble {
		t.Errorf("with nothing said the ensemble is %+v, want %+v", got, DefaultEnsemble)
	}
}

func TestParseSeatingErrors(t *testing.T) {
	const head = "swellbox: 1\nseats:\n"
	for _, c := range []struct{ doc, want string }{
		{"", "s.yaml: the file is empty"},
		{"swellbox: 1\n", "s.yaml:1:1: seats: the key is missing"},
		{"seats: []\n", "swellbox: the key is missing"},
		{"swellbox: 1\nseats: []\n", "s.yaml:2:8: seats: found a list of 0, wanted a list of 1 to 1024 seats"},
		{"swellbox: 1\nseats: 3\n", `seats: found "3"`},
		{head + "- {channel: 17, profile: horn}\n", `s.yaml:3:13: seats[1].channel: found "17", allowed is a whole number, 1 to 16`},
		{head + "- {channel: 0, profile: horn}\n", `found "0"`},
		{head + "- {program: 129, profile: horn}\n", "1 to 128"},
		{head + "- {channel: 1, profile: Horn}\n", "seats[1].profile: found \"Horn\", allowed are lower-case letters"},
		{head + "- {chanel: 1, profile: horn}\n", `s.yaml:3:4: seats[1]: the key "chanel" is not known, the nearest is "channel"`},
		{head + "- {channel: 1}\n", "s.yaml:3:3: seats[1]: the key profile is missing"},
		{head + "- {part: Horn, profile: horn}\n", "seats[1]: the seat has no address"},
		{head + "- {track: ' ', profile: horn}\n", "seats[1].track: found \" \""},
		{head + "- {track: \"a\\nb\", profile: horn}\n", "allowed is one line of printable text"},
		{head + "- {part: " + strings.Repeat("x", reading.TextLimit+1) + ", channel: 1, profile: horn}\n", "at most 200 bytes"},
		{head + "- {track: A  b, profile: horn}\n- {track: a B, profile: tuba}\n", "s.yaml:4:3: seats[2]: seats[1] has the same address"},
		{head + "- horn\n", `seats[1]: found "horn", wanted keys with values: part, port,`},
		{head + "- {channel: 1, profile: horn}\nensemble: {headroom_db: 25}\n", "ensemble.headroom_db: found \"25\", allowed is 0 to 24 dB"},
		{head + "- {channel: 1, profile: horn}\nensemble: {ceiling_db: 7}\n", "allowed is 0 to 6 dB"},
	} {
		s, err := ParseSeating("s.yaml", []byte(c.doc))
		if ps := (Problems)(nil); s != nil || !errors.As(err, &ps) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q:\n%v\nwant %s", c.doc, err, c.want)
		}
	}
}

func TestSeatsLimit(t *testing.T) {
	doc := func(n int) []byte {
		var b strings.Builder
		b.WriteString("swellbox: 1\nseats:\n")
		for i := range n {
			b.WriteString("- {profile: horn, track: t" + strings.Repeat("x", i%150) + string(rune('a'+i/150)) + "}\n")
		}
		return []byte(b.String())
	}
	if s, err := ParseSeating("s.yaml", doc(seatsLimit)); err != nil || len(s.Seats) != seatsLimit {
		t.Errorf("at the limit: %v", err)
	}
	if _, err := ParseSeating("s.yaml", doc(seatsLimit+1)); err == nil || !strings.Contains(err.Error(), "found a list of 1025") {
		t.Errorf("past the limit: %v", err)
	}
}

func TestSeatingCheck(t *testing.T) {
	l := library(t, "{swellbox: 1, name: broken, extends: horn, sampler: {level: none}}")
	if err := seating(t, orchestra).Check(l); err != nil {
		t.Error(err)
	}
	err := seating(t, `swellbox: 1
seats:
  - {channel: 1, profile: horns}
  - {channel: 2, profile: broken}
  - {channel: 3, profile: broken}
`).Check(l)
	if err == nil {
		t.Fatal("no error for an unknown profile and a broken one")
	}
	if want := `s.yaml:3:27: seats[1].profile: no profile is named "horns", the nearest is "horn"`; !strings.Contains(err.Error(), want) {
		t.Errorf("%v\nwant %s", err, want)
	}
	if n := strings.Count(err.Error(), "doc1.yaml:1:"); n != 1 {
		t.Errorf("the broken profile is reported %d times, want once:\n%v", n, err)
	}
}

func TestSeatingNamesWaysAndPlayers(t *testing.T) {
	const text = `swellbox: 1
ensemble: {controller_map: big-room}
seats:
  - {channel: 1, profile: violins}
  - {channel: 2, profile: violins, articulation: pizzicato, controller_map: small-room}
`
	l := mapped(t, wellMapped)
	if err := l.AddControllerMap(controllerMap(t, "{swellbox: 1, controller_map: small-room}")); err != nil {
		t.Fatal(err)
	}
	s := seating(t, text)
	if err := s.Check(l); err != nil {
		t.Error(err)
	}
	if seat, _ := s.For(names.Hint{Channel: 2}); seat.Articulation != "pizzicato" || seat.ControllerMap != "small-room" || s.Ensemble.ControllerMap != "big-room" {
		t.Errorf("found %+v in %+v", seat, s.Ensemble)
	}
	for _, c := range []struct{ old, new, want string }{
		{"big-room", "big-rom", `s.yaml:2:28: ensemble.controller_map: no controller map is named "big-rom", the nearest is "big-room"`},
		{"small-room", "smal-room", `s.yaml:5:77: seats[2].controller_map: no controller map is named "smal-room", the nearest is "small-room"`},
		{"pizzicato", "pizicato", `s.yaml:5:50: seats[2].articulation: the profile violins has no articulation "pizicato", the nearest is "pizzicato"`},
		{"violins, art", "flute, art", "seats[2].articulation: the profile flute has no articulation but its own"},
	} {
		err := seating(t, strings.Replace(text, c.old, c.new, 1)).Check(l)
		if ps := (Problems)(nil); !errors.As(err, &ps) || len(ps) != 1 || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v\nwant %s", c.new, err, c.want)
		}
	}
}
