package smf

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func mustTempoMap(t interface {
	Helper()
	Fatal(...any)
}, f *File, track int,
) *TempoMap {
	t.Helper()
	m, err := NewTempoMap(f, track)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestTempoMap(t *testing.T) {
	quarter := Division{TicksPerQuarter: 480}
	smpte := func(frames, ticks int) Division { return Division{FramesPerSecond: frames, TicksPerFrame: ticks} }
	tempos := []Track{{Events: []Event{tempoAt(480, 1_000_000), tempoAt(960, 250_000)}}}
	for _, c := range []struct {
		name  string
		f     File
		track int
		tick  int64
		want  time.Duration
	}{
		{"default tempo", File{Division: quarter}, 0, 480, 500 * time.Millisecond},
		{"before a change", File{Division: quarter, Tracks: tempos}, 0, 480, 500 * time.Millisecond},
		{"in a change", File{Division: quarter, Tracks: tempos}, 0, 720, time.Second},
		{"after two changes", File{Division: quarter, Tracks: tempos}, 0, 1440, 1750 * time.Millisecond},
		{"rounded up", File{Division: Division{TicksPerQuarter: 3}}, 0, 1, 166_666_667},
		{"rounded down", File{Division: Division{TicksPerQuarter: 3}}, 0, 2, 333_333_333},
		{"half up", File{Division: Division{TicksPerQuarter: 32000}, Tracks: []Track{{Events: []Event{tempoAt(0, 16)}}}}, 0, 1, 1},
		{"over 64 bits", File{Division: Division{TicksPerQuarter: 32767}, Tracks: []Track{{Events: []Event{tempoAt(27_700_000_000, 500_000)}}}}, 0, 55_400_000_000, 845_362_712_485_122},
		{"tempos of other tracks", File{Format: 1, Division: quarter, Tracks: []Track{
			{Events: []Event{tempoAt(960, 250_000)}}, {Events: []Event{tempoAt(480, 1_000_000)}},
		}}, 0, 1440, 1750 * time.Millisecond},
		{"the last at one tick holds", File{Format: 1, Division: quarter, Tracks: []Track{
			{Events: []Event{tempoAt(0, 100_000), tempoAt(0, 200_000)}}, {Events: []Event{tempoAt(0, 300_000)}},
		}}, 0, 480, 300 * time.Millisecond},
		{"format 2, first track", File{Format: 2, Division: quarter, Tracks: []Track{
			{Events: []Event{tempoAt(0, 100_000)}}, {Events: []Event{tempoAt(0, 300_000)}},
		}}, 0, 480, 100 * time.Millisecond},
		{"format 2, second track", File{Format: 2, Division: quarter, Tracks: []Track{
			{Events: []Event{tempoAt(0, 100_000)}}, {Events: []Event{tempoAt(0, 300_000)}},
		}}, 1, 480, 300 * time.Millisecond},
		{"tempo 0 is ignored", File{Division: quarter, Tracks: []Track{{Events: []Event{tempoAt(0, 400_000), tempoAt(0, 0)}}}}, 0, 480, 400 * time.Millisecond},
		{"a short tempo is ignored", File{Division: quarter, Tracks: []Track{{Events: []Event{at(0, "FF510102")}}}}, 0, 480, 500 * time.Millisecond},
		{"a long tempo is read", File{Division: quarter, Tracks: []Track{{Events: []Event{at(0, "FF5101000099")}}}}, 0, 480, 65536 * time.Microsecond},
		{"24 frames", File{Division: smpte(24, 1)}, 0, 24, time.Second},
		{"25 frames of 40 ticks", File{Division: smpte(25, 40)}, 0, 1, time.Millisecond},
		{"29 frames are 30000/1001", File{Division: smpte(29, 1)}, 0, 30000, 1001 * time.Second},
		{"one of 29 frames", File{Division: smpte(29, 1)}, 0, 1, 33_366_667},
		{"30 frames", File{Division: smpte(30, 10)}, 0, 300, time.Second},
		{"SMPTE knows no tempo", File{Division: smpte(25, 40), Tracks: tempos}, 0, 2000, 2 * time.Second},
		{"before the start", File{Division: quarter}, 0, -480, 0},
		{"past all time", File{Division: quarter}, 0, math.MaxInt64, math.MaxInt64},
		{"past all time in SMPTE", File{Division: smpte(29, 1)}, 0, math.MaxInt64, math.MaxInt64},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := mustTempoMap(t, &c.f, c.track)
			if got := m.At(c.tick); got != c.want {
				t.Errorf("At(%d) = %v, want %v", c.tick, got, c.want)
			}
		})
	}
}

