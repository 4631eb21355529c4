package live_test

import (
	"bytes"
	"encoding/json"
	"testing"
	"testing/synctest"
)

// Status says what is played; scripts rely on the names of its fields.
func TestStatus(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 2, nil)
		r.feed(1, 0x90, 67, 90)
		r.feed(1, 0x90, 71, 90)
		r.feed(1, 0x80, 71, 64)
		r.feed(2, 0xF8)
		pass(1500 * ms)
		b, err := json.Marshal(r.d.Status())
		if err != nil {
			t.Fatal(err)
		}
		var s struct {
			NotesIn  int     `json:"notes_in"`
			NotesOut int     `json:"notes_out"`
			Side     string  `json:"side"`
			DelayMS  *int    `json:"delay_ms"`
			UptimeS  float64 `json:"uptime_s"`
			Parts    []struct {
				Name, Profile, Why, Origin, Side, Place string
				Players, Port, Channel                  int
				Notes, Passed, Sounding                 int
				PlayersBy                               string `json:"players_by"`
				Habits                                  map[string]int
				Fault                                   *string
			}
			Inputs, Outputs []struct {
				Name          string
				Virtual, Open bool
				Connected     *int
				Messages      int
			}
			Place    string `json:"place"`
			Warnings []string
			Position *struct{}

			Foreknowledge *struct {
				Grade, Transport, Why, Score string
				LookaheadMS                  float64 `json:"lookahead_ms"`
				Found                        bool
				Sure, Pace                   float64
			}
		}
		dec := json.NewDecoder(bytes.NewReader(b))
		dec.DisallowUnknownFields()
		if err := dec.Decode(&s); err != nil {
			t.Fatalf("%v: %s", err, b)
		}
		if s.NotesIn != 2 || s.NotesOut != 2 || s.Side != "shaped" || s.UptimeS != 1.5 || s.DelayMS == nil || *s.DelayMS != 0 || s.Warnings == nil || len(s.Warnings) != 0 || s.Position != nil {
			t.Errorf("status %s", b)
		}
		if f := s.Foreknowledge; f == nil || f.Grade != "none" || f.Transport != "stands" || f.Why != "single notes" || f.Score != "" || f.Found || f.LookaheadMS != 0 {
			t.Errorf("status %s", b)
		}
		if len(s.Parts) != 1 || len(s.Inputs) != 2 || len(s.Outputs) != 2 {
			t.Fatalf("status %s", b)
		}
		p := s.Parts[0]
		if p.Name != "First violins" || p.Profile != "violins" || p.Players != 12 || p.Port != 1 || p.Channel != 1 || p.Why != "the seating" || p.Notes != 2 || p.Sounding != 1 || p.Side != "shaped" || p.Habits["marks"] != 2 || p.Fault != nil {
			t.Errorf("part %+v", p)
		}
		if i, o := s.Inputs[1], s.Outputs[0]; i.Name != "in 2" || !i.Open || i.Messages != 1 || i.Connected == nil || *i.Connected != 1 || o.Name != "out 1" || o.Virtual || !o.Open || o.Messages != len(r.heard(1)) {
			t.Errorf("input %+v, output %+v", i, o)
		}
		wantContains(t, "log", r.log.String(), "First violins plays as violins: the seating")
	})
}
