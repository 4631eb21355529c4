package live_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports/portstub"
)

// In the files of these tests a quarter has 480 ticks and lasts half a second, a bar two seconds.
const (
	quarter = 480
	bar     = 4 * quarter
)

// quarters is that of a file of format 1.
func quarters(t *testing.T, end int64, tracks ...[]smf.Event) *offline.Timeline {
	t.Helper()
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: quarter}}
	for _, events := range tracks {
		f.Tracks = append(f.Tracks, smf.Track{Events: events, End: end})
	}
	tl, err := offline.NewTimeline(f, 0)
	if err != nil {
		t.Fatal(err)
	}
	return tl
}

// playing starts a daemon that is fed by nobody, on the raw side, and a player.
func playing(t *testing.T, tl *offline.Timeline, loop live.Loop) (*rig, *live.Player) {
	t.Helper()
	r := start(t, tl.Ports, func(c *live.Config) { c.Inputs = nil })
	p, err := live.NewPlayer(r.d, tl, loop)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.d.Switch(expr.Raw, nil); err != nil {
		t.Fatal(err)
	}
	return r, p
}

// listed writes messages with the milliseconds at which they were sent.
func listed(begun time.Time, msgs []portstub.Message) []string {
	var lines []string
	for _, m := range msgs {
		at := m.At.Sub(begun)
		if at%ms != 0 {
			lines = append(lines, fmt.Sprintf("%v % X", at, m.Data))
			continue
		}
		lines = append(lines, fmt.Sprintf("%d % X", at/ms, m.Data))
	}
	return lines
}

func wantLines(t *testing.T, got, want []string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("sent\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(want, "\n\t"))
	}
}

// A file plays at its exact times, each port on its own output; what is only the file's
// stays there, and system exclusive in packets is sent as one message.
func TestPlay(t *testing.T) {
	tl := quarters(t, 2*bar,
		[]smf.Event{
			at(0, 0xFF, 0x03, 'A'), at(0, 0xFF, 0x21, 0), at(0, 0xC0, 48),
			at(10, 0xF0, 1, 2), at(20, 0xF7, 3), at(30, 0xF7, 4, 0xF7),
			at(quarter, 0x90, 60, 80), at(2*quarter, 0x80, 60, 64),
			at(2*quarter, 0xFF, 0x06, 'x'),
			at(3*quarter, 0xF7, 0xF3, 5, 0xFA), // an escape: a song is selected and started
			at(4*quarter, 0xF0, 9, 0xF7),
			at(5*quarter, 0xF7, 7), // nothing: it goes on with what was not begun
		},
		[]smf.Event{
			at(0, 0xFF, 0x21, 1), at(quarter, 0x90, 43, 70), at(quarter+1, 0x80, 43, 0),
			at(bar, 0xFF, 0x51, 0x03, 0xD0, 0x90), // twice as fast from here on
			at(bar+quarter, 0xE0, 0, 65), at(2*bar, 0xE0, 0, 64),
		})
	synctest.Test(t, func(t *testing.T) {
		r, p := playing(t, tl, live.Loop{})
		if err := p.Play(t.Context()); err != nil {
			t.Fatal(err)
		}
		if d := time.Since(r.begun); d != 3*time.Second {
			t.Errorf("played for %v, want 3s", d)
		}
		wantLines(t, listed(r.begun, r.heard(1)), []string{
			"0 C0 30", "31.25ms F0 01 02 03 04 F7", "500 90 3C 50", "1000 80 3C 40",
			"1500 F3 05", "1500 FA", "2000 F0 09 F7",
		})
		wantLines(t, listed(r.begun, r.heard(2)), []string{
			"500 90 2B 46", "501.041667ms 80 2B 00", "2250 E0 00 41", "3000 E0 00 40",
		})
		if s := r.d.Status(); len(s.Warnings) != 0 || s.Position == nil || *s.Position != (live.Position{Bar: 2, Beat: 4 + 479.0/480}) {
			t.Errorf("position %+v, warnings %q", s.Position, s.Warnings)
		}
	})
}

// A loop begins with the state that what comes before it leaves, again in each round,
// and leaves no note and no pedal over from the round before.
func TestLoop(t *testing.T) {
	tl := quarters(t, 4*bar, []smf.Event{
		at(0, 0xC0, 48), at(0, 0xB0, 7, 90), at(0, 0xF0, 0x7E, 0x7F, 9, 1, 0xF7),
		at(0, 0x90, 50, 80), at(quarter, 0x80, 50, 64),
		at(quarter, 0xB0, 7, 80), at(quarter, 0xE0, 0, 70), at(quarter, 0xC0, 40),
		// the second bar
		at(bar, 0x90, 60, 80), at(bar+quarter, 0x80, 60, 64), at(bar+quarter, 0xB0, 7, 100),
		at(2*bar, 0xB0, 64, 127), at(3*bar-quarter, 0x90, 64, 80),
		// the fourth
		at(3*bar, 0x80, 64, 64), at(3*bar, 0xB0, 64, 0), at(3*bar, 0x90, 70, 80), at(4*bar, 0x80, 70, 64),
	})
	synctest.Test(t, func(t *testing.T) {
		r, p := playing(t, tl, live.Loop{First: 2, Last: 3})
		ctx, cancel := context.WithTimeout(t.Context(), 9*time.Second)
		defer cancel()
		if err := p.Play(ctx); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("Play: %v", err)
		}
		want := []string{"0 F0 7E 7F 09 01 F7"}
		for begin := range 3 {
			ms := begin * 4000
			want = append(want,
				fmt.Sprintf("%d C0 28", ms), fmt.Sprintf("%d B0 07 50", ms), fmt.Sprintf("%d B0 40 00", ms), fmt.Sprintf("%d E0 00 46", ms),
				fmt.Sprintf("%d 90 3C 50", ms), fmt.Sprintf("%d 80 3C 40", ms+500), fmt.Sprintf("%d B0 07 64", ms+500))
			if begin < 2 {
				want = append(want, fmt.Sprintf("%d B0 40 7F", ms+2000), fmt.Sprintf("%d 90 40 50", ms+3500), fmt.Sprintf("%d 80 40 40", ms+4000))
			}
		}
		wantLines(t, listed(r.begun, r.heard(1)), want)
	})
}

