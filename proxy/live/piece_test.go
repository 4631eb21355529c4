package live_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// theScore is the built-in score as an export, and as what plays it.
func theScore(t testing.TB) (*expr.Score, *offline.Timeline) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "piece.mid")
	if err := smf.WriteFile(path, demo.Score()); err != nil {
		t.Fatal(err)
	}
	score, warnings, err := offline.ReadScore(path, nil)
	if err != nil || len(warnings) != 0 {
		t.Fatal(err, warnings)
	}
	tl, err := offline.NewTimeline(demo.Score(), 0)
	if err != nil {
		t.Fatal(err)
	}
	return score, tl
}

// program is a notation program that plays a piece into a daemon's inputs.
type program struct {
	r    *rig
	tl   *offline.Timeline
	pace float64
	key  func(key byte) byte // nil: as written
}

// play plays so much of the piece from a place on, without a stop at its end.
func (p *program) play(from, length time.Duration) {
	p.r.t.Helper()
	begun := time.Now()
	for _, e := range p.tl.Events {
		if !e.IsChannel() || e.At < from || e.At >= from+length {
			continue
		}
		time.Sleep(time.Until(begun.Add(time.Duration(float64(e.At-from) / p.pace)))) // in a bubble
		b := e.Bytes()
		if p.key != nil && (e.IsNoteOn() || e.IsNoteOff()) {
			b = []byte{b[0], p.key(b[1]), b[2]}
		}
		p.r.feed(int(e.Port)+1, b...)
	}
	pass(time.Until(begun.Add(time.Duration(float64(length) / p.pace))))
}

// barAt is the time at which a bar begins.
func (p *program) barAt(bar int) time.Duration { return p.tl.Tempo.At(p.tl.Bars.BarStart(bar)) }

// wantAt checks that the daemon has found the place of the piece that is heard now.
func (p *program) wantAt(at time.Duration) {
	p.r.t.Helper()
	s := p.r.d.Status()
	bar, beat := p.tl.Bars.Bar(p.tl.Tempo.Tick(at))
	f := s.Foreknowledge
	if s.Position == nil {
		p.r.t.Fatalf("no position at bar %d, beat %.2f: %+v", bar, beat, f)
	}
	if s.Position.Bar != bar || math.Abs(s.Position.Beat-beat) > 0.2 {
		p.r.t.Errorf("found at bar %d, beat %.2f; it is at bar %d, beat %.2f", s.Position.Bar, s.Position.Beat, bar, beat)
	}
	if f.Grade != "score" || !f.Found || f.Sure < 0.75 || math.Abs(f.Pace/p.pace-1) > 0.03 || f.Score != "piece.mid" {
		p.r.t.Errorf("at bar %d: %+v", bar, f)
	}
}

// followed starts a daemon that knows the built-in score.
func followed(t *testing.T, manner perform.Manner) *program {
	score, tl := theScore(t)
	r := start(t, tl.Ports, func(c *live.Config) {
		c.Cast = seated(t, scoreSeating())
		c.Score, c.ScoreName, c.Manner = score, "piece.mid", manner
	})
	return &program{r: r, tl: tl, pace: 1}
}

// Wherever the music begins and to wherever it jumps, the place that is heard is found, and
// so is the tempo; wrong notes do not matter. A stop forgets it.
func TestScoreIsFollowed(t *testing.T) {
	for _, lookahead := range []time.Duration{0, 800 * ms} {
		t.Run(fmt.Sprint(lookahead), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				p := followed(t, perform.Manner{Lookahead: lookahead})
				random := rand.New(rand.NewPCG(1, 2))
				p.key = func(key byte) byte {
					if random.IntN(20) == 0 {
						return key ^ 1
					}
					return key
				}
				p.r.feed(1, 0xFA)
				for _, from := range []int{9, 3, 17, 1, 12} {
					p.play(p.barAt(from), 5*time.Second)
					p.wantAt(p.barAt(from) + 5*time.Second - lookahead)
				}
				p.pace = 1.25
				p.play(p.barAt(18), 8*time.Second)
				p.wantAt(p.barAt(18) + 8*time.Second - time.Duration(1.25*float64(lookahead)))

				p.r.feed(1, 0xFC)
				if s := p.r.d.Status(); s.Position != nil || s.Foreknowledge.Found {
					t.Errorf("after a stop: %+v at %+v", s.Foreknowledge, s.Position)
				}
				log := p.r.log.String()
				if n := strings.Count(log, "score found"); n != 1 || strings.Contains(log, "not found") {
					t.Errorf("the log says %d times that the score is found:\n%s", n, log)
				}
			})
		})
	}
}

