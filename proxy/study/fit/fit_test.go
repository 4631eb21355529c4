package fit

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// made is a study of pieces whose target is known: 0.5 of the first term, -0.25 of the second, nothing of
// the third, and noise.
func made(pieces int) *Study {
	r := rand.New(rand.NewPCG(1, 2))
	s := &Study{Names: []string{"notes: one", "marks: two", "notes: three"}}
	for k := range pieces {
		x := &Sample{Name: fmt.Sprintf("piece %02d", k), Weight: 1}
		n := 60
		for range s.Names {
			v, mean := make([]float32, n), float32(0)
			for i := range v {
				v[i] = float32(r.NormFloat64())
				mean += v[i] / float32(n)
			}
			for i := range v {
				v[i] -= mean
			}
			x.Terms = append(x.Terms, v)
		}
		for i := range n {
			x.Target = append(x.Target, 0.5*float64(x.Terms[0][i])-0.25*float64(x.Terms[1][i])+0.3*r.NormFloat64())
		}
		s.Samples = append(s.Samples, x)
		s.Takes = append(s.Takes, [][]float64{x.Target})
	}
	return s
}

func TestFitFindsWhatWasPutIn(t *testing.T) {
	r, err := made(40).Fit(Options{Penalty: 0.001, Least: 2.5})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.5, -0.25, 0} {
		if got := r.Weights[i]; math.Abs(got-want) > 0.03 || math.Abs(got-want) > 5*r.Errors[i]+1e-9 {
			t.Errorf("term %d weighs %.3f ± %.3f, want %g", i, got, r.Errors[i], want)
		}
	}
	if want := math.Sqrt(0.3125 / 0.4025); math.Abs(r.Agreement-want) > 0.03 {
		t.Errorf("works left out agree by %.3f, want %.3f", r.Agreement, want)
	}
}

func TestFitIsDeterministic(t *testing.T) {
	table := func() []byte {
		s := made(30)
		r, err := s.Fit(Options{Penalty: 0.01})
		if err != nil {
			t.Fatal(err)
		}
		b, err := source("x", "table is.\n\nMore.", s.Names, r, r)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	a, b := table(), table()
	if !bytes.Equal(a, b) || !strings.Contains(string(a), "// marks: two\n") {
		t.Errorf("two fits of the same data make\n%s\n%s", a, b)
	}
}

func TestTermsThatMayNotBeUsedWeighNothing(t *testing.T) {
	r, err := made(30).Fit(Options{Penalty: 0.01, Use: fromNotes})
	if err != nil {
		t.Fatal(err)
	}
	if r.Weights[1] != 0 || r.Weights[0] == 0 {
		t.Errorf("weights are %v, want none for what is marked", r.Weights)
	}
}

func TestNothingToFit(t *testing.T) {
	s := &Study{Names: []string{"one"}}
	if _, err := s.Fit(Options{Penalty: 1}); err == nil {
		t.Error("no piece, and no error")
	}
}

// No part of a work is in the fit that is held against another.
func TestWorksAreLeftOutWhole(t *testing.T) {
	for _, same := range [][]string{
		{"a/Sonatas--8-1", "a/Sonatas--8-2", "a/Sonatas--8-2_no_repeat"},
		{"a/Prelude--bwv_846", "a/Fugue--bwv_846"},
		{"b/kv280_1", "b/kv280_3"},
		{"Symphony_Op.67_1", "Symphony_Op.67_4"},
		{"a/Toccata", "a/Toccata_repeat"},
	} {
		for _, name := range same[1:] {
			if work(name) != work(same[0]) {
				t.Errorf("%q is of %q, and %q of %q", same[0], work(same[0]), name, work(name))
			}
		}
	}
	for _, other := range [][2]string{{"a/Sonatas--8-1", "a/Sonatas--18-1"}, {"a/Etudes_op_10--1", "a/Etudes_op_25--1"}, {"b/kv280_1", "b/kv281_1"}} {
		if work(other[0]) == work(other[1]) {
			t.Errorf("%q and %q are both of %q", other[0], other[1], work(other[0]))
		}
	}
}

// A term that is the same at every place, but for the last digits of its sums, weighs nothing.
func TestRoundingIsNoReason(t *testing.T) {
	s := made(30)
	s.Names = append(s.Names, "notes: four")
	for k, x := range s.Samples {
		v := make([]float32, len(x.Target))
		for i := range v {
			v[i] = float32(i%3+k%2) * 1e-16
		}
		x.Terms = append(x.Terms, v)
	}
	r, err := s.Fit(Options{Penalty: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	if r.Weights[3] != 0 {
		t.Errorf("a term that does not vary weighs %g", r.Weights[3])
	}
}
