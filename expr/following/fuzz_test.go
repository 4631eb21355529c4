package following_test

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/following"
)

// reader reads numbers from fuzzed bytes; after the end they are 0.
type reader struct{ b []byte }

func (r *reader) byte() int {
	if len(r.b) == 0 {
		return 0
	}
	v := r.b[0]
	r.b = r.b[1:]
	return int(v)
}

// fuzzedScore is any score, also one that no file could give.
func fuzzedScore(r *reader) *expr.Score {
	s := &expr.Score{}
	at := time.Duration(0)
	for range r.byte() {
		switch step := r.byte(); step {
		case 255:
			at -= time.Second
		case 254:
			at += math.MaxInt64 / 4
		default:
			at += time.Duration(step%8) * 125 * time.Millisecond
		}
		beat := at.Seconds() * 2
		if r.byte() == 255 {
			beat = math.NaN()
		}
		what := r.byte()
		s.Notes = append(s.Notes, expr.Written{
			On: at, Beat: beat, Part: uint16(what % 5 * 1000), Port: uint16(what % 3 * 100),
			Channel: uint8(what % 17), Key: uint8(60 + what%70),
		})
		if what%4 == 0 {
			s.Bars = append(s.Bars, expr.Bar{At: at, Beat: beat, Number: what, Beats: what % 5, Unit: what % 9})
		}
	}
	return s
}

func FuzzNote(f *testing.F) {
	f.Add([]byte{4, 4, 0, 1, 4, 0, 2, 4, 0, 3, 4, 0, 4, 4, 1, 4, 2, 4, 3, 4, 4})
	f.Add([]byte{3, 255, 255, 4, 254, 0, 8, 254, 0, 12, 200, 3, 3, 3, 3, 255, 3, 3})
	f.Fuzz(func(t *testing.T, b []byte) {
		r := &reader{b}
		s := fuzzedScore(r)
		one, two := following.New(s), following.New(s)
		at := time.Duration(0)
		for len(r.b) > 0 {
			how, what := r.byte(), r.byte()
			switch how {
			case 255:
				at = -at
			case 254:
				at += math.MaxInt64 / 8
			case 253:
				one.Reset()
				two.Reset()
			case 252:
				one.Locate(float64(what))
				two.Locate(float64(what))
			case 251:
				one.Locate(math.Inf(1 - what))
				two.Locate(math.Inf(1 - what))
			default:
				at += time.Duration(how%8) * 125 * time.Millisecond
			}
			port, channel, key := uint16(what%3*100), uint8(what%17), uint8(60+what%70)
			m := one.Note(at, port, channel, key)
			p := one.Position(at + time.Duration(how)*time.Millisecond)
			if m.Note < -1 || m.Note >= len(s.Notes) || !(m.Sure >= 0 && m.Sure <= 1) {
				t.Fatalf("%+v of %d notes", m, len(s.Notes))
			}
			if m.Note >= 0 && s.Notes[m.Note].Key != key {
				t.Fatalf("key %d is taken for key %d", key, s.Notes[m.Note].Key)
			}
			if p.BarIndex < -1 || p.BarIndex >= len(s.Bars) || !(p.Sure >= 0 && p.Sure <= 1) || math.IsNaN(p.Tempo) || p.Tempo < 0 {
				t.Fatalf("%+v of %d bars", p, len(s.Bars))
			}
			if again := two.Note(at, port, channel, key); again != m {
				t.Fatalf("%+v, and again %+v", m, again)
			}
		}
	})
}
