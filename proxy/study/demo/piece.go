package demo

import (
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
)

// Piece is what is demonstrated: the built-in score, or one of the user's own.
type Piece struct {
	Title string
	File  *smf.File
	Score *expr.Score     // what is written over the notes; nil if only the file knows
	Bars  []time.Duration // the start of each bar, rising; none of a file in SMPTE time
	End   time.Duration
	Tune  string // the part in which the work of the habits shows best; empty where nobody said
}

// BuiltIn is the built-in score.
func BuiltIn() *Piece {
	bars, end := Bars()
	return &Piece{Title: Title, File: Score(), Bars: bars, End: end, Tune: "Violins I"}
}

// NewPiece is a piece of somebody's own; of a file of independent tracks, the first. An error is that of a file that cannot be played.
func NewPiece(title string, file *smf.File, score *expr.Score) (*Piece, error) {
	t, err := offline.NewTimeline(file, 0)
	if err != nil {
		return nil, err
	}
	p := &Piece{Title: title, File: file, Score: score, End: t.End}
	for _, bar := range t.Score().Bars {
		p.Bars = append(p.Bars, bar.At)
	}
	return p, nil
}
