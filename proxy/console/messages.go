package console

import (
	"math"

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
	PhraseS  *float64 `json:"phrase_s,omitempty"` // since its phrase began
	Through  *float64 `json:"through,omitempty"`  // how much of its phrase is over, 0..1, where its end is known
	Heard    string   `json:"heard,omitempty"`    // at the listener: covered, blended, heard or dominant
	By       *int     `json:"by,omitempty"`       // who covers it most, index in parts
	LevelDB  float64  `json:"level_db,omitempty"` // at the listener
}

// State is what changes now and then.
type State struct {
	Piece     string        `json:"piece,omitempty"` // its file's name
	Side      string        `json:"side"`            // raw, shaped or mixed; hidden while a blind test plays
	Place     string        `json:"place"`           // hall, studio or mixed
	Simulated bool          `json:"simulated"`       // no sampler is there
	Matched   bool          `json:"matched"`         // raw is lowered to be as loud as shaped
	DelayMS   float64       `json:"delay_ms"`
	Lookahead float64       `json:"lookahead_ms"` // as asked for
	Grade     string        `json:"grade"`        // what is known of what follows: none, lookahead or score
	Transport string        `json:"transport"`    // runs or stands
	Why       string        `json:"why"`          // by what that is told
	Beat      *Beat         `json:"beat,omitempty"`
	Playing   *live.Playing `json:"playing,omitempty"` // nil where no file is played
	Health    []Remark      `json:"health"`
	Parts     []Seated      `json:"parts"`
	Blind     *Blind        `json:"blind,omitempty"`
	Hall      Hall          `json:"hall"`
}

// Beat is the beat, where it is known without a score.
type Beat struct {
	By        string  `json:"by"` // clock or ear
	PerMinute float64 `json:"a_minute"`
	Sure      float64 `json:"sure"` // probability, 0..1
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
	X       float64  `json:"x"`     // metres to the right of the conductor, as the audience sees it
	Y       float64  `json:"y"`     // metres behind the conductor
	Moved   bool     `json:"moved"` // it does not sit where it usually does
	Modeled bool     `json:"modelled"`
}

// Hall is where the listener sits.
type Hall struct {
	Room string  `json:"room"` // chamber, mid or large
	Row  int     `json:"row"`  // 0: at the conductor's place
	Y    float64 `json:"y"`    // metres behind the conductor; the audience has negative ones
}

// Blind is a blind test as the page shows it.
type Blind struct {
	Playing string  `json:"playing"` // a, b or x
	Trials  int     `json:"trials"`
	Right   int     `json:"right"`
	Last    string  `json:"last,omitempty"` // right or wrong
	Chance  float64 `json:"chance"`         // probability of so many right answers, or more, by guessing
}

// rounded is to a tenth.
func rounded(x float64) float64 { return math.Round(x*10) / 10 }
