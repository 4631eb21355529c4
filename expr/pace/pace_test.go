package pace

import (
	"math"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
)

// piece is a piece of bars of four quarter notes at 120 a minute: a melody over a bass note a bar, with
// rests and long notes so that its terms vary.
func piece(bars int) *expr.Score {
	s := &expr.Score{Parts: []string{"Piano"}}
	at := func(b float64) time.Duration { return time.Duration(b * float64(time.Second) / 2) }
	add := func(beat, length float64, key int, marks expr.Marks) {
		s.Notes = append(s.Notes, expr.Written{On: at(beat), Off: at(beat + length), Beat: beat, Length: length, Key: uint8(key), Marks: marks})
	}
	for k := range bars {
		b := float64(4 * k)
		s.Bars = append(s.Bars, expr.Bar{At: at(b), Beat: b, Number: k + 1, Beats: 4, Unit: 4})
		add(b, 3, 40+5*(k%3), 0)
		for i := range 6 {
			if k%4 == 3 && i > 2 {
				break
			}
			add(b+float64(i)/2, 0.5, 60+(i*5+k*7)%19, 0)
		}
	}
	end := float64(4 * bars)
	add(end, 4, 48, 0)
	s.End = at(end + 4)
	return s
}

func TestTermsHaveTheTablesNames(t *testing.T) {
	if n := len(Read(piece(16)).Terms()); n != len(table) {
		t.Fatalf("there are %d terms, and the table has %d: fit anew", n, len(table))
	}
}

func TestTermsAreAboutTheirMeans(t *testing.T) {
	for _, term := range Read(piece(24)).Terms() {
		sum := 0.0
		for _, x := range term.Values {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%s: a term is %v", term.Name, x)
			}
			sum += x
		}
		if math.Abs(sum) > 1e-6 {
			t.Errorf("%s: the terms have the sum %v, want 0", term.Name, sum)
		}
	}
}

func at(beats []Beat, beat int) float64 { return beats[beat].Log }

func TestPlayersSlowDownToTheEnd(t *testing.T) {
	c := Curve(piece(32))
	n := len(c)
	if n != 128 {
		t.Fatalf("%d beats, want 128", n)
	}
	if end := at(c, n-1); end < 0.15 || end > mostLonger {
		t.Errorf("the last beat is longer by %.2f (log), want 0.15 to %v", end, mostLonger)
	}
	if at(c, n-1) <= at(c, n-8) {
		t.Errorf("the last beat (%.2f) is no longer than one two bars before (%.2f)", at(c, n-1), at(c, n-8))
	}
	if c[n-1].Inner >= c[n-1].Log {
		t.Errorf("without the end of the piece the last beat is no shorter: %.2f and %.2f", c[n-1].Inner, c[n-1].Log)
	}
}

func TestWordsAndFermatasRule(t *testing.T) {
	for name, make := range map[string]func() *expr.Score{
		"piano":     func() *expr.Score { return piece(32) },
		"orchestra": func() *expr.Score { return band(orchestraParts, 32) },
	} {
		plain := make()
		plain.Signs = []expr.Sign{{Beat: 0, Kind: expr.Dynamic, Value: 80}}
		before := Curve(plain)
		s := make()
		s.Signs = []expr.Sign{{Beat: 0, Kind: expr.Dynamic, Value: 80}, {Beat: 60, Kind: expr.SlowDown}, {Beat: 64, Kind: expr.PaceBack}}
		for i := range s.Notes {
			if s.Notes[i].Beat == 100 {
				s.Notes[i].Marks |= expr.Fermata
			}
		}
		after := Curve(s)
		if d := at(after, 62) - at(before, 62); d < 0.1 {
			t.Errorf("%s: a beat under a ritardando is longer by %.2f (log) than without, want 0.1 at least", name, d)
		}
		if d := at(after, 100) - at(before, 100); d < 0.2 {
			t.Errorf("%s: a beat with a fermata is longer by %.2f (log) than without, want 0.2 at least", name, d)
		}
	}
}