// A player that is stopped ends its notes; the position stays, and moves only in between.
func TestPlayStopped(t *testing.T) {
	tl := quarters(t, 8*bar, []smf.Event{at(0, 0x90, 60, 80), at(0, 0x90, 64, 80), at(8*bar, 0x80, 60, 64), at(8*bar, 0x80, 64, 64)})
	synctest.Test(t, func(t *testing.T) {
		r, p := playing(t, tl, live.Loop{})
		where := func(want live.Position) {
			t.Helper()
			if got := r.d.Status().Position; got == nil || *got != want {
				t.Errorf("position %+v, want %+v", got, want)
			}
		}
		pass(time.Second)
		where(live.Position{Bar: 1, Beat: 1})
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error)
		go func() { done <- p.Play(ctx) }()
		pass(7250 * ms) // nothing happens in the piece
		where(live.Position{Bar: 4, Beat: 3.5})
		if len(sounding(r.heard(1))) != 2 {
			t.Error("the notes do not sound")
		}
		cancel()
		if err := <-done; !errors.Is(err, context.Canceled) {
			t.Errorf("Play: %v", err)
		}
		pass(time.Second)
		where(live.Position{Bar: 4, Beat: 3.5})
		if got := r.heard(1); len(sounding(got)) != 0 || count(got, 0x80) != 2 {
			t.Errorf("sent %v", listed(r.begun, got))
		}
	})
}

// What cannot be played is refused before it starts.
func TestPlayerRefuses(t *testing.T) {
	two := quarters(t, 4*bar, []smf.Event{at(0, 0xFF, 0x21, 0), at(0, 0x90, 60, 80), at(4*bar, 0x80, 60, 64)}, []smf.Event{at(0, 0xFF, 0x21, 1), at(0, 0x90, 60, 80)})
	one := quarters(t, 4*bar, []smf.Event{at(0, 0x90, 60, 80), at(4*bar, 0x80, 60, 64)})
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, nil)
		for _, c := range []struct {
			tl   *offline.Timeline
			loop live.Loop
			why  string // empty: it is taken
		}{
			{one, live.Loop{}, ""},
			{one, live.Loop{First: 4, Last: 4}, ""},
			{one, live.Loop{First: 1, Last: 99}, ""},
			{one, live.Loop{First: 5, Last: 6}, "ends with bar 4, so it has no bar 5"},
			{one, live.Loop{First: 0, Last: 2}, "the first bar is 1"},
			{one, live.Loop{First: 3, Last: 2}, "bars 3–2"},
			{two, live.Loop{}, "2 ports"},
		} {
			_, err := live.NewPlayer(r.d, c.tl, c.loop)
			if (err == nil) != (c.why == "") || err != nil && !strings.Contains(err.Error(), c.why) {
				t.Errorf("loop %+v: %v, want %q", c.loop, err, c.why)
			}
		}
	})
}

// The shaped performance is played from the first note on by the file's own names.
func TestPlaySeats(t *testing.T) {
	tl := quarters(t, bar, []smf.Event{at(0, 0xFF, 0x03, 'H', 'o', 'r', 'n'), at(0, 0x90, 60, 80), at(bar, 0x80, 60, 64)})
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, func(c *live.Config) { c.Cast = &perform.Cast{Library: seated(t, seats).Library} })
		p, err := live.NewPlayer(r.d, tl, live.Loop{})
		if err != nil {
			t.Fatal(err)
		}
		if s := r.d.Status(); len(s.Parts) != 1 || s.Parts[0].Name != "Horn" || s.Parts[0].Profile != "horn" {
			t.Fatalf("parts %+v", s.Parts)
		}
		if err := p.Play(t.Context()); err != nil {
			t.Fatal(err)
		}
		got := r.heard(1)
		if s := r.d.Status(); s.Parts[0].Habits["marks"] != 1 || count(got, 0x90, 60) != 1 || count(got, 0x90, 60, 80) != 0 {
			t.Errorf("the note is not shaped: %v", listed(r.begun, got))
		}
		if !bytes.Equal(got[len(got)-1].Data, []byte{0x80, 60, 64}) {
			t.Errorf("the last is % X", got[len(got)-1].Data)
		}
	})
}

// at makes an event of a channel message or of system exclusive.
func at(tick int64, data ...byte) smf.Event { return smf.Event{Tick: tick, Data: data} }
