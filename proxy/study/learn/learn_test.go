package learn_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/learn"
)

const quarter = 480

// passage is a piece of our own for piano: a tune in eighths over broken chords, 48 bars.
func passage() *smf.File {
	rng := rand.New(rand.NewPCG(5, 9))
	t := smf.Track{Events: []smf.Event{
		{Data: append([]byte{0xFF, smf.MetaTrackName}, "Piano"...)}, {Data: []byte{0xC0, 0}},
	}}
	note := func(at, length int64, key byte) {
		t.Events = append(t.Events, smf.Event{Tick: at, Data: []byte{0x90, key, 64}}, smf.Event{Tick: at + length - 1, Data: []byte{0x80, key, 64}})
	}
	key := 76
	for bar := range int64(48) {
		root := []byte{48, 53, 55, 48}[bar%4]
		for i := range int64(8) {
			at := bar*4*quarter + i*quarter/2
			if bar%8 == 7 && i >= 4 {
				break
			}
			key = min(max(key+rng.IntN(9)-4, 67), 88)
			note(at, quarter/2, byte(key))
			note(at, quarter/2, root+[]byte{0, 7, 12, 7, 0, 7, 16, 7}[i])
		}
	}
	sortTrack(&t)
	return &smf.File{Format: 0, Division: smf.Division{TicksPerQuarter: quarter}, Tracks: []smf.Track{t}}
}

func sortTrack(t *smf.Track) {
	for i := 1; i < len(t.Events); i++ { // few are out of order
		for j := i; j > 0 && t.Events[j].Tick < t.Events[j-1].Tick; j-- {
			t.Events[j], t.Events[j-1] = t.Events[j-1], t.Events[j]
		}
	}
	t.End = t.Events[len(t.Events)-1].Tick
}

func cast(t *testing.T, document string) *perform.Cast {
	t.Helper()
	library, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	if document != "" {
		d, err := profiles.Parse("own", []byte(document))
		if err != nil {
			t.Fatal(err)
		}
		if err := library.Add(d); err != nil {
			t.Fatal(err)
		}
	}
	return &perform.Cast{Library: library}
}

// A player who does much of one habit and little of another is learnt from what they play.
func TestManyNotesAreLearned(t *testing.T) {
	score := passage()
	player := cast(t, "swellbox: 1\nname: piano\nextends: piano\nhabits: {height: 2, articulation: 0}\n")
	take, _, err := offline.Render(context.Background(), passage(), player, perform.Manner{Scored: true, Lookahead: 500e6, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	l, err := learn.Takes(context.Background(), &learn.Config{Cast: cast(t, ""), Score: score, Takes: []*smf.File{take}, Names: []string{"take"}})
	if err != nil {
		t.Fatal(err)
	}
	if l.Matched[0] < 0.99 {
		t.Errorf("%.3f of the notes were found, want all", l.Matched[0])
	}
	amounts := map[string]learn.Amount{}
	for _, a := range l.Amounts {
		amounts[a.Habit.Flag()] = a
	}
	if a := amounts["height"]; a.Amount < 1.15 || a.Error <= 0 || a.Error >= 0.5 {
		t.Errorf("height is %.2f ± %.2f, want over 1.15: the player has 2, and few notes say little", a.Amount, a.Error)
	}
	if a := amounts["articulation"]; a.Amount > 0.85 {
		t.Errorf("articulation is %.2f, want under 0.85: the player has none, and few notes say little", a.Amount)
	}
	document := l.Document("mine", "take.mid")
	if _, err := profiles.Parse("mine.yaml", document); err != nil {
		t.Errorf("the document is no profile: %v\n%s", err, document)
	}
	for _, w := range l.Words() {
		if strings.Contains(w, "NaN") {
			t.Errorf("words of no number: %s", w)
		}
	}
}

func TestRefusesOtherMusic(t *testing.T) {
	other := passage()
	for i := range other.Tracks[0].Events {
		if d := other.Tracks[0].Events[i].Data; d[0] == 0x90 || d[0] == 0x80 {
			d[1] = 21 + byte(math.Mod(float64(i*37), 13))
		}
	}
	_, err := learn.Takes(context.Background(), &learn.Config{Cast: cast(t, ""), Score: passage(), Takes: []*smf.File{other}, Names: []string{"other.mid"}})
	if !errors.Is(err, learn.ErrOther) || !strings.Contains(err.Error(), "other.mid") {
		t.Errorf("the error is %v, want one that names other.mid and says it is other music", err)
	}
}
