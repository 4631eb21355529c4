package console

import (
	"math"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// Now is what moves, as the page gets it: numbers are rounded to what can be seen.
type Now struct {
	AtS      float64 `json:"at_s"`               // since the daemon's start
	Bar      int     `json:"bar,omitempty"`      // 0: not known
	Beat     float64 `json:"beat,omitempty"`     // from 1
	Sure     float64 `json:"sure,omitempty"`     // probability of bar and beat, 0..1
	Tune     int     `json:"tune"`               // who has it, index in parts; -1: nobody knows
	TuneSure float64 `json:"tune_sure"`          // how much it stands out, 0..1
	Parts    []Moved `json:"parts"`              // in the order of the state's
	LevelDB  float64 `json:"level_db,omitempty"` // of all together at the listener, dB(A) by the model
}

// Moved is one part of [Now]. What is not there does not sound.
type Moved struct {
	RawDB    *float64 `json:"raw_db,omitempty"` // loudest note, dB re full of the sampler
	ShapedDB *float64 `json:"shaped_db,omitempty"`
	Cents    float64  `json:"cents,omitempty"`    // vibrato, peak to peak
	Pedal    float64  `json:"pedal,omitempty"`    // 0..1
	Heard    string   `json:"heard,omitempty"`    // at the listener: covered, blended, heard or dominant
	By       *int     `json:"by,omitempty"`       // who covers it most, index in parts
	LevelDB  float64  `json:"level_db,omitempty"` // at the listener
}

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
		f.hall.tell(i, m)
	}
	return n
}

// rounded is to a tenth.
func rounded(x float64) float64 { return math.Round(x*10) / 10 }

// State is what changes now and then.
type State struct {
	Piece     string   `json:"piece,omitempty"` // its file's name
	Side      string   `json:"side"`            // raw, shaped or mixed; hidden while a blind test plays
	Place     string   `json:"place"`           // hall, studio or mixed
	Simulated bool     `json:"simulated"`       // no sampler is there
	Matched   bool     `json:"matched"`         // raw is lowered to be as loud as shaped
	DelayMS   float64  `json:"delay_ms"`
	Lookahead float64  `json:"lookahead_ms"` // as asked for
	Grade     string   `json:"grade"`        // what is known of what follows: none, lookahead or score
	Transport string   `json:"transport"`    // runs or stands
	Why       string   `json:"why"`          // by what that is told
	BeatBy    string   `json:"beat_by,omitempty"`
	PerMinute float64  `json:"beats_a_minute,omitempty"`
	BeatSure  float64  `json:"beat_sure,omitempty"`
	Health    []Remark `json:"health"`
	Parts     []Seated `json:"parts"`
	Blind     *Blind   `json:"blind,omitempty"`
	Hall      Hall     `json:"hall"`
}

// Remark is one line on how things stand.
type Remark struct {
	Good bool   `json:"good"`
	Text string `json:"text"`
}

// Seated is one part of [State].
type Seated struct {
	Name    string   `json:"name"`
	Profile string   `json:"profile"`
	Family  string   `json:"family"`
	Players int      `json:"players"`
	Side    string   `json:"side"` // hidden while a blind test plays
	Place   string   `json:"place"`
	Why     string   `json:"why"`             // how the profile was found
	Doubt   string   `json:"doubt,omitempty"` // why it may be wrong
	Else    []string `json:"else,omitempty"`  // what it may be as well
	Fault   string   `json:"fault,omitempty"`
	X       float64  `json:"x"` // metres to the right of the conductor, as the audience sees it
	Y       float64  `json:"y"` // metres behind the conductor
	Modeled bool     `json:"modelled"`
}

const hidden = "hidden"

// state is how things stand, as a piece of the stream.
func (f *feed) state() []byte {
	s := f.cfg.Played.Status()
	k := &s.Foreknowledge
	out := State{
		Piece: k.Score, Side: s.Side, Place: s.Place, Simulated: f.cfg.Simulated, Matched: f.cfg.Gauges.Matched,
		DelayMS: math.Round(s.DelayMS), Lookahead: k.LookaheadMS, Grade: k.Grade, Transport: k.Transport, Why: k.Why,
		BeatBy: k.BeatBy, PerMinute: math.Round(k.BeatsMin), BeatSure: rounded(k.BeatSure),
		Health: health(&s, f.cfg.Simulated), Parts: make([]Seated, len(s.Parts)), Blind: f.blind.told(), Hall: f.hall.told(),
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
			seat := f.hall.seat(profile.Instrument)
			s.X, s.Y, s.Modeled = rounded(seat.X), rounded(seat.Y), true
		}
	}
	return s
}
