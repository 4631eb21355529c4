package channels

import (
	"fmt"
	"slices"
	"testing"

	"swellbox/expr"
)

// said is the state after some controllers, each a number and a value.
func said(reset func(int) int, controllers ...[2]int) *State {
	s := &State{}
	s.Clear(reset)
	for _, c := range controllers {
		s.Control(c[0], c[1])
	}
	return s
}

// heard are the messages that Each says.
func heard(s *State) (all []string) {
	s.Each(func(status, d1, d2 byte) { all = append(all, fmt.Sprintf("%X %d %d", status, d1, d2)) })
	return all
}

// "Reset all controllers" does to each controller what RP-015 says.
func TestReset(t *testing.T) {
	kept := map[int]bool{0: true, 32: true, 7: true, 39: true, 10: true, 42: true, 91: true, 92: true, 93: true, 94: true, 95: true}
	for n := 70; n <= 79; n++ {
		kept[n] = true
	}
	rests := map[int]int{11: 127, 8: 64} // all others that are reset: 0
	for n := range number {
		for name, reset := range map[string]func(int) int{"unsaid": Back, "at rest": expr.Rest} {
			s := said(reset, [2]int{n, 33}, [2]int{expr.CCReset, 0})
			want := rests[n]
			switch {
			case kept[n]:
				want = 33
			case name == "unsaid":
				want = expr.Unknown
			}
			if got := s.Said(n); got != want {
				t.Errorf("%s: controller %d stands at %d after a reset, want %d", name, n, got, want)
			}
		}
	}
	s := said(expr.Rest, [2]int{101, 0}, [2]int{100, 0}, [2]int{6, 12})
	for _, m := range [][]byte{{0xE0, 1, 2}, {0xD0, 9}, {0xC0, 40}} {
		e := expr.Short(0, 0, m...)
		s.Take(&e)
	}
	s.Reset()
	if got := fmt.Sprint(s.Bend(), s.Program(), s.pressure); got != "8192 40 0" {
		t.Errorf("bend, program and pressure are %s after a reset", got)
	}
	if semitones, _, said := s.BendRange(); semitones != 12 || !said {
		t.Errorf("the bend reaches %d after a reset, want 12: the values of parameters stay", semitones)
	}
	s.Control(6, 3)
	if semitones, _, _ := s.BendRange(); semitones != 12 {
		t.Error("a parameter is selected after a reset")
	}
}

// An MSB sets its LSB to 0, and says so only where an LSB has been said (MIDI 1.0).
func TestMSBResetsLSB(t *testing.T) {
	for n := range 32 {
		want := 0
		if n == expr.CCBank || n == expr.CCDataMSB {
			want = 5
		}
		if got := said(Back, [2]int{n + 32, 5}, [2]int{n, 64}).Said(n + 32); got != want {
			t.Errorf("the LSB of controller %d is %d after its MSB, want %d", n, got, want)
		}
		if got := said(Back, [2]int{n, 64}).Said(n + 32); got != expr.Unknown {
			t.Errorf("the LSB of controller %d is %d, which nobody has said", n, got)
		}
	}
	for _, c := range []struct {
		controllers [][2]int
		fine        int
		said        bool
	}{
		{nil, 0, false}, {[][2]int{{43, 5}}, 5, false}, {[][2]int{{11, 100}}, 100 << 7, true},
		{[][2]int{{11, 100}, {43, 5}}, 100<<7 | 5, true}, {[][2]int{{11, 100}, {43, 5}, {11, 99}}, 99 << 7, true},
	} {
		if fine, is := said(Back, c.controllers...).Fine(11); fine != c.fine || is != c.said {
			t.Errorf("%v: controller 11 stands at %d, %t, want %d", c.controllers, fine, is, c.fine)
		}
	}
}

