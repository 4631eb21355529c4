package demo

import (
	"bytes"
	"math"
	"slices"
	"testing"
	"time"
)

const ms = time.Millisecond

// moving is a small view in which everything moves that curves show.
func moving() View {
	v := small()
	v.Tempo = []Sample{{0, 104}, {1 * second, 98}, {2 * second, 101}, {3 * second, 72}}
	v.Parts[0].Late = []Sample{{0, 5}, {2 * second, -45}, {3 * second, 300}}
	v.Parts[1].Late = []Sample{{1 * second, 0}}
	v.Parts[1].Pedal = []Sample{{1 * second, 1}, {1500 * ms, 0}, {2 * second, 0.5}}
	return v
}

func TestCurves(t *testing.T) {
	var b bytes.Buffer
	if err := Curves(&b, moving()); err != nil {
		t.Fatal(err)
	}
	golden(t, "curves.svg", b.Bytes())
	d := parse(t, b.Bytes())
	for _, want := range []string{
		"Two bars: what moves", "tempo 72 to 104 %", "Violins", "starts −45 to +300 ms",
		"Tuba", "starts on time", "70 %", "100 %", "200 ms", "pedal",
	} {
		if !has(d.texts, want) {
			t.Errorf("the text %q is missing", want)
		}
	}
	if d.paths["pedal"] != 1 {
		t.Errorf("%d drawings of a pedal, want one part's", d.paths["pedal"])
	}
	if err := Curves(full{}, moving()); err == nil || err.Error() != "cannot write the curves: disk full" {
		t.Errorf("error %v", err)
	}
}

func TestCurvesOfNothing(t *testing.T) {
	var b bytes.Buffer
	if err := Curves(&b, View{}); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(b.Bytes(), []byte("NaN")) || bytes.Contains(b.Bytes(), []byte("Inf")) {
		t.Error("a coordinate is no number")
	}
	parse(t, b.Bytes())
}

func TestTempo(t *testing.T) {
	bars := []time.Duration{0, 2 * second, 4 * second}
	parts := []PartView{
		{Late: []Sample{{0, 0}, {1 * second, 10}, {2 * second, -10}, {3 * second, 100}}},
		{Late: []Sample{{1 * second, -10}, {2 * second, 10}, {3400 * ms, 900}}}, // the last is near no half bar
		{Late: []Sample{{5 * second, 600}}},
	}
	got := Tempo(parts, bars, 6*second)
	want := []Sample{{0, 100}, {1 * second, 100}, {2 * second, 100 / 1.1}, {3 * second, 100 * 2000 / 2500.}}
	same := func(a, b Sample) bool { return a.At == b.At && math.Abs(a.Value-b.Value) < 1e-9 }
	if !slices.EqualFunc(got, want, same) {
		t.Errorf("tempo %v, want %v", got, want)
	}
	if got := Tempo(nil, bars, 6*second); got != nil {
		t.Errorf("without notes the tempo is %v", got)
	}
}
