package fit

import (
	"fmt"
	"math"

	"swellbox/expr"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/players"
)

// Corpus is what was read of all pieces.
type Corpus struct {
	tempo, length, ensemble Study
	levels                  levels
	tunes                   tunes
	pedals                  pedals
}

// NewCorpus is a corpus without pieces.
func NewCorpus() *Corpus { return &Corpus{} }

// Piece is what was read of the folder of a piece.
type Piece struct {
	piece    *players.Piece
	bare     *expr.Score // as its flat file alone has it
	score    *expr.Score // with what is written beside it
	features []*players.Features
}

// Read reads the folder of a piece. Errors name it. Several may be read at one time.
func Read(folder string) (*Piece, error) {
	p, err := players.ReadPiece(folder, math.MaxInt)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", folder, err)
	}
	x := &Piece{piece: p}
	if x.bare, x.score, err = known(p); err != nil {
		return nil, err
	}
	for i := range p.Takes {
		x.features = append(x.features, p.Features(&p.Takes[i]))
	}
	return x, nil
}

// Add adds a piece. The order of pieces decides the last digits of what is fitted.
func (c *Corpus) Add(x *Piece) {
	c.tempo.addTempo(x.piece, x.score, x.features)
	c.length.addLength(x.piece, x.score, x.features)
	c.levels.add(x.piece, x.bare, x.score)
	c.pedals.add(x.piece, x.score, x.features)
}

// AddRecorded reads the folder of an orchestral movement. Errors name it.
func (c *Corpus) AddRecorded(folder string) error {
	m, err := ReadRecorded(folder)
	if err != nil {
		return fmt.Errorf("%s: %w", folder, err)
	}
	c.ensemble.addRecorded(m)
	return c.tunes.addTold(folder, m)
}

// known is the score of a piece as the engine has it: the flat file's, by itself and with what the
// MusicXML score beside it says.
func known(p *players.Piece) (bare, whole *expr.Score, err error) {
	line, err := offline.NewTimeline(p.Flat(), 0)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", p.Name, err)
	}
	var piece *expr.Score
	if p.Score != "" {
		if _, piece, err = offline.ReadPiece(p.Score, offline.LeaveOrnaments); err != nil {
			return nil, nil, err
		}
	}
	bare, _ = line.Known(nil)
	whole, _ = line.Known(piece)
	return bare, whole, nil
}

// Quantity is what can be fitted.
type Quantity struct {
	Name string
	File string // of the table, from the project's folder
	Fit  func() (table []byte, said string, err error)
}

// Quantities are all that a corpus has data for.
func (c *Corpus) Quantities() []Quantity {
	var all []Quantity
	for _, q := range []struct {
		study *Study
		Quantity
	}{
		{&c.tempo, Quantity{"tempo", "expr/pace/table.go", c.tempo.fitTempo}},
		{&c.length, Quantity{"length", "expr/touch/table.go", c.length.fitLength}},
		{&c.ensemble, Quantity{"tempo of orchestras", "expr/pace/ensemble.go", c.ensemble.fitEnsemble}},
	} {
		if len(q.study.Samples) > 0 {
			all = append(all, q.Quantity)
		}
	}
	if len(c.levels.pieces) > 0 {
		all = append(all, Quantity{"level", "expr/nuance/table.go", c.levels.fitLevels})
	}
	if len(c.tunes.all) > 0 {
		all = append(all, Quantity{"tune among parts", "expr/voices/tunetable.go", c.tunes.fitTune})
	}
	if len(c.pedals.pieces) > 0 {
		all = append(all, Quantity{"pedal", "expr/pedalling/table.go", c.pedals.fitPedals})
	}
	return all
}