func TestTick(t *testing.T) {
	m := mustTempoMap(t, plain(0, tempoAt(96, 960_000)), 0) // ticks of 5.208 ms, from 0.5 s of 10 ms
	const ms = time.Millisecond
	for _, c := range []struct {
		at   time.Duration
		want int64
	}{
		{-ms, 0},
		{0, 0},
		{500 * ms, 96},
		{497 * ms, 95},
		{498 * ms, 96},
		{504 * ms, 96},
		{505 * ms, 96}, // as near to both
		{506 * ms, 97},
		{math.MaxInt64, 922_337_203_685 + 46}, // 10 ms each, and 96 ticks in the first half second
	} {
		if got := m.Tick(c.at); got != c.want {
			t.Errorf("Tick(%v) = %d, want %d", c.at, got, c.want)
		}
	}
	fast := mustTempoMap(t, &File{Division: Division{TicksPerQuarter: 32767}, Tracks: []Track{{Events: []Event{tempoAt(0, 1)}}}}, 0)
	if got := fast.Tick(math.MaxInt64); got != math.MaxInt64 {
		t.Errorf("past all ticks: %d", got)
	}
}

func TestTempoMapRefuses(t *testing.T) {
	two := &File{Format: 2, Division: Division{TicksPerQuarter: 96}, Tracks: make([]Track, 2)}
	for _, track := range []int{-1, 2} {
		if _, err := NewTempoMap(two, track); err == nil {
			t.Errorf("track %d of two: no error", track)
		}
	}
	if _, err := NewTempoMap(&File{}, 0); err == nil {
		t.Error("no division: no error")
	}
}

// exact is the time of a tick in ns, by integers and fractions of any length.
func exact(f *File, tick int64) *big.Rat {
	sum, span := new(big.Int), new(big.Int) // in ns × ticks a quarter note
	last, tempo := int64(0), int64(500_000)
	add := func(to int64) {
		span.Mul(span.SetInt64(to-last), big.NewInt(tempo*1000))
		sum.Add(sum, span)
	}
	for _, e := range f.Tracks[0].Events {
		if e.Tick >= tick {
			break
		}
		add(e.Tick)
		last, tempo = e.Tick, int64(e.Data[2])<<16|int64(e.Data[3])<<8|int64(e.Data[4])
	}
	add(tick)
	return new(big.Rat).SetFrac(sum, big.NewInt(int64(f.Division.TicksPerQuarter)))
}

// nearest rounds half up.
func nearest(r *big.Rat) *big.Int {
	r = new(big.Rat).Add(r, big.NewRat(1, 2))
	return new(big.Int).Div(r.Num(), r.Denom())
}

// TestTempoMapDoesNotDrift compares a piece of over 10 hours with 10,000 tempo
// changes, none of which falls on a whole nanosecond, with exact fractions.
func TestTempoMapDoesNotDrift(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	f := &File{Division: Division{TicksPerQuarter: 32749}, Tracks: make([]Track, 1)} // a prime
	tr := &f.Tracks[0]
	for range 10_000 {
		tr.End += 1 + rnd.Int64N(400_000)
		tr.Events = append(tr.Events, tempoAt(tr.End, 200_001+rnd.IntN(1_000_000)))
	}
	m := mustTempoMap(t, f, 0)
	if d := m.At(tr.End); d < 10*time.Hour {
		t.Fatalf("the piece lasts %v only", d)
	}
	for i := 0; i < len(tr.Events); i += 487 {
		for _, tick := range []int64{tr.Events[i].Tick - 1, tr.Events[i].Tick, tr.Events[i].Tick + rnd.Int64N(1000)} {
			if got, want := m.At(tick), nearest(exact(f, tick)); !want.IsInt64() || int64(got) != want.Int64() {
				t.Fatalf("At(%d) = %d, exactly %v", tick, got, want)
			}
		}
	}
	if got, want := m.At(tr.End), nearest(exact(f, tr.End)); int64(got) != want.Int64() {
		t.Errorf("at the end: %d, exactly %v", got, want)
	}
}

