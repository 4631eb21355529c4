package expr

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// movesOf are the moves of one controller, as "at ms: value".
func movesOf(events []Event, number byte) string {
	var b strings.Builder
	for _, ev := range events {
		if ev.Len == 3 && ev.Msg[0] == 0xB0 && ev.Msg[1] == number {
			fmt.Fprintf(&b, "%d:%d ", ev.At.Milliseconds(), ev.Msg[2])
		}
	}
	return strings.TrimSpace(b.String())
}

// giving is a string section and a brass in one, whose controllers give way.
func giving() *Profile {
	p := violins()
	p.Player.Brightness, p.Player.BrightPerDB = trumpet().Player.Brightness, 0.85
	p.Player.Incoming = Incoming{Vibrato: GiveWay, Brightness: GiveWay}
	return p
}

// Who rides the wheel as dynamics keeps it: 40 stays 40 and 42 stays 42, and nothing of ours comes
// between.
func TestControllersGiveWay(t *testing.T) {
	in := []Event{
		cc(0, 1, 40), cc(0, 74, 70), on(0, 60, 112), off(900*ms, 60),
		cc(1000*ms, 1, 42), on(1000*ms, 62, 40), off(1900*ms, 62),
	}
	out := shape(t, giving(), 12, 3*time.Second, in...)
	if got := movesOf(out, 1); got != "0:40 1000:42" {
		t.Errorf("controller 1: %s", got)
	}
	if got := movesOf(out, 74); got != "0:70" {
		t.Errorf("controller 74: %s", got)
	}
	if got := movesOf(out, 11); got == "" {
		t.Error("the level gave way too")
	}
}

// What comes in where the controller rests is a set-up, and takes nothing from the players.
func TestRestIsNoUse(t *testing.T) {
	out := shape(t, giving(), 12, 3*time.Second, cc(0, 1, 0), cc(0, 74, 64), on(0, 60, 112), off(2*time.Second, 60))
	for _, n := range []byte{1, 74} {
		if got := movesOf(out, n); len(strings.Fields(got)) < 2 {
			t.Errorf("controller %d: %q, want it moved", n, got)
		}
	}
}

// From its first use on a controller is the notation program's; if that was expected, from the start.
func TestControllersGiveWayLater(t *testing.T) {
	in := []Event{on(0, 60, 112), cc(1500*ms, 1, 40), off(2*time.Second, 60), on(2*time.Second, 62, 112), off(4*time.Second, 62)}
	moves := strings.Fields(movesOf(shape(t, giving(), 12, 5*time.Second, in...), 1))
	if len(moves) < 3 || moves[len(moves)-1] != "1500:40" {
		t.Errorf("controller 1: %v, want ours, and then theirs alone", moves)
	}
	e := NewEngine(Config{Sides: Shaped})
	if err := e.Seat(0, 0, giving(), 12); err != nil {
		t.Fatal(err)
	}
	e.Expect(0, 0, 1)
	e.Expect(3, 0, 1)
	e.Expect(0, 0, 128)
	if got := movesOf(drive(e, in, 10*ms, time.Second), 1); got != "1500:40" {
		t.Errorf("expected, controller 1: %s", got)
	}
}

// The four ways in which a brightness meets one that comes in.
func TestBrightnessMeets(t *testing.T) {
	for _, c := range []struct {
		how  Combine
		want string
	}{
		{Replace, "0:68"},  // 0.85 dB a dB over mf, where 63 steps are 12 dB
		{Multiply, "0:79"}, // and 11 steps more
		{Leave, "0:75"},
		{GiveWay, "0:75"},
	} {
		p := giving()
		p.Sustain.K, p.Player.Incoming.Brightness = 0, c.how
		if got := movesOf(shape(t, p, 12, 0, cc(0, 74, 75), on(0, 60, 83)), 74); got != c.want {
			t.Errorf("%d: %s, want %s", c.how, got, c.want)
		}
	}
}

// The last word: a part that is made raw leaves on each controller what came in there.
func TestLettingGoLeavesWhatCameIn(t *testing.T) {
	p := giving()
	p.Player.Incoming = Incoming{}
	e := NewEngine(Config{Sides: Shaped})
	if err := e.Seat(0, 0, p, 12); err != nil {
		t.Fatal(err)
	}
	out := drive(e, []Event{cc(0, 1, 20), cc(0, 74, 75), on(0, 60, 112), off(2*time.Second, 60)}, 10*ms, 0)
	if err := e.Seat(0, 0, nil, 0); err != nil {
		t.Fatal(err)
	}
	out = append(out, drive(e, nil, 10*ms, 3*time.Second)...)
	for n, want := range map[byte]string{1: ":20", 74: ":75"} {
		if got := movesOf(out, n); !strings.HasSuffix(got, want) {
			t.Errorf("controller %d: %s, want %s at the end", n, got, want)
		}
	}
}