// The bend's range is set by RPN 0 alone, whatever else is selected before or after (MIDI 1.0).
func TestBendRange(t *testing.T) {
	for _, c := range []struct {
		name             string
		controllers      [][2]int
		semitones, cents int
		said             bool
	}{
		{"nothing", nil, 2, 0, false},
		{"data without a parameter", [][2]int{{6, 12}}, 2, 0, false},
		{"range", [][2]int{{101, 0}, {100, 0}, {6, 12}, {38, 50}}, 12, 50, true},
		{"range by its cents alone", [][2]int{{101, 0}, {100, 0}, {38, 50}}, 2, 50, true},
		{"its semitones set its cents to 0", [][2]int{{101, 0}, {100, 0}, {6, 12}, {38, 50}, {6, 7}}, 7, 0, true},
		{"another parameter", [][2]int{{101, 0}, {100, 1}, {6, 12}}, 2, 0, false},
		{"none", [][2]int{{101, 0}, {100, 0}, {101, 127}, {100, 127}, {6, 12}}, 2, 0, false},
		{"one that is not registered", [][2]int{{99, 0}, {98, 0}, {6, 12}}, 2, 0, false},
		{"one after the other", [][2]int{{101, 0}, {100, 0}, {99, 1}, {98, 0}, {6, 12}}, 2, 0, false},
		{"half of a number after the other kind", [][2]int{{99, 0}, {98, 0}, {100, 0}, {6, 12}}, 2, 0, false},
		{"back again", [][2]int{{99, 1}, {98, 0}, {101, 0}, {100, 0}, {6, 12}}, 12, 0, true},
	} {
		semitones, cents, is := said(Back, c.controllers...).BendRange()
		if semitones != c.semitones || cents != c.cents || is != c.said {
			t.Errorf("%s: %d semitones and %d cents, %t; want %d and %d, %t", c.name, semitones, cents, is, c.semitones, c.cents, c.said)
		}
	}
}

// What is selected stays so when a range is said, of whichever kind it is.
func TestEach(t *testing.T) {
	s := said(expr.Rest, [2]int{7, 90}, [2]int{0, 1}, [2]int{32, 2}, [2]int{101, 0}, [2]int{100, 0}, [2]int{6, 12}, [2]int{99, 3}, [2]int{98, 4})
	for _, m := range [][]byte{{0xC0, 40}, {0xE0, 0, 64}, {0xD0, 9}} {
		e := expr.Short(0, 0, m...)
		s.Take(&e)
	}
	want := []string{
		"B0 0 1", "B0 32 2", "C0 40 0", "B0 7 90",
		"B0 101 0", "B0 100 0", "B0 6 12", "B0 38 0", "B0 99 3", "B0 98 4", "E0 0 64", "D0 9 0",
	}
	if got := heard(s); !slices.Equal(got, want) {
		t.Errorf("said %q, want %q", got, want)
	}
	again := &State{}
	again.Clear(expr.Rest)
	s.Each(func(status, d1, d2 byte) {
		e := expr.Short(0, 0, status, d1, d2)
		again.Take(&e)
	})
	if !slices.Equal(heard(again), want) || !again.Same(s) {
		t.Errorf("a sampler that was told has %q", heard(again))
	}
	if fresh := said(expr.Rest); len(heard(fresh)) != 0 {
		t.Errorf("of nothing, %q is said", heard(fresh))
	}
}

// What one state has moved and another has not goes back to where it rests.
func TestSettle(t *testing.T) {
	moved := said(expr.Rest, [2]int{1, 90}, [2]int{11, 20}, [2]int{7, 3}, [2]int{101, 0}, [2]int{100, 0}, [2]int{6, 12})
	s := said(expr.Rest, [2]int{7, 55})
	s.Settle(moved)
	if got := fmt.Sprint(s.Said(1), s.Said(11), s.Said(7), s.Said(64)); got != "0 127 55 -1" {
		t.Errorf("controllers 1, 11, 7 and 64 stand at %s", got)
	}
	if semitones, cents, said := s.BendRange(); semitones != 2 || cents != 0 || !said {
		t.Errorf("the bend reaches %d semitones and %d cents, said %t", semitones, cents, said)
	}
}