// tempoFiles generates files of random tempos, from 1 µs a quarter note to the
// slowest, some of which go on past the greatest Duration.
func tempoFiles() *rapid.Generator[*File] {
	return rapid.Custom(func(t *rapid.T) *File {
		f := &File{Division: Division{TicksPerQuarter: rapid.IntRange(1, 32767).Draw(t, "quarter")}, Tracks: make([]Track, 1)}
		tick, longest := int64(0), rapid.SampledFrom([]int64{1000, 1 << 40}).Draw(t, "longest")
		for range rapid.IntRange(0, 20).Draw(t, "changes") {
			tick += rapid.Int64Range(1, longest).Draw(t, "delta")
			limit := rapid.SampledFrom([]int{40, 500_000, 1<<24 - 1}).Draw(t, "limit")
			f.Tracks[0].Events = append(f.Tracks[0].Events, tempoAt(tick, rapid.IntRange(1, limit).Draw(t, "tempo")))
		}
		f.Tracks[0].End = tick
		return f
	})
}

func TestTempoMapProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := tempoFiles().Draw(t, "file")
		m := mustTempoMap(t, f, 0)
		tick := rapid.Int64Range(0, f.Tracks[0].End+1000).Draw(t, "tick")
		d := m.At(tick)
		want := nearest(exact(f, tick))
		if !want.IsInt64() {
			want = big.NewInt(math.MaxInt64)
		}
		if int64(d) != want.Int64() {
			t.Fatalf("At(%d) = %d, exactly %v", tick, d, want)
		}
		if next := m.At(tick + 1); next < d {
			t.Fatalf("At(%d) = %d, but At(%d) = %d", tick, d, tick+1, next)
		}
		if d == math.MaxInt64 {
			return
		}
		back := m.Tick(d)
		length := func(tick int64) *big.Rat { return new(big.Rat).Sub(exact(f, tick+1), exact(f, tick)) }
		ns := big.NewRat(1, 1)
		if length(max(tick-1, 0)).Cmp(ns) >= 0 && length(tick).Cmp(ns) >= 0 && back != tick {
			t.Fatalf("Tick(At(%d)) = %d", tick, back)
		}
		if later := m.Tick(d + 1); later < back {
			t.Fatalf("Tick(%d) = %d, but Tick(%d) = %d", d, back, d+1, later)
		}
		distance := func(tick int64) *big.Rat {
			r := new(big.Rat).Sub(exact(f, tick), new(big.Rat).SetInt64(int64(d)))
			return r.Abs(r)
		}
		for _, other := range []int64{back - 1, back + 1} {
			if other >= 0 && distance(other).Cmp(distance(back)) < 0 {
				t.Fatalf("Tick(%d) = %d, but %d is nearer", d, back, other)
			}
		}
	})
}

func TestSMPTEProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &File{Division: Division{
			FramesPerSecond: rapid.SampledFrom([]int{24, 25, 29, 30}).Draw(t, "frames"),
			TicksPerFrame:   rapid.IntRange(1, 255).Draw(t, "ticks"),
		}}
		m := mustTempoMap(t, f, 0)
		tick := rapid.Int64Range(0, 1<<37).Draw(t, "tick") // 181 years at the slowest
		if back := m.Tick(m.At(tick)); back != tick {
			t.Fatalf("Tick(At(%d)) = %d", tick, back)
		}
	})
}

func TestTempoMapAllocatesNothing(t *testing.T) {
	m := mustTempoMap(t, golden()["format1.mid"], 0)
	var sum int64
	if n := testing.AllocsPerRun(100, func() { sum += m.Tick(m.At(5000)) }); n != 0 {
		t.Errorf("%v allocations for a tick and back", n)
	}
	if sum == 0 {
		t.Error("the map always gives 0")
	}
}