func TestNoSecondRitard(t *testing.T) {
	s := piece(32)
	for i := range s.Notes { // somebody has written a ritard over the last two bars
		n := &s.Notes[i]
		slow := func(b float64) time.Duration {
			return time.Duration((b + max(b-120, 0)*0.6) * float64(time.Second) / 2)
		}
		n.On, n.Off = slow(n.Beat), slow(n.Beat+n.Length)
	}
	c := Curve(s)
	for i := 121; i < len(c); i++ {
		if c[i].Log > 0.001 {
			t.Errorf("beat %d is written slower, and is slowed down by %.2f (log) more", i, c[i].Log)
		}
	}
}

func TestNoBeats(t *testing.T) {
	for name, s := range map[string]*expr.Score{
		"empty":     {},
		"one note":  {Notes: piece(1).Notes[:1]},
		"one chord": {Notes: []expr.Written{{Key: 60, Length: 1, Off: time.Second}, {Key: 64, Length: 1, Off: time.Second}}},
		"no number": {Notes: []expr.Written{{Key: 60, Beat: math.NaN(), Length: 1}, {Key: 62, Beat: math.Inf(1), Length: 1}, {Key: 62, Beat: 1, Length: 1}}},
		"far":       {Notes: []expr.Written{{Key: 60, Length: 1}, {Key: 62, Beat: 1e12, On: time.Hour, Length: 1}}},
	} {
		if c := Curve(s); c != nil {
			t.Errorf("%s: %d beats, want none", name, len(c))
		}
	}
}

func BenchmarkCurve(b *testing.B) {
	s := piece(2000)
	b.ReportAllocs()
	for b.Loop() {
		Curve(s)
	}
	b.ReportMetric(float64(len(s.Notes))*float64(b.N)/b.Elapsed().Seconds(), "notes/s")
}

// band is a piece that so many parts play, none of which ever rests.
func band(parts, bars int) *expr.Score {
	s := &expr.Score{}
	at := func(b float64) time.Duration { return time.Duration(b * float64(time.Second) / 2) }
	for k := range bars {
		b := float64(4 * k)
		s.Bars = append(s.Bars, expr.Bar{At: at(b), Beat: b, Number: k + 1, Beats: 4, Unit: 4})
		for p := range parts {
			for i := range 6 * (1 + p%2) {
				length := 2. / 3 / float64(1+p%2)
				from := b + float64(i)*length
				s.Notes = append(s.Notes, expr.Written{On: at(from), Off: at(from + length), Beat: from, Length: length, Key: uint8(84 - 5*p + (i*5+k*7)%11), Part: uint16(p)})
			}
		}
	}
	s.End = at(float64(4 * bars))
	return s
}

// Where nothing happens an orchestra keeps its tempo: no term weighs so much that the rounding of its
// sums is heard.
func TestOrchestrasKeepTheirTempo(t *testing.T) {
	for i, w := range ensemble {
		if math.Abs(w.weight) > 0.5 {
			t.Errorf("term %d weighs %g", i, w.weight)
		}
	}
	beats := Curve(band(orchestraParts, 40))
	for i := 40; i < len(beats)-24; i++ {
		if x := beats[i].Log; math.Abs(x) > 0.15 {
			t.Fatalf("beat %d is longer by a log of %.2f, amid nothing that asks for it", i, x)
		}
	}
}

// A line by itself breathes as violinists do, who vary their beats by half of what pianists do.
func TestALineAlone(t *testing.T) {
	s := piece(32)
	s.Notes = slices.DeleteFunc(s.Notes, func(n expr.Written) bool { return n.Length == 3 })
	alone := Curve(s)
	logs := make(series, len(alone))
	for i := range alone {
		logs[i] = alone[i].Log
	}
	if sd := logs.deviation(); sd < 0.04 || sd > 0.16 {
		t.Errorf("the logs of its beats deviate by %.3f, want 0.04 to 0.16: violinists have 0.061 to 0.118", sd)
	}
	for bar, least := range []float64{0.05, 0.03} { // violinists: 12.3 and 10.5 % in the last two bars
		end := len(alone) - 4*bar
		if x := logs.sums().mean(end-4, end); x < least || x > 0.25 {
			t.Errorf("bar %d from the end is longer by a log of %.2f", bar+1, x)
		}
	}
}
