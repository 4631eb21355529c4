package timing

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// spread is what players who always play together do.
type spread struct {
	alone    float64 // rms of a player about the beat, ms
	pair     float64 // standard deviation of the asynchrony of two players, ms
	mean     float64 // rms of the mean of the players, ms
	drift    float64 // greatest mean of a player over a whole run, ms
	clamped  float64 // share of notes at the bound
	greatest time.Duration
}

// together lets players play chord after chord, without the first, in which they find each other.
func together(players, runs, moments int, sd time.Duration) spread {
	var s spread
	shifts := make([]float64, players)
	var alone, pair, mean, atBound float64
	for run := range uint64(runs) {
		e := NewEnsemble(run)
		for p := range players {
			e.Seat(0, uint8(p), sd, 0)
		}
		sums := make([]float64, players)
		for m := range moments + 1 {
			total := 0.0
			for p := range shifts {
				shift := e.Shift(p, time.Duration(m)*250*time.Millisecond)
				shifts[p] = float64(shift) / 1e6
				total += shifts[p]
				s.greatest = max(s.greatest, shift.Abs())
				if shift.Abs() == MaxShift {
					atBound++
				}
			}
			if m == 0 {
				continue
			}
			for p, x := range shifts {
				sums[p] += x
				alone += x * x
				for _, y := range shifts[:p] {
					pair += (x - y) * (x - y)
				}
			}
			mean += (total / float64(players)) * (total / float64(players))
		}
		for _, sum := range sums {
			s.drift = max(s.drift, math.Abs(sum)/float64(moments))
		}
	}
	n := float64(runs * moments)
	s.alone = math.Sqrt(alone / n / float64(players))
	s.mean = math.Sqrt(mean / n)
	s.clamped = atBound / n / float64(players)
	if players > 1 {
		s.pair = math.Sqrt(pair / n / float64(players*(players-1)/2))
	}
	return s
}

// Rasch 1979 (read in a thesis) found standard deviations of asynchrony of 27 to 49 ms in
// trios, from onsets measured at 15 to 20 dB below the maximum: the players' timing
// and the slopes of their attacks. The sampler adds the second; where it is slow
// (rise over 27 ms) its standard deviation is 29.5 ms (Lucerne project). So a trio of
// strings of 20 ms lies in Rasch's range by itself, and one of winds of 10 ms does so with
// its attacks.
func TestTrioAgainstRasch(t *testing.T) {
	const least, most, attacks = 27, 49, 29.5
	strings := together(3, 64, 512, 20*time.Millisecond)
	winds := together(3, 64, 512, 10*time.Millisecond)
	t.Logf("trio of strings, 20 ms: pairs %.1f ms; of winds, 10 ms: pairs %.1f ms, with attacks %.1f ms",
		strings.pair, winds.pair, math.Hypot(winds.pair, attacks))
	if strings.pair < least || strings.pair > most {
		t.Errorf("asynchrony of strings %.1f ms, want %d to %d", strings.pair, least, most)
	}
	if sum := math.Hypot(winds.pair, attacks); sum < least || sum > most {
		t.Errorf("asynchrony of winds with their attacks %.1f ms, want %d to %d", sum, least, most)
	}
	if winds.pair >= strings.pair {
		t.Errorf("winds are less together than strings: %.1f and %.1f ms", winds.pair, strings.pair)
	}
}

// asynchrony is the standard deviation of the asynchrony of two of so many players that
// phase correction leaves by theory, re √2 of a player's own: a relaxation that
// keeps d a note, put through x(n+1) = g·x(n) + own(n), has (1+g·d)/((1-g²)(1-g·d)) times
// its variance.
func asynchrony(players int, exponent float64) float64 {
	g := 1 - min(0.25*float64(players), 1)
	own := whitePart(exponent)
	left := own / (1 - g*g)
	for k, d := range decay {
		v := math.Pow(memory(k), exponent-1)
		own += v
		left += v * (1 + g*d) / ((1 - g*g) * (1 - g*d))
	}
	return math.Sqrt(left / own)
}

