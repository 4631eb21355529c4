package lesson

import (
	"math"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
)

// performance is the first half minute of the built-in score, and its sound after a change of its events.
func performance(t *testing.T, change func(*expr.Event)) (piece *offline.Timeline, sound *audition.Take) {
	t.Helper()
	piece, err := offline.NewTimeline(demo.BuiltIn().File, 0)
	if err != nil {
		t.Fatal(err)
	}
	const length = 30 * time.Second
	piece.Events, piece.End = excerpt(piece.Events, 0, length), length
	var parts []audition.Part
	for _, h := range piece.Hints {
		parts = append(parts, audition.Part{Port: h.Port, Channel: h.Channel, Instrument: "violin"})
	}
	events := make([]expr.Event, len(piece.Events))
	for i, e := range piece.Events {
		change(&e)
		events[i] = e
	}
	sound, err = audition.Render(t.Context(), parts, events, length+2*time.Second, nil)
	if err != nil {
		t.Fatal(err)
	}
	return piece, sound
}

// later is a sound that begins later, or if by is less than 0 lacks so much of its beginning.
func later(t *audition.Take, by time.Duration) *audition.Take {
	r := recorded{sound: t}
	length := time.Duration(float64(len(t.Left)) / audition.SampleRate * float64(time.Second))
	return r.cut(-by, length)
}

func TestFind(t *testing.T) {
	piece, sound := performance(t, func(*expr.Event) {})
	m := musicOf(piece)
	at, err := m.find(sound)
	if err != nil || at < 0 || at > 60*time.Millisecond { // an attack takes its time
		t.Fatalf("the music is found at %v, %v", at, err)
	}
	for _, by := range []time.Duration{1234 * time.Millisecond, 20 * time.Second, -2 * time.Second} {
		got, err := m.find(later(sound, by))
		if err != nil || (got-at-by).Abs() > 3*time.Millisecond {
			t.Errorf("%v later it is found at %v later, %v", by, got-at, err)
		}
	}
}

func TestFindRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*expr.Event)
		want   string
	}{
		"slower": {func(e *expr.Event) { e.At = e.At * 102 / 100 }, "s too late, so bars cannot be found in it"},
		"other": {func(e *expr.Event) {
			if e.IsNoteOn() || e.IsNoteOff() {
				e.Msg[1] += 6
			}
		}, "is not found in it"},
	} {
		piece, sound := performance(t, c.change)
		if at, err := musicOf(piece).find(sound); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: found at %v, error %v", name, at, err)
		}
	}
}

// A sine keeps its height and its level at another rate, and nothing comes beside it.
func TestResampled(t *testing.T) {
	for _, rate := range []int{44100, 96000} {
		x := make([]float32, rate)
		for i := range x {
			x[i] = float32(0.5 * math.Sin(2*math.Pi*5000*float64(i)/float64(rate)))
		}
		y := resampled(x, rate)
		if len(y) != audition.SampleRate {
			t.Errorf("from %d Hz: %d samples of a second", rate, len(y))
		}
		worst := 0.
		for i := 1000; i < len(y)-1000; i++ {
			worst = max(worst, math.Abs(float64(y[i])-0.5*math.Sin(2*math.Pi*5000*float64(i)/audition.SampleRate)))
		}
		if db := 20 * math.Log10(worst/0.5); db > -60 {
			t.Errorf("from %d Hz: off by %.0f dB", rate, db)
		}
	}
}
