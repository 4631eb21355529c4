package quiz

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/study/demo"
)

func middle(string, *expr.Profile) float64 { return 0 }

func scoreOf(t testing.TB, f *smf.File) *Score {
	t.Helper()
	s, err := NewScore(f, middle)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// line is a track of equally long notes, one after the other, in 480 ticks a quarter.
func line(name string, channel, velocity byte, ticks int64, keys ...byte) smf.Track {
	t := smf.Track{Events: []smf.Event{{Data: append([]byte{0xFF, smf.MetaTrackName}, name...)}}}
	for i, key := range keys {
		from := int64(i) * ticks
		t.Events = append(t.Events,
			smf.Event{Tick: from, Data: []byte{0x90 | channel, key, velocity}},
			smf.Event{Tick: from + ticks, Data: []byte{0x80 | channel, key, 0}})
		t.End = from + ticks
	}
	return t
}

// score is lines in 4/4 at 120 quarters a minute: a bar of 1920 ticks is 2 s.
func score(t testing.TB, lines ...smf.Track) *Score {
	t.Helper()
	return scoreOf(t, &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}, Tracks: lines})
}

func TestPassages(t *testing.T) {
	s := score(t, line("Violin", 0, 80, 1920, 60, 62, 64, 65))
	want := []Passage{{0, 4 * time.Second, 1, 2}, {2 * time.Second, 6 * time.Second, 2, 3}, {4 * time.Second, 8 * time.Second, 3, 4}, {6 * time.Second, 8 * time.Second, 4, 4}}
	if len(s.passages) != len(want) {
		t.Fatalf("passages %v, want %v", s.passages, want)
	}
	for i, p := range s.passages {
		if p != want[i] {
			t.Errorf("passage %+v, want %+v", p, want[i])
		}
	}
	if got := s.passages[0].String() + ", " + s.passages[3].String(); got != "bars 1–2, bar 4" {
		t.Errorf("they are called %q", got)
	}
	if n := s.within(want[1]); len(n) != 2 || n[0].Key != 62 || n[0].From != 2*time.Second || n[0].To != 4*time.Second || n[1].Key != 64 {
		t.Errorf("bars 2 and 3 have %+v", n)
	}
}

// A bar that is too long is cut, and a piece without bars goes by the clock.
func TestPassagesOfOtherTimes(t *testing.T) {
	slow := line("Violin", 0, 80, 4*480, 60, 62)
	slow.Events = append([]smf.Event{{Data: []byte{0xFF, smf.MetaTempo, 0x1E, 0x84, 0x80}}}, slow.Events...) // 2 s a quarter
	if p := score(t, slow).passages; len(p) != 2 || p[1] != (Passage{8 * time.Second, 13 * time.Second, 2, 2}) {
		t.Errorf("bars of 8 s are cut into %+v", p)
	}
	film := &smf.File{Division: smf.Division{FramesPerSecond: 25, TicksPerFrame: 40}, Tracks: []smf.Track{line("Violin", 0, 80, 7000, 60)}}
	p := scoreOf(t, film).passages
	if len(p) != 2 || p[1] != (Passage{From: 5 * time.Second, To: 7 * time.Second}) || p[1].String() != "from 0:05 on" {
		t.Errorf("7 s without bars are cut into %+v", p)
	}
}

// In the built-in score every skill has something to ask about, of parts that play.
func TestDrillsOfTheDemo(t *testing.T) {
	s := scoreOf(t, demo.Score())
	for _, skill := range Skills {
		d, err := NewDrill(s, skill)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, c := range d.choices {
			if c.passage.To-c.passage.From > passageLength || len(c.subject.Heard) == 0 || len(c.subject.Parts) == 0 || c.subject.Words == "" {
				t.Errorf("%s: %v asks about %+v", skill.Name, c.passage, c.subject)
			}
		}
	}
}

// What each skill needs, and where it lacks.
func TestSubjects(t *testing.T) {
	long, short := int64(1920), int64(240)
	for name, c := range map[string]struct {
		score *Score
		want  map[string]string // by skill, what is asked about in the first passage
	}{
		"a soloist": {score(t, line("Violin", 0, 80, long, 69)),
			map[string]string{"shaping": "all", "vibrato": "Violin", "swell": "Violin"}},
		"a soloist without vibrato": {score(t, line("Clarinet in A", 0, 80, long, 69)),
			map[string]string{"shaping": "all", "swell": "Clarinet in A"}},
		"short notes": {score(t, line("Violin", 0, 80, short, 69, 71, 69, 71)), nil},
		"a piano":     {score(t, line("Piano", 0, 80, long, 69)), nil},
		"two families": {score(t, line("Violin", 0, 80, short, 69), line("Oboe", 1, 80, short, 69)),
			map[string]string{"balance": "the strings", "hall": "all"}},
		"brass in piano": {score(t, line("Flute", 0, 49, short, 69), line("Trumpet", 1, 49, short, 69)),
			map[string]string{"balance": "the woodwind", "hall": "all"}},
		"brass in forte": {score(t, line("Flute", 0, 49, short, 69), line("Trumpet", 1, 96, short, 69)),
			map[string]string{"balance": "the woodwind", "brass": "the heavy brass", "hall": "all"}},
		"horns in forte": {score(t, line("Flute", 0, 96, short, 69), line("Horn", 1, 96, short, 60)),
			map[string]string{"balance": "the woodwind", "hall": "all"}},
		"brass alone": {score(t, line("Trumpet", 1, 96, short, 69)), nil},
	} {
		for _, skill := range Skills {
			got := ""
			if s := skill.Subjects(c.score, c.score.passages[0]); len(s) > 0 {
				got = s[0].Words
			}
			if got != c.want[skill.Name] {
				t.Errorf("%s: %s asks about %q, want %q", name, skill.Name, got, c.want[skill.Name])
			}
			if _, err := NewDrill(c.score, skill); (err == nil) != (got != "") {
				t.Errorf("%s: %s: %v", name, skill.Name, err)
			}
		}
	}
}

func TestRefusesABrokenFile(t *testing.T) {
	if _, err := NewScore(&smf.File{Format: 1}, middle); err == nil {
		t.Error("a file without time was taken")
	}
}
