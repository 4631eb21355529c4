package console

import (
	"math"

	"swellbox/expr"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
)

// now is what was seen last.
func (f *feed) now() *Now {
	g := f.cfg.Gauges
	n := &Now{AtS: rounded(g.At.Seconds()), Tune: g.Tune, TuneSure: rounded(g.TuneSure), Parts: make([]Moved, len(g.Parts)), LevelDB: f.hall.level()}
	if g.Place != nil {
		n.Bar, n.Beat, n.Sure = g.Place.Bar, math.Floor(g.Place.Beat*100)/100, rounded(g.Sure)
	}
	for i := range g.Parts {
		p, m := &g.Parts[i], &n.Parts[i]
		if p.Raw {
			m.RawDB = new(rounded(p.RawDB))
		}
		if p.Shaped {
			m.ShapedDB, m.Cents = new(rounded(p.ShapedDB)), math.Round(p.VibratoCents)
		}
		m.Pedal = rounded(p.Pedal)
		phrase(&p.Gauge, m)
		f.hall.tell(i, m)
	}
	return n
}

// phrase adds where a part that sounds is in its phrase.
func phrase(g *perform.Gauge, m *Moved) {
	if !g.Shaped || g.PhraseSince < 0 {
		return
	}
	m.PhraseS = new(rounded(g.PhraseSince.Seconds()))
	if whole := g.PhraseSince + g.PhraseUntil; g.PhraseUntil >= 0 && whole > 0 {
		m.Through = new(math.Round(100*float64(g.PhraseSince)/float64(whole)) / 100)
	}
}

const hidden = "hidden"

// state is how things stand, as a piece of the stream.
func (f *feed) state() []byte {
	s := f.cfg.Played.Status()
	k := &s.Foreknowledge
	out := State{
		Piece: k.Score, Side: s.Side, Place: s.Place, Simulated: f.cfg.Simulated, Matched: f.cfg.Gauges.Matched,
		DelayMS: math.Round(s.DelayMS), Lookahead: k.LookaheadMS, Grade: k.Grade, Transport: k.Transport, Why: k.Why,
		Health: health(&s, f.cfg.Simulated), Parts: make([]Seated, len(s.Parts)), Blind: f.blind.told(), Hall: f.hall.told(), Playing: s.Playing,
	}
	if k.BeatBy != "" {
		out.Beat = &Beat{By: k.BeatBy, PerMinute: math.Round(k.BeatsMin), Sure: rounded(k.BeatSure)}
	}
	blind := out.Blind != nil
	if blind {
		out.Side = hidden
	}
	for i := range s.Parts {
		out.Parts[i] = f.seated(i, &s.Parts[i])
		if blind {
			out.Parts[i].Side = hidden
		}
	}
	return message("state", &out)
}

func (f *feed) seated(i int, p *live.PartStatus) Seated {
	s := Seated{
		Name: p.Name, Profile: p.Profile, Players: p.Players, Side: p.Side, Place: p.Place,
		Why: p.Why, Doubt: p.Doubt, Else: p.Else, Fault: p.Fault,
	}
	var profile *expr.Profile
	if gauged := f.cfg.Gauges.Parts; i < len(gauged) {
		profile = gauged[i].Profile
	}
	if profile != nil {
		s.Family = profile.Family
		if profile.Instrument != nil {
			seat, moved := f.hall.seat(i, profile.Instrument)
			s.X, s.Y, s.Moved, s.Modeled = rounded(seat.X), rounded(seat.Y), moved, true
		}
	}
	return s
}