// With lookahead the position is that of what is heard, also for the moment in which that
// is from before a jump.
func TestPositionIsHeard(t *testing.T) {
	const lookahead = 2 * time.Second
	synctest.Test(t, func(t *testing.T) {
		p := followed(t, perform.Manner{Lookahead: lookahead})
		p.r.feed(1, 0xFA)
		p.play(p.barAt(9), 6*time.Second)
		p.play(p.barAt(3), time.Second)
		p.wantAt(p.barAt(9) + 5*time.Second)
		p.play(p.barAt(3)+time.Second, 3*time.Second)
		p.wantAt(p.barAt(3) + 2*time.Second)
	})
}

// After a song position the first notes are known.
func TestSongPositionIsTaken(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := followed(t, perform.Manner{})
		const bar = 14
		sixteenths := 16 * (bar - 1) // four quarters a bar
		p.r.feed(1, 0xFC)
		p.r.feed(1, 0xF2, byte(sixteenths&0x7F), byte(sixteenths>>7))
		p.r.feed(1, 0xFB)
		p.play(p.barAt(bar), 300*ms)
		p.wantAt(p.barAt(bar) + 300*ms)
	})
}

// Music that is not the score is played as if there were none, and the log says so.
func TestAnotherPiece(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := followed(t, perform.Manner{Lookahead: 500 * ms})
		random := rand.New(rand.NewPCG(1, 2))
		p.r.feed(1, 0xFA)
		wrong := 0
		for i := range 300 {
			key := byte(36 + random.IntN(48))
			p.r.feed(1, 0x90|byte(i%4), key, 80)
			pass(time.Duration(100+random.IntN(200)) * ms)
			p.r.feed(1, 0x80|byte(i%4), key, 64)
			if s := p.r.d.Status(); s.Foreknowledge.Found || s.Position != nil {
				wrong++
			} else if i > 50 && s.Foreknowledge.Grade != "lookahead" {
				t.Fatalf("%+v", s.Foreknowledge)
			}
		}
		if wrong > 3 {
			t.Errorf("the place was told at %d notes of 300", wrong)
		}
		if log := p.r.log.String(); strings.Count(log, "score not found; playing without it") != 1 {
			t.Errorf("the log:\n%s", log)
		}
	})
}

// What is found makes a difference: live playing that is followed has the phrases that
// a render by the score has, from when the place is sure.
func TestFollowedIsPlayedByTheScore(t *testing.T) {
	phrased := func(t *testing.T, change func(*live.Config)) uint64 {
		_, tl := theScore(t)
		r := start(t, tl.Ports, func(c *live.Config) {
			c.Cast = seated(t, scoreSeating())
			change(c)
		})
		p := &program{r: r, tl: tl, pace: 1}
		p.play(0, 40*time.Second)
		total := uint64(0)
		for _, part := range r.d.Status().Parts {
			total += part.Habits["phrase"]
		}
		return total
	}
	synctest.Test(t, func(t *testing.T) {
		score, _ := theScore(t)
		with := phrased(t, func(c *live.Config) { c.Score = score })
		without := phrased(t, func(c *live.Config) {})
		if with < without+without/4 {
			t.Errorf("%d notes are phrased with the score, %d without", with, without)
		}
	})
}

func TestReadScore(t *testing.T) {
	for name, parts := range map[string]int{"piano.musicxml": 1, "packed.mxl": 1, "latin1.xml": 1} {
		score, warnings, err := offline.ReadScore(filepath.Join("..", "..", "testdata", "musicxml", name), nil)
		if err != nil || len(warnings) != 0 || len(score.Notes) == 0 || len(score.Bars) == 0 || len(score.Parts) < parts {
			t.Errorf("%s: %v, %q", name, err, warnings)
		}
	}
	dir := t.TempDir()
	for name, c := range map[string]struct{ content, why string }{
		"words.mid":       {"not music", "words.mid: byte 0"},
		"words.musicxml":  {"not music", "words.musicxml"},
		"words.mxl":       {"not music", "words.mxl"},
		"words.pdf":       {"not music", "words.pdf: a score is a .mid, .musicxml, .xml or .mxl file"},
		"upper.XML":       {"<html/>", "upper.XML"},
		"nothing.xml":     {`<score-partwise><part-list><score-part id="P"><part-name/></score-part></part-list><part id="P"><measure number="1"/></part></score-partwise>`, "nothing.xml: there is no note"},
		"no/such/one.mid": {"", "no such file"},
	} {
		path := filepath.Join(dir, name)
		if c.content != "" {
			if err := os.WriteFile(path, []byte(c.content), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		_, _, err := offline.ReadScore(path, nil)
		if err == nil || !strings.Contains(err.Error(), c.why) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want %q", name, err, c.why)
		}
	}
}
