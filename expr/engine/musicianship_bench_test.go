package engine

import (
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

const (
	orchestraParts = 256
	noteEvery      = 500 * exprtest.Thousandth // of each part
	warmUp         = 1400 * orchestraParts     // events: more notes of each part than its line remembers
)

// orchestra is an engine of 256 parts that use all habits, of which it sees so much ahead.
func orchestra(t testing.TB, lookahead time.Duration) *Engine {
	t.Helper()
	e := usual(Config{
		Ports: orchestraParts / 16, Sides: expr.Shaped, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB,
		Lookahead: lookahead, Rubato: 1,
	})
	profiles := musicians()[:10]
	profiles[0].Amounts.Set("bow", 1)
	for _, p := range profiles {
		p.Instrument, _ = acoustics.Lookup(p.Name)
		p.Amounts.Set("orchestra_weight", 1)
		p.Weight.Registers = 1
	}
	for i := range orchestraParts {
		if err := e.Seat(i/16, i%16, profiles[i%len(profiles)], 0); err != nil {
			t.Fatal(err)
		}
	}
	return e
}

// orchestral is the event of a number of music for all parts: first the end of a note, then the
// start of the next. Parts play joined notes of I, IV, V and I one after the other, every
// fourth of them three at a time, and rest after each seven.
func orchestral(i int) expr.Event {
	slot := i / 2
	part, k := slot%orchestraParts, slot/orchestraParts
	at := time.Duration(slot) * noteEvery / orchestraParts
	port, ch := uint16(part/16), byte(part%16)
	if i%2 == 1 {
		if k%8 == 7 {
			return expr.Short(at, port, 0xB0|ch, 10, 64)
		}
		return expr.Short(at, port, 0x90|ch, orchestralKey(part, k), byte(50+k*2%60))
	}
	if part%4 == 0 {
		k -= 2
	}
	return expr.Short(at, port, 0x80|ch, orchestralKey(part, k-1), 64)
}

func orchestralKey(part, k int) byte {
	chords := [4][3]int{{0, 4, 7}, {5, 9, 12}, {7, 11, 14}, {0, 4, 7}}
	k = max(k, 0)
	return byte(48 + 12*(part%3) + chords[k/8%4][(k+part)%3])
}

// orchestralScore is the score of so many notes of each part, rests included, and tells which
// note of it an event starts, if the music is played over and over.
func orchestralScore(notes int) (s *expr.Score, number func(i int) int32) {
	s = &expr.Score{}
	numbers := make([]int32, notes*orchestraParts)
	for i := range 2 * len(numbers) {
		ev := orchestral(i)
		if !ev.IsNoteOn() {
			continue
		}
		length := noteEvery
		if i/2%orchestraParts%4 == 0 {
			length *= 3
		}
		k := i / 2 / orchestraParts // two staves, a dynamic for each bar, and accents
		marks := expr.Marks(0)
		if k%5 == 0 {
			marks = expr.Accented
		}
		s.Notes = append(s.Notes, expr.Written{
			Marks: marks, Dynamic: uint8(49 + 47*(k/8%2)),
			On: ev.At, Off: ev.At + length, Beat: 2 * ev.At.Seconds(), Length: 2 * length.Seconds(),
			Part: uint16(i / 2 % orchestraParts), Port: ev.Port, Channel: uint8(ev.Channel()), Key: ev.Msg[1], Velocity: ev.Msg[2], Staff: uint8(1 + k%2),
		})
		numbers[i/2] = int32(len(s.Notes))
		s.End = ev.At + length
	}
	for beat := 0.0; beat < 2*s.End.Seconds(); beat += 4 {
		s.Bars = append(s.Bars, expr.Bar{At: time.Duration(beat / 2 * float64(time.Second)), Beat: beat, Number: len(s.Bars) + 1, Beats: 4, Unit: 4})
	}
	return s, func(i int) int32 { return numbers[i/2%len(numbers)] }
}

// musicianshipStep has an engine play the next event of the music each time it is called.
func musicianshipStep(e *Engine, number func(int) int32, emit func(*expr.Event)) func() {
	i := 0
	return func() {
		ev := orchestral(i)
		if number != nil && ev.IsNoteOn() {
			ev.Note = number(i)
		}
		e.Push(ev)
		e.Pull(ev.At, emit)
		i++
	}
}

// A warm engine allocates nothing, with every habit on, with lookahead and with a score.
func TestManyMusiciansDoNotAllocate(t *testing.T) {
	for what, scored := range map[string]bool{"lookahead": false, "score": true} {
		e := orchestra(t, 2*time.Second)
		var number func(int) int32
		if scored {
			s, n := orchestralScore(64)
			e.Load(s)
			number = n
		}
		notes := 0
		step := musicianshipStep(e, number, func(ev *expr.Event) {
			if ev.IsNoteOn() {
				notes++
			}
		})
		for range warmUp {
			step()
		}
		if notes < 500*orchestraParts {
			t.Fatalf("%s: only %d notes sounded", what, notes)
		}
		if n := testing.AllocsPerRun(20*orchestraParts, step); n != 0 {
			t.Errorf("%s: %v allocations an event", what, n)
		}
		for i, n := range e.HabitNames() {
			did := uint64(0)
			for part := range e.parts {
				did += e.parts[part].counts.Habits[i]
			}
			if !scored && onlyOfScores(n) {
				continue
			}
			if did == 0 && n != "breath" { // the rests are long enough for that
				t.Errorf("%s: the habit %q did nothing", what, n)
			}
		}
	}
}

// onlyOfScores reports whether a habit says that it does nothing, or little, with a lookahead.
func onlyOfScores(name string) bool {
	return slices.ContainsFunc(habits.All(), func(a *expr.About) bool {
		return a.Flag() == name && (a.Needs.Lookahead == "nothing" || a.Needs.Lookahead == "little")
	})
}

// BenchmarkEngineMusicianship counts input events: 256 parts with every habit on, half a
// second of lookahead, timing and rubato; then so with a score.
func BenchmarkEngineMusicianship(b *testing.B) {
	for _, scored := range []bool{false, true} {
		name := "lookahead"
		if scored {
			name = "score"
		}
		b.Run(name, func(b *testing.B) {
			e := orchestra(b, 500*exprtest.Thousandth)
			var number func(int) int32
			if scored {
				s, n := orchestralScore(256)
				e.Load(s)
				number = n
			}
			emitted := 0
			step := musicianshipStep(e, number, func(*expr.Event) { emitted++ })
			for range warmUp {
				step()
			}
			emitted = 0
			b.ReportAllocs()
			for b.Loop() {
				step()
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "events/s")
			b.ReportMetric(float64(emitted)/float64(b.N), "emitted/event")
		})
	}
}
