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
	tempo Study
}

// NewCorpus is a corpus without pieces.
func NewCorpus() *Corpus { return &Corpus{} }

// Add reads the folder of a piece. Errors name it.
func (c *Corpus) Add(folder string) error {
	p, err := players.ReadPiece(folder, math.MaxInt)
	if err != nil {
		return fmt.Errorf("%s: %w", folder, err)
	}
	s, err := known(p)
	if err != nil {
		return err
	}
	features := make([]*players.Features, len(p.Takes))
	for i := range p.Takes {
		features[i] = p.Features(&p.Takes[i])
	}
	c.tempo.addTempo(p, s, features)
	return nil
}

// known is the score of a piece as the engine has it: the flat file's, with what the MusicXML
// score beside it says.
func known(p *players.Piece) (*expr.Score, error) {
	line, err := offline.NewTimeline(p.Flat(), 0)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", p.Name, err)
	}
	var piece *expr.Score
	if p.Score != "" {
		if _, piece, err = offline.ReadPiece(p.Score); err != nil {
			return nil, err
		}
	}
	s, _ := line.Known(piece)
	return s, nil
}

// Quantity is what can be fitted.
type Quantity struct {
	Name string
	File string // of the table, from the project's folder
	Fit  func() (table []byte, said string, err error)
}

// Quantities are all that are fitted to a corpus.
func (c *Corpus) Quantities() []Quantity {
	return []Quantity{{"tempo", "expr/pace/table.go", c.tempo.fitTempo}}
}
