package engine

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// movesOf are the moves of one controller, as "at ms: value".
func movesOf(events []expr.Event, number byte) string {
	var b strings.Builder
	for _, ev := range events {
		if ev.Len == 3 && ev.Msg[0] == 0xB0 && ev.Msg[1] == number {
			fmt.Fprintf(&b, "%d:%d ", ev.At.Milliseconds(), ev.Msg[2])
		}
	}
	return strings.TrimSpace(b.String())
}

// giving is a string section and a brass in one, whose controllers give way.
func giving() *expr.Profile {
	p := exprtest.Violins()
	p.Sampler.Brightness, p.Sampler.BrightPerDB = exprtest.Trumpet().Sampler.Brightness, 0.85
	p.Sampler.Incoming = expr.Incoming{Vibrato: expr.GiveWay, Brightness: expr.GiveWay}
	return p
}

// Who rides the wheel as dynamics keeps it: 40 stays 40 and 42 stays 42, and nothing of ours comes
// between.
func TestControllersGiveWay(t *testing.T) {
	in := []expr.Event{
		exprtest.CC(0, 1, 40), exprtest.CC(0, 74, 70), exprtest.On(0, 60, 112), exprtest.Off(900*exprtest.Thousandth, 60),
		exprtest.CC(1000*exprtest.Thousandth, 1, 42), exprtest.On(1000*exprtest.Thousandth, 62, 40), exprtest.Off(1900*exprtest.Thousandth, 62),
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
	out := shape(t, giving(), 12, 3*time.Second, exprtest.CC(0, 1, 0), exprtest.CC(0, 74, 64), exprtest.On(0, 60, 112), exprtest.Off(2*time.Second, 60))
	for _, n := range []byte{1, 74} {
		if got := movesOf(out, n); len(strings.Fields(got)) < 2 {
			t.Errorf("controller %d: %q, want it moved", n, got)
		}
	}
}

// From its first use on a controller is the notation program's; if that was expected, from the start.
func TestControllersGiveWayLater(t *testing.T) {
	in := []expr.Event{exprtest.On(0, 60, 112), exprtest.CC(1500*exprtest.Thousandth, 1, 40), exprtest.Off(2*time.Second, 60), exprtest.On(2*time.Second, 62, 112), exprtest.Off(4*time.Second, 62)}
	moves := strings.Fields(movesOf(shape(t, giving(), 12, 5*time.Second, in...), 1))
	if len(moves) < 3 || moves[len(moves)-1] != "1500:40" {
		t.Errorf("controller 1: %v, want ours, and then theirs alone", moves)
	}
	e := usual(Config{Sides: expr.Shaped})
	if err := e.Seat(0, 0, giving(), 12); err != nil {
		t.Fatal(err)
	}
	e.Expect(0, 0, 1)
	e.Expect(3, 0, 1)
	e.Expect(0, 0, 128)
	if got := movesOf(drive(e, in, 10*exprtest.Thousandth, time.Second), 1); got != "1500:40" {
		t.Errorf("expected, controller 1: %s", got)
	}
}

// The four ways in which a brightness meets one that comes in.
func TestBrightnessMeets(t *testing.T) {
	for _, c := range []struct {
		how  expr.Combine
		want string
	}{
		{expr.Replace, "0:68"},  // 0.85 dB a dB over mf, where 63 steps are 12 dB
		{expr.Multiply, "0:79"}, // and 11 steps more
		{expr.Leave, "0:75"},
		{expr.GiveWay, "0:75"},
	} {
		p := giving()
		p.Amounts.Set("bloom", 0)
		p.Sampler.Incoming.Brightness = c.how
		if got := movesOf(shape(t, p, 12, 0, exprtest.CC(0, 74, 75), exprtest.On(0, 60, 83)), 74); got != c.want {
			t.Errorf("%d: %s, want %s", c.how, got, c.want)
		}
	}
}

// The last word: a part that is made raw leaves on each controller what came in there.
func TestLettingGoLeavesWhatCameIn(t *testing.T) {
	p := giving()
	p.Sampler.Incoming = expr.Incoming{}
	e := usual(Config{Sides: expr.Shaped})
	if err := e.Seat(0, 0, p, 12); err != nil {
		t.Fatal(err)
	}
	out := drive(e, []expr.Event{exprtest.CC(0, 1, 20), exprtest.CC(0, 74, 75), exprtest.On(0, 60, 112), exprtest.Off(2*time.Second, 60)}, 10*exprtest.Thousandth, 0)
	if err := e.Seat(0, 0, nil, 0); err != nil {
		t.Fatal(err)
	}
	out = append(out, drive(e, nil, 10*exprtest.Thousandth, 3*time.Second)...)
	for n, want := range map[byte]string{1: ":20", 74: ":75"} {
		if got := movesOf(out, n); !strings.HasSuffix(got, want) {
			t.Errorf("controller %d: %s, want %s at the end", n, got, want)
		}
	}
}
