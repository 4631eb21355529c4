package live

import (
	"encoding/json"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/recording"
	"swellbox/proxy/perform"
)

// order is one thing that a performance was told besides messages, as a recording has it.
type order struct {
	Do        string        `json:"do"`
	Side      expr.Side     `json:"side,omitempty"`
	Place     expr.Place    `json:"place,omitempty"`
	Parts     []string      `json:"parts,omitempty"`
	Lookahead time.Duration `json:"lookahead,omitempty"` // ns
	Port      int           `json:"port,omitempty"`
	Part      int           `json:"part,omitempty"`
	DB        float64       `json:"db,omitempty"`
	On        bool          `json:"on,omitempty"`
	Begin     *beginning    `json:"begin,omitempty"`
	Cast      *castText     `json:"cast,omitempty"`
	Score     *expr.Score   `json:"score,omitempty"`
}

// What an order may tell to do.
const (
	toBegin     = "begin"     // by Begin: always the first
	toSwitch    = "switch"    // Parts to Side
	toPlace     = "place"     // Parts at Place
	toLookahead = "lookahead" // Lookahead
	toPanic     = "panic"
	toEndNotes  = "end notes"
	toRelease   = "release" // what came from Port
	toRestore   = "restore" // the output Port; with On, after it was lost
	toRetry     = "retry"
	toRecast    = "recast" // by Cast
	toFollow    = "follow" // Score
	toSetSeat   = "seat"   // Part, by DB
	toMatch     = "match"  // On
	toLeave     = "leave"  // always the last
	toLook      = "look"   // nothing
)

// beginning is what a daemon was made with, as far as what it plays goes by that.
type beginning struct {
	Program string         `json:"program"` // version, for people
	Inputs  int            `json:"inputs"`
	Outputs int            `json:"outputs"`
	Cast    *castText      `json:"cast"`
	Manner  perform.Manner `json:"manner"`
	Foot    FootSwitch     `json:"foot"`
	Match   bool           `json:"match"`
	Score   *expr.Score    `json:"score,omitempty"`
}

// diary takes down what a performance is told. Its zero value takes nothing down.
type diary struct{ to *recording.Writer }

// message takes down a message.
func (d diary) message(e *expr.Event) {
	if d.to != nil {
		d.to.Message(e.At, e.Port, e.Bytes())
	}
}

// order takes down an order of a time; one without text is none.
func (d diary) order(at time.Duration, text []byte) {
	if text != nil {
		d.to.Order(at, text)
	}
}

// text is an order as a recording has it; nil where nobody records it.
func (d diary) text(o *order) []byte {
	if d.to == nil || o == nil {
		return nil
	}
	b, err := json.Marshal(o)
	if err != nil { // a number that is none, in a score
		b, _ = json.Marshal(&order{Do: toLook})
	}
	return b
}

// ordered is locked, for what is to be told again in a replay.
func (p *performance) ordered(o *order, f func()) {
	text := p.diary.text(o)
	p.mu.Lock()
	if !p.closed {
		p.take(text)
		p.try(f)
		p.pull()
		p.out.flush()
		p.arm()
	}
	p.mu.Unlock()
}

// take brings the stage up to now, and takes down an order that is given now. p.mu is held.
func (p *performance) take(text []byte) {
	p.at = p.now()
	p.diary.order(p.at, text)
	p.try(func() { p.stage.Pull(p.at) })
}
