package engine

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// measured is a profile whose sampler was measured to be so much louder, and by 3 dB at key 72.
func measured(louderDB float64, byVolume bool) *expr.Profile {
	p := exprtest.Sustaining("oboe", 0)
	p.Dynamics.Carrier = expr.CarryBoth
	p.Sampler.Measured = &expr.Measured{LevelDB: louderDB, ByVolume: byVolume, Attack: 40 * time.Millisecond}
	p.Sampler.Measured.KeyDB[72] = 3
	return p
}

// soundsAt is how loud a sampler that is louder than told sounds: velocity, expression and volume
// by General MIDI, dB.
func soundsAt(p *expr.Profile, events []expr.Event) (db float64, velocity byte) {
	level, volume := 127.0, 100.0
	for i := range events {
		switch e := &events[i]; {
		case e.Msg[0] == 0xB0 && e.Msg[1] == 11:
			level = float64(e.Msg[2])
		case e.Msg[0] == 0xB0 && e.Msg[1] == 7:
			volume = float64(e.Msg[2])
		case e.IsNoteOn():
			velocity = e.Msg[2]
			m := p.Sampler.Measured
			db = standardLaw.At(float64(velocity)) + standardLaw.At(level) + standardLaw.At(volume) - standardLaw.At(100) + m.LevelDB + m.KeyDB[e.Msg[1]]
			return db, velocity
		}
	}
	return math.Inf(-1), 0
}

// However loud a sampler was measured to be, and key by key, what sounds is what is written, and the
// velocity, which chooses the sound, goes with that and not with what is made up for.
func TestMeasuredLevelIsMadeUpFor(t *testing.T) {
	for _, louder := range []float64{-6, 0, 6, 12} {
		for _, byVolume := range []bool{false, true} {
			for _, key := range []byte{60, 72} {
				for _, velocity := range []byte{33, 64, 80, 96} {
					p := measured(louder, byVolume)
					db, sent := soundsAt(p, shape(t, p, 1, 0, exprtest.On(0, key, velocity)))
					written := exprtest.Marks.At(float64(velocity))
					exprtest.Near(t, "level", db, standardLaw.At(80)-expr.DefaultHeadroomDB+written, 0.35)
					if want := standardLaw.Invert(standardLaw.At(80) + written); louder >= 0 && math.Abs(float64(sent)-want) > 1.5 {
						t.Errorf("louder by %g dB: velocity %d for %d written, want %.0f", louder, sent, velocity, want)
					}
				}
			}
		}
	}
}

// The volume that the notation program sends is kept to, and is what a part that goes raw has.
func TestVolumeIsOverWhatCameIn(t *testing.T) {
	p := measured(6, true)
	out := shape(t, p, 1, time.Second, exprtest.On(0, 60, 80), exprtest.CC(100*time.Millisecond, 7, 50))
	var sent []byte
	for _, e := range out {
		if e.Msg[0] == 0xB0 && e.Msg[1] == 7 {
			sent = append(sent, e.Msg[2])
		}
	}
	if len(sent) != 2 || sent[0] != 71 || sent[1] != 35 { // 100 and 50, 6 dB under each
		t.Errorf("volumes %v, want 71 and 35", sent)
	}
}

// What is heard late is played early by as much, where there is a lookahead, and in time where none is.
func TestAttackIsMadeUpFor(t *testing.T) {
	for lookahead, want := range map[time.Duration]time.Duration{0: 0, 400 * time.Millisecond: 360 * time.Millisecond, 40 * time.Millisecond: 20 * time.Millisecond} {
		p := measured(0, false)
		out := run(t, Config{Sides: expr.Shaped, Lookahead: lookahead, Habits: usual(Config{}).cfg.Habits[:1]}, p, 1, 2*time.Second, exprtest.On(0, 60, 80), exprtest.Off(500*time.Millisecond, 60))
		for _, e := range out {
			if e.IsNoteOn() && e.At != want {
				t.Errorf("with a lookahead of %v the note is played at %v, want %v", lookahead, e.At, want)
			}
		}
	}
}

// A sound that has a vibrato of its own is given so much less.
func TestOwnVibratoIsTakenOff(t *testing.T) {
	p := exprtest.Violins()
	widest := func() (most byte) {
		for _, e := range shape(t, p, 1, 3*time.Second, exprtest.On(0, 67, 80)) {
			if e.Msg[0] == 0xB0 && e.Msg[1] == 1 {
				most = max(most, e.Msg[2])
			}
		}
		return most
	}
	full := p.Sampler.VibratoDepth.Response.At(float64(widest()))
	p.Sampler.Measured = &expr.Measured{VibratoCents: 20}
	exprtest.Near(t, "depth", p.Sampler.VibratoDepth.Response.At(float64(widest())), full-20, 1.5)
}

func BenchmarkMeasured(b *testing.B) {
	p := measured(3, true)
	e := usual(Config{Sides: expr.Shaped})
	if err := e.Seat(0, 0, p, 1); err != nil {
		b.Fatal(err)
	}
	drop := func(*expr.Event) {}
	at := time.Duration(0)
	b.ReportAllocs()
	for b.Loop() {
		for _, key := range []byte{60, 72} {
			e.Push(exprtest.On(at, key, 80))
			e.Pull(at, drop)
			at += 100 * time.Millisecond
			e.Push(exprtest.Off(at, key))
			e.Pull(at, drop)
		}
	}
}