// By phase correction a pair is √2 of one player from a quartet up, more below.
func TestTogether(t *testing.T) {
	const sd = 10 * time.Millisecond
	for _, c := range []struct{ players, runs int }{{2, 96}, {3, 64}, {4, 48}, {16, 8}, {256, 1}} {
		s := together(c.players, c.runs, 512, sd)
		want := 10 * math.Sqrt2 * asynchrony(c.players, DefaultExponent)
		t.Logf("%d players of 10 ms: pairs %.2f ms (theory %.2f), each %.2f ms, mean %.5f ms, at the bound %.5f",
			c.players, s.pair, want, s.alone, s.mean, s.clamped)
		if math.Abs(s.pair/want-1) > 0.05 {
			t.Errorf("%d players: pairs %.2f ms, want %.2f", c.players, s.pair, want)
		}
		// Rounding of each to a nanosecond, and the rare player at the bound.
		if s.mean > 0.05 {
			t.Errorf("%d players: their mean departs from the beat by %.4f ms", c.players, s.mean)
		}
		if s.greatest > MaxShift {
			t.Errorf("%d players: shift of %v", c.players, s.greatest)
		}
	}
}

// One alone keeps its own standard deviation.
func TestAlone(t *testing.T) {
	s := together(1, 1024, 64, 10*time.Millisecond)
	t.Logf("alone: %.2f ms", s.alone)
	if math.Abs(s.alone-10) > 0.5 {
		t.Errorf("alone a player of 10 ms has %.2f ms", s.alone)
	}
}

// Hours of playing take nobody away from the beat.
func TestNoDrift(t *testing.T) {
	const moments = 100_000
	s := together(3, 1, moments, 20*time.Millisecond)
	t.Logf("mean of a player over %d chords: %.2f ms at most; largest shift %v", moments, s.drift, s.greatest)
	// The mean of a 1/f series of 20 ms over 200 of its longest memories.
	if s.drift > 3 {
		t.Errorf("a player has drifted by %.2f ms in the mean", s.drift)
	}
}

// playing is an ensemble and parts that come and go.
type playing struct {
	moment time.Duration
	who    []int
}

// passage is chords at random distances, of random players.
func passage(r *rand.Rand, players, moments int) []playing {
	var all []playing
	at := time.Duration(0)
	for range moments {
		at += 2*sameMoment + time.Duration(r.Int64N(int64(time.Second)))
		if r.IntN(20) == 0 {
			at += 3 * time.Second
		}
		all = append(all, playing{at, r.Perm(players)[:1+r.IntN(players)]})
	}
	return all
}

// The order of asking within a moment and asking again make no difference, and neither
// do the milliseconds between the notes of a chord.
func TestOrderMakesNoDifference(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const players = 7
	one, other := NewEnsemble(3), NewEnsemble(3)
	for p := range players {
		one.Seat(0, uint8(p), time.Duration(p)*3*time.Millisecond, 0)
		other.Seat(0, uint8(p), time.Duration(p)*3*time.Millisecond, 0)
	}
	notes := 0
	for _, m := range passage(r, players, 2000) {
		want := map[int]time.Duration{}
		for _, p := range m.who {
			want[p] = one.Shift(p, m.moment)
			notes++
		}
		late := time.Duration(0)
		for _, i := range r.Perm(len(m.who)) {
			p := m.who[i]
			for range 2 {
				if got := other.Shift(p, m.moment+late); got != want[p] {
					t.Fatalf("player %d at %v: %v in one order, %v in another", p, m.moment, want[p], got)
				}
			}
			late = min(late+time.Millisecond, sameMoment)
		}
	}
	if notes < 4000 {
		t.Fatalf("only %d notes compared", notes)
	}
}

// With players that come and go: within the bound, nobody who has no deviation moves, each
// is on the beat in the mean, and the account of those heard stays right.
func TestComingAndGoing(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	const players, runs = 6, 200
	var sum [players]float64
	var count [players]int
	for run := range uint64(runs) {
		e := NewEnsemble(run)
		for p := range players {
			e.Seat(uint16(p), 0, time.Duration(p)*12*time.Millisecond, 0)
		}
		for i, m := range passage(r, players, 100) {
			if i == 50 {
				e.Reseat(1, 9, 9, 30*time.Millisecond, 0)
			}
			for _, p := range m.who {
				shift := e.Shift(p, m.moment)
				if shift.Abs() > MaxShift || p == 0 && shift != 0 {
					t.Fatalf("player %d at %v: %v", p, m.moment, shift)
				}
				sum[p] += float64(shift) / 1e6
				count[p]++
			}
			want := tally{}
			for p := e.first; p != none; p = e.players[p].after {
				want.add(&e.players[p], 1)
			}
			got := e.heard
			got.players += e.change.players
			got.variance += e.change.variance
			got.shift += e.change.shift
			got.next += e.change.next
			if got != want {
				t.Fatalf("after %v: heard %+v, want %+v", m.moment, got, want)
			}
		}
	}
	for p := range players {
		mean := sum[p] / float64(count[p])
		t.Logf("player %d: mean %.2f ms over %d notes", p, mean, count[p])
		// A fifth of its own standard deviation, 12 ms a number.
		if math.Abs(mean) > 0.2*12*float64(p) {
			t.Errorf("player %d is off the beat by %.2f ms in the mean", p, mean)
		}
	}
}

