package live_test

import (
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/proxy/live"
	"swellbox/proxy/ports"
	"swellbox/proxy/ports/portstub"
)

// Who comes to a virtual port and who leaves it is logged, once each.
func TestComingAndGoingIsLogged(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 0, func(c *live.Config) {
			c.Inputs = []live.PortSpec{{Name: "strings in", Virtual: true}}
			c.Outputs = []live.PortSpec{{Name: "strings out", Virtual: true}}
		})
		for _, step := range []struct {
			port string
			n    int
			want string
		}{
			{"strings out", 1, "output connected; brought to the present state"},
			{"strings out", 0, "nobody listens to the output any more"},
			{"strings out", 2, "output connected; brought to the present state"},
			{"strings out", 1, ""},
			{"strings out", 0, "nobody listens to the output any more"},
			{"strings in", 1, "input connected"},
			{"strings in", 2, ""},
			{"strings in", 0, "nobody sends to the input any more"},
		} {
			before := r.log.String()
			r.sys.Listeners(step.port, step.n)
			pass(3 * time.Second)
			news := strings.TrimPrefix(r.log.String(), before)
			if step.want == "" && news != "" || !strings.Contains(news, step.want) || strings.Count(news, "\n") > 1 {
				t.Errorf("with %d at %s the log says %q, want %q", step.n, step.port, news, step.want)
			}
		}
	})
}

// talking is a driver that says one thing.
type talking struct {
	*portstub.System
	words []string
}

func (s *talking) Said() (words []string) {
	words, s.words = s.words, nil
	return words
}

func TestWhatTheDriverSaysIsLogged(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, func(c *live.Config) {
			c.System = &talking{c.System.(*portstub.System), []string{"MIDI that came in was lost"}}
		})
		pass(3 * time.Second)
		if got := r.log.String(); strings.Count(got, "MIDI that came in was lost") != 1 || !strings.Contains(got, `"level":"warn"`) {
			t.Errorf("the log says %q", got)
		}
	})
}

// slowLook is a driver whose answer of who is connected to an input is old when it is used.
type slowLook struct {
	*portstub.System
	meanwhile func() // what happens after the look
}

type slowIn struct {
	ports.In
	s *slowLook
}

func (s *slowLook) OpenIn(name string, virtual bool, receive func([]byte)) (ports.In, error) {
	in, err := s.System.OpenIn(name, virtual, receive)
	return &slowIn{in, s}, err
}

func (in *slowIn) Connected() (n int, known bool) {
	n, known = in.In.(ports.Watcher).Connected()
	if n == 0 && in.s.meanwhile != nil {
		in.s.meanwhile()
		in.s.meanwhile = nil
	}
	return n, known
}

// A sender goes, and before what it left is ended another comes and plays: its notes stay, and what
// the first one left is ended when all have gone.
func TestNextSenderIsNotTakenForTheLast(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var sys *slowLook
		r := start(t, 1, func(c *live.Config) {
			sys = &slowLook{System: c.System.(*portstub.System)}
			c.System, c.Inputs = sys, []live.PortSpec{{Name: "in", Virtual: true}}
		})
		r.sys.Listeners("in", 1)
		pass(time.Second)
		sys.meanwhile = func() {
			r.sys.Listeners("in", 1)
			r.sys.Feed("in", 0x90, 60, 90)
		}
		r.sys.Listeners("in", 0)
		pass(2 * time.Second)
		if got := r.heard(1); count(got, 0x90, 60) != 1 || count(got, 0x80, 60) != 0 {
			t.Errorf("a note of the next sender: heard %v", got)
		}
		r.sys.Listeners("in", 0)
		pass(time.Second)
		if left := sounding(r.heard(1)); len(left) != 0 {
			t.Errorf("%v sound after all have gone", left)
		}
	})
}

// What a sender said before it went may come a little after; its notes end once.
func TestLastWordsOfASender(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, func(c *live.Config) { c.Inputs = []live.PortSpec{{Name: "in", Virtual: true}} })
		r.sys.Listeners("in", 1)
		pass(time.Second)
		r.sys.Feed("in", 0x90, 60, 90)
		r.sys.Feed("in", 0x90, 64, 90)
		r.sys.Listeners("in", 0)
		pass(600 * ms)
		r.sys.Feed("in", 0x80, 60, 64)
		pass(2 * time.Second)
		if got := r.heard(1); count(got, 0x80, 60) != 1 || count(got, 0x80, 64) != 1 {
			t.Errorf("two notes, of which one was left: heard %v", got)
		}
	})
}

// What came in was lost because this machine was too busy to take it, a note-off perhaps: what
// sounds of that input ends, once, and the other input plays on.
func TestNotesEndAfterAnOverrun(t *testing.T) {
	for _, lookahead := range []time.Duration{0, 800 * ms} {
		t.Run(lookahead.String(), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, 2, ahead(lookahead))
				r.feed(1, 0xFA)
				pass(2 * time.Second)
				r.feed(1, 0xB0, 64, 127)
				r.feed(1, 0x90, 60, 90)
				r.feed(2, 0x90, 64, 90)
				r.sys.Overrun(in(1), 3)
				pass(1100 * ms)
				r.sys.Overrun(in(1), 1)
				pass(lookahead + 2*time.Second)
				if got := r.heard(1); count(got, 0x90, 60) != 1 || count(got, 0x80, 60) != 1 || last(got, 0, 64) != 0 {
					t.Errorf("a note of the input that lost something: heard %v", got)
				}
				if got := r.heard(2); count(got, 0x90, 64) != 1 || count(got, 0x80, 64) != 0 {
					t.Errorf("a note of the other input: heard %v", got)
				}
				log := r.log.String()
				if strings.Count(log, "messages that came in were lost") != 2 || !strings.Contains(log, `"input":"in 1","messages":3`) {
					t.Errorf("the log:\n%s", log)
				}
				r.feed(1, 0x90, 67, 90)
				pass(lookahead + 2*time.Second)
				if got := r.heard(1); count(got, 0x80, 67) != 0 {
					t.Errorf("a note long after the loss is ended: heard %v", got)
				}
			})
		})
	}
}
