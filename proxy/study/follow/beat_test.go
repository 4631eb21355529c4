package follow

import (
	"testing"

	"swellbox/expr"
)

// march is a march in 4/4: a bass on one and three, chords on two and four, a tune in eighths.
func march(bars int) *expr.Score {
	s := &expr.Score{}
	for b := range bars {
		start := float64(4 * b)
		s.Bars = append(s.Bars, expr.Bar{At: seconds(start / 2), Beat: start, Number: b + 1, Beats: 4, Unit: 4})
		add := func(beat float64, keys ...uint8) {
			for _, k := range keys {
				s.Notes = append(s.Notes, expr.Written{On: seconds((start + beat) / 2), Off: seconds((start + beat + .4) / 2), Beat: start + beat, Length: .4, Key: k})
			}
		}
		root := []uint8{36, 41, 43, 36}[b%4]
		for i := range 4 {
			if i%2 == 0 {
				add(float64(i), root, 72+uint8(2*i))
			} else {
				add(float64(i), root+12, root+16, root+19, 71)
			}
			add(float64(i)+.5, 74+uint8(i))
		}
	}
	return s
}

// What is told of plain music is right, and what is told of it half a beat late is wrong.
func TestListen(t *testing.T) {
	m := ScoreMusic(march(24), 1)
	if b := Listen(m); F(b.Written, b.Told, b.Right) < 0.95 || b.Found != 1 {
		t.Errorf("a march: %+v", b)
	}
	for i := range m.Beats {
		m.Beats[i] += 0.25
	}
	if b := Listen(m); b.Right != 0 || b.Written == 0 {
		t.Errorf("a march held against beats between its own: %+v", b)
	}
}

// The counts of six told beats are worked out by hand: 5 s are left out, 70 ms are near.
func TestJudge(t *testing.T) {
	m := &Music{Onsets: []Onset{{At: 0}, {At: 12}}, Beats: []float64{4, 6, 7, 8, 9, 10}, Downs: []float64{6, 10}}
	b := m.judge([]told{
		{at: 4, sure: 1, period: 1, down: true}, // before it counts
		{at: 6.06, sure: .9, period: 1, down: true},
		{at: 7.08, sure: .9, period: 1}, // late
		{at: 8, sure: .5, period: 1, down: true},
		{at: 9, sure: .5, period: 1}, {at: 9.01, sure: .5, period: 1}, // one beat is met once
	})
	want := Beats{Written: 5, Told: 5, Right: 3, WrittenDowns: 2, ToldDowns: 2, RightDowns: 1, Sure: 2, SureRight: 1, Pieces: 1, Found: 1}
	if b != want {
		t.Errorf("counted %+v, want %+v", b, want)
	}
}

// In 6/8 a beat is three eighths; an upbeat has the last beats of its bar.
func TestGrid(t *testing.T) {
	s := &expr.Score{Bars: []expr.Bar{{Beat: 0, Beats: 6, Unit: 8}, {Beat: 1.5, Beats: 6, Unit: 8}, {Beat: 4.5, Beats: 3, Unit: 4}}}
	want := []gridBeat{{0, false}, {1.5, true}, {3, false}, {4.5, true}, {5.5, false}, {6.5, false}}
	got := gridOf(s)
	if len(got) != len(want) {
		t.Fatalf("beats %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("beat %d is %v, want %v", i, got[i], want[i])
		}
	}
}
