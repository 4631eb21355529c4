package control

import (
	"fmt"

	"swellbox/proxy/live"
)

// LoopRequest is the body of POST /loop: bars from 1, both included; both 0 to play on to the end.
type LoopRequest = live.Loop

var loopCommand = steering(Command{
	Name:  "loop",
	Short: "choose which bars the running swellbox play plays over and over",
	Long: `loop has a file that swellbox play plays go over some bars again and again, such as 5-8, to compare raw and
shaped there; off plays on to the end of the piece. Music that is in those bars already goes on, other jumps to their
beginning.`,
	Takes: Arguments{Usage: "BARS|off", One: "the bars, such as 5-8, or off"},
	Said: func(s *live.Status) string {
		if s.Playing == nil || s.Playing.Loop == nil {
			return "playing on to the end"
		}
		return fmt.Sprintf("playing bars %d–%d over and over", s.Playing.Loop.First, s.Playing.Loop.Last)
	},
}, func(args []string) (*LoopRequest, error) {
	if args[0] == "off" {
		return &LoopRequest{}, nil
	}
	l, err := ParseLoop(args[0])
	return &l, err
}, func(d looper, req *LoopRequest) error { return d.SetLoop(*req) })

type looper interface{ SetLoop(l live.Loop) error }

var _ looper = (*live.Daemon)(nil)

// SetLoop chooses the bars that are played over and over; the zero Loop plays on to the end.
func (c *Client) SetLoop(l live.Loop) (live.Status, error) { return c.Ask(&loopCommand, l) }

// ParseLoop reads a first and a last bar, such as 5-8, or one bar.
func ParseLoop(bars string) (l live.Loop, err error) {
	if n, err := fmt.Sscanf(bars, "%d-%d", &l.First, &l.Last); err == nil && n == 2 && fmt.Sprintf("%d-%d", l.First, l.Last) == bars {
		return l, nil
	}
	if n, err := fmt.Sscanf(bars, "%d", &l.First); err == nil && n == 1 && l.First > 0 && fmt.Sprint(l.First) == bars {
		l.Last = l.First
		return l, nil
	}
	return live.Loop{}, fmt.Errorf("expected a first and a last bar, such as 5-8, found %q", bars)
}