// Players who have rested for longer than 2 s are not heard: one who goes on alone has its
// own deviation, as if there were nobody else.
func TestHearing(t *testing.T) {
	const sd = 10 * time.Millisecond
	for _, c := range []struct {
		rest  time.Duration
		alone bool
	}{{hearing, false}, {hearing + 1, true}} {
		e, own := NewEnsemble(1), NewNoise(Stream{1, 0, 0}, sd, 0)
		own.Next()
		for p := range 3 {
			e.Shift(e.Seat(0, uint8(p), sd, 0), 0)
		}
		if got, want := e.Shift(0, c.rest), own.Next(); (got == want) != c.alone {
			t.Errorf("after a rest of %v: %v, its own deviation is %v", c.rest, got, want)
		}
	}
}

func TestEnsembleRestart(t *testing.T) {
	e := NewEnsemble(1)
	for p := range 4 {
		e.Seat(0, uint8(p), 10*time.Millisecond, 0)
	}
	play := func() (s [40]time.Duration) {
		for i := range s {
			s[i] = e.Shift(i%4, time.Duration(i/4)*time.Second)
		}
		return s
	}
	first := play()
	e.Restart()
	if again := play(); again != first {
		t.Errorf("after a restart %v, want %v", again, first)
	}
	if first == [40]time.Duration{} {
		t.Error("nobody departs from the beat")
	}
}

// The mean of n players of their own deviations is what SectionSD says.
func TestSectionSD(t *testing.T) {
	const sd, players, seeds, notes = 20 * time.Millisecond, 9, 512, 64
	squares := 0.0
	for seed := range uint64(seeds) {
		var section [players]*Noise
		for p := range section {
			section[p] = NewNoise(Stream{Seed: seed, Channel: uint8(p)}, sd, 0.5)
		}
		for range notes {
			sum := time.Duration(0)
			for _, n := range section {
				sum += n.Next()
			}
			squares += (sum / players).Seconds() * (sum / players).Seconds()
		}
	}
	got, want := math.Sqrt(squares/(seeds*notes)), SectionSD(sd, players).Seconds()
	t.Logf("section of 9 of 20 ms: %.2f ms, said to be %.2f ms", got*1e3, want*1e3)
	if math.Abs(got/want-1) > 0.05 {
		t.Errorf("a section's standard deviation is %.2f ms, said to be %.2f", got*1e3, want*1e3)
	}
	if SectionSD(sd, 0) != sd || SectionSD(sd, 4) != sd/2 {
		t.Errorf("no player: %v, 4: %v", SectionSD(sd, 0), SectionSD(sd, 4))
	}
}

func TestEnsembleDoesNotAllocate(t *testing.T) {
	e := NewEnsemble(1)
	for p := range 8 {
		e.Seat(0, uint8(p), 10*time.Millisecond, 0)
	}
	i := 0
	if a := testing.AllocsPerRun(1000, func() {
		e.Shift(i%8, time.Duration(i/8)*time.Second)
		i++
	}); a != 0 {
		t.Errorf("%v allocations a note", a)
	}
}

func benchmarkEnsemble(b *testing.B, players int) {
	e := NewEnsemble(1)
	for p := range players {
		e.Seat(uint16(p/16), uint8(p%16), 10*time.Millisecond, 0)
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		e.Shift(i%players, time.Duration(i/players)*100*time.Millisecond)
		i++
	}
}

func BenchmarkEnsemble2(b *testing.B)   { benchmarkEnsemble(b, 2) }
func BenchmarkEnsemble256(b *testing.B) { benchmarkEnsemble(b, 256) }
