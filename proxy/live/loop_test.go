package live_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
)

// scale has a note at the beginning of each of six bars, which sounds for three quarters of it, and a
// controller that is at the bar's number from its middle on.
func scale(t *testing.T) *offline.Timeline {
	var events []smf.Event
	for i := range int64(6) {
		key := byte(60 + i)
		events = append(events, at(i*bar, 0x90, key, 80), at(i*bar+2*quarter, 0xB0, 7, byte(i+1)), at(i*bar+3*quarter, 0x80, key, 64))
	}
	return quarters(t, 6*bar, events)
}

// While a file plays, other bars can be asked for: music that is within them goes on to their end, other
// jumps to their beginning without a note left over, and controllers are brought to where they are there.
func TestSetLoop(t *testing.T) {
	note := func(at, n int) string { return fmt.Sprintf("%d 90 %X 50", at, 59+n) }
	off := func(at, n int) string { return fmt.Sprintf("%d 80 %X 40", at, 59+n) }
	volume := func(at, n int) string { return fmt.Sprintf("%d B0 07 %02X", at, n) }
	for name, c := range map[string]struct {
		first live.Loop
		after time.Duration
		then  live.Loop
		until time.Duration
		want  []string
		bar   int
	}{
		"to bars that it is in": {live.Loop{}, 2900 * ms, live.Loop{First: 2, Last: 2}, 6500 * ms, []string{
			note(0, 1), volume(1000, 1), off(1500, 1),
			note(2000, 2), volume(3000, 2), off(3500, 2),
			volume(4000, 1), note(4000, 2), volume(5000, 2), off(5500, 2),
			volume(6000, 1), note(6000, 2), off(6500, 2),
		}, 2},
		"to others": {live.Loop{}, 2400 * ms, live.Loop{First: 5, Last: 6}, 4 * time.Second, []string{
			note(0, 1), volume(1000, 1), off(1500, 1),
			note(2000, 2), off(2400, 2),
			volume(2400, 4), note(2400, 5), volume(3400, 5), off(3900, 5),
		}, 5},
		"on to the end": {live.Loop{First: 5, Last: 5}, 2900 * ms, live.Loop{}, time.Minute, []string{
			volume(0, 4), note(0, 5), volume(1000, 5), off(1500, 5),
			volume(2000, 4), note(2000, 5), volume(3000, 5), off(3500, 5),
			note(4000, 6), volume(5000, 6), off(5500, 6),
		}, 6},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r, p := playing(t, scale(t), c.first)
				ctx, cancel := context.WithTimeout(t.Context(), c.until)
				defer cancel()
				asked := make(chan error)
				go func() {
					time.Sleep(c.after) // in fake time
					for _, l := range []live.Loop{{First: 1, Last: 6}, c.then} {
						if err := r.d.SetLoop(l); err != nil {
							asked <- err
							return
						}
					}
					asked <- nil
				}()
				err := p.Play(ctx)
				if failed := <-asked; failed != nil {
					t.Fatal(failed)
				}
				if ends := c.then == (live.Loop{}); ends != (err == nil) || !ends && !errors.Is(err, context.DeadlineExceeded) {
					t.Errorf("Play: %v", err)
				}
				wantLines(t, listed(r.begun, r.heard(1)), c.want)
				s := r.d.Status()
				if s.Position == nil || s.Position.Bar != c.bar || s.Playing == nil || s.Playing.Bars != 6 {
					t.Errorf("position %+v, playing %+v", s.Position, s.Playing)
				}
				if loop := s.Playing.Loop; (loop == nil) != (c.then == live.Loop{}) || loop != nil && *loop != c.then {
					t.Errorf("it loops over %+v", loop)
				}
			})
		})
	}
}

func TestSetLoopErrors(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, nil)
		if err := r.d.SetLoop(live.Loop{First: 1, Last: 2}); err == nil || !strings.Contains(err.Error(), "what comes in live cannot be looped") {
			t.Errorf("live: %v", err)
		}
		played, _ := playing(t, scale(t), live.Loop{})
		for says, l := range map[string]live.Loop{
			"the piece ends with bar 6, so it has no bar 7": {First: 7, Last: 9},
			"the last is not before the first":              {First: 3, Last: 2},
		} {
			if err := played.d.SetLoop(l); err == nil || !strings.Contains(err.Error(), says) {
				t.Errorf("%+v: %v, want %s", l, err, says)
			}
		}
	})
}
