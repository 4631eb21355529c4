package perform

import (
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/profiles"
	"swellbox/profiles/names"
)

// mappedCast seats a channel with all the violins' ways of playing, one that keeps to
// pizzicato, and one on another sampler.
func mappedCast(t *testing.T) *Cast {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	for name, number := range map[string]string{"here": "20", "there": "21"} {
		m, err := profiles.ParseControllerMap(name, []byte("{swellbox: 1, controller_map: "+name+", everyone: {sampler: {level: {controller: "+number+"}}}}"))
		if err != nil {
			t.Fatal(err)
		}
		if err := lib.AddControllerMap(m); err != nil {
			t.Fatal(err)
		}
	}
	s, err := profiles.ParseSeating("seating", []byte(`swellbox: 1
ensemble: {controller_map: here}
seats:
  - {channel: 1, profile: violins}
  - {channel: 2, profile: violins, articulation: pizzicato}
  - {channel: 3, profile: violins, controller_map: there}
`))
	if err != nil {
		t.Fatal(err)
	}
	return &Cast{Library: lib, Seating: s}
}

func TestCastChoosesWaysAndPlayers(t *testing.T) {
	c := mappedCast(t)
	chosen := map[int]*expr.Profile{}
	for channel, want := range map[int]struct {
		level         int
		vibrato       bool
		variants      bool
		controllerMap string
		instrument    string
	}{
		1: {20, true, true, "here", "violins"},
		2: {20, false, false, "here", "violins"},
		3: {21, true, true, "there", "violins"},
		4: {20, false, false, "here", "horn"}, // no seat: by its program
	} {
		part, p, err := c.Choose(names.Hint{Port: 1, Channel: channel, Program: 61, HasProgram: true})
		if err != nil {
			t.Fatal(err)
		}
		chosen[channel] = p
		if p.Sampler.Level.Number != want.level || (p.Amounts.Of("vibrato") > 0) != want.vibrato || (p.Variants != nil) != want.variants ||
			part.ControllerMap != want.controllerMap || part.Profile != want.instrument {
			t.Errorf("channel %d: %+v with the level on %d, vibrato %g, %d variants, want %+v",
				channel, part, p.Sampler.Level.Number, p.Amounts.Of("vibrato"), len(p.Variants), want)
		}
		if _, again, err := c.Choose(names.Hint{Port: 1, Channel: channel, Program: 61, HasProgram: true}); err != nil || again != p {
			t.Errorf("channel %d: the profile is made anew each time", channel)
		}
	}
	if chosen[1] == chosen[2] || chosen[1] == chosen[3] {
		t.Error("two ways of playing are one profile")
	}
	c.Seating.Ensemble.ControllerMap = "nowhere"
	if _, _, err := c.Choose(names.Hint{Port: 1, Channel: 9}); err == nil || !strings.Contains(err.Error(), `no controller map is named "nowhere"`) {
		t.Errorf("an unknown map: %v", err)
	}
}

// A program that calls a way of playing does not seat the part anew, nor does any
// where the seat keeps to one way.
func TestProgramsOfWaysDoNotSeatAnew(t *testing.T) {
	var seated []string
	s := NewStage(mappedCast(t), engine.Config{Ports: 1}, func(*expr.Event) {})
	s.Seated = func(p Part) { seated = append(seated, p.Name) }
	s.Failed = func(err error) { t.Error(err) }
	for channel := range byte(2) {
		for i, program := range []byte{41, 46, 45, 49, 41, 61, 46} {
			at := time.Duration(i) * time.Second
			s.Push(expr.Short(at, 0, 0xC0|channel, program-1))
			s.Push(expr.Short(at, 0, 0x90|channel, 67, 80))
			s.Push(expr.Short(at+time.Millisecond, 0, 0x80|channel, 67, 0))
		}
	}
	want := []string{"channel 1 of port 1 (violins)", "channel 2 of port 1 (violins)"}
	if len(s.Parts) != 2 || strings.Join(seated, "|") != strings.Join(want, "|") {
		t.Errorf("seated %v as %+v, want %v once each", seated, s.Parts, want)
	}
	// By a guess, what is no way of playing is another instrument.
	seated = nil
	channel := byte(3)
	for i, program := range []byte{41, 46, 61, 46} {
		s.Push(expr.Short(time.Duration(10+i)*time.Second, 0, 0xC0|channel, program-1))
	}
	if got := strings.Join(seated, "|"); got != "channel 4 of port 1 (violins)|channel 4 of port 1 (horn)|channel 4 of port 1 (pizzicato-strings)" {
		t.Errorf("seated %s", got)
	}
}
