package live_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rs/zerolog"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// A score that is exported anew while it plays, with four bars more before the rest, is played by
// from then on, and nothing hangs.
func TestTakeScore(t *testing.T) {
	for _, lookahead := range []time.Duration{0, 500 * time.Millisecond} {
		synctest.Test(t, func(t *testing.T) {
			score, tl := theScore(t)
			r := start(t, tl.Ports, func(c *live.Config) {
				c.Score, c.Manner.Lookahead = score, lookahead
			})
			p := &program{r: r, tl: tl, pace: 1}
			p.play(0, p.barAt(7)+300*time.Millisecond)
			r.d.TakeScore(later(score, 4))
			from := p.barAt(7) + 300*time.Millisecond
			p.play(from, 8*time.Second)
			s := r.d.Status()
			if s.Position == nil {
				t.Fatalf("lookahead %v: no position: %+v", lookahead, s.Foreknowledge)
			}
			bar, _ := tl.Bars.Bar(tl.Tempo.Tick(from + 8*time.Second - lookahead))
			if s.Position.Bar < bar+3 || s.Position.Bar > bar+5 {
				t.Errorf("lookahead %v: found at bar %d, which was bar %d before four more were written", lookahead, s.Position.Bar, bar)
			}
			p.play(from+8*time.Second, 10*time.Minute)
			for i := 1; i <= tl.Ports; i++ {
				if held := sounding(r.heard(i)); len(held) > 0 {
					t.Errorf("lookahead %v: output %d: %v sound on", lookahead, i, held)
				}
			}
		})
	}
}

// later is a score with some bars more before it, of 4/4 at its first tempo.
func later(s *expr.Score, bars int) *expr.Score {
	out := *s
	out.Notes, out.Bars = nil, nil
	first := s.Bars[0]
	length := s.Bars[1].At - first.At
	beats := s.Bars[1].Beat - first.Beat
	for i := range bars {
		b := first
		b.At, b.Beat, b.Number = time.Duration(i)*length, float64(i)*beats, i+1
		out.Bars = append(out.Bars, b)
	}
	shift := time.Duration(bars) * length
	for _, b := range s.Bars {
		b.At, b.Beat, b.Number = b.At+shift, b.Beat+float64(bars)*beats, b.Number+bars
		out.Bars = append(out.Bars, b)
	}
	for _, n := range s.Notes {
		n.On, n.Off, n.Beat = n.On+shift, n.Off+shift, n.Beat+float64(bars)*beats
		out.Notes = append(out.Notes, n)
	}
	out.End += shift
	return &out
}

// An export is taken when it is written; one that cannot be read leaves the last.
func TestFollowScore(t *testing.T) {
	score, tl := theScore(t)
	path := filepath.Join(t.TempDir(), "piece.mid")
	write := func(text string) {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("as it was")
	log := make(lines, 1000)
	r := start(t, tl.Ports, func(c *live.Config) { c.Score, c.Log = score, zerolog.New(log) })
	live.FollowScore(r.d, live.ScoreFile{Path: path, Read: func() (*expr.Score, []string, error) {
		b, err := os.ReadFile(path)
		if err != nil || string(b) == "broken" {
			return nil, nil, errors.Join(err, errors.New("piece.mid: byte 3: no MIDI file"))
		}
		return later(score, 4), []string{"a slur is not ended"}, nil
	}})
	write("broken")
	log.await(t, "not taken", "no MIDI file")
	write("exported anew")
	log.await(t, "a slur is not ended")
	log.await(t, "score taken", "piece.mid")
}
