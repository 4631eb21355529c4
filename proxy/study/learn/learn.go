package learn

import (
	"context"
	"errors"
	"fmt"
	"math"

	"swellbox/expr"
	"swellbox/expr/aligning"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/players"
)

// Config is what is learnt from.
type Config struct {
	Cast  *perform.Cast
	Score *smf.File   // the passage, as the notation program plays it
	Piece *expr.Score // what is written over it; nil if nobody says
	Takes []*smf.File // performances of it
	Names []string    // of the takes, for errors
}

// Learnt is what the takes say of a player.
type Learnt struct {
	Profile string // the profile that the amounts are of: that of the score's part
	Amounts []Amount
	Matched []float64 // by take: the share of its notes that the score has
	Notes   int       // of all takes, that were learnt from

	Theirs players.Sizes // how much the takes do of what can be counted, their mean
	Before players.Sizes // how much the profile did, as it was
}

// Amount is one habit's.
type Amount struct {
	Habit  *expr.About
	Was    float64 // in the profile
	Amount float64
	Error  float64 // standard error
}

// Sure reports whether the amount is told from what it was: two standard errors apart.
func (a *Amount) Sure() bool { return math.Abs(a.Amount-a.Was) > 2*a.Error }

// leastMatched is the share of a take's notes that the score must have. Ours.
const leastMatched = 0.6

// ErrOther is that a take is of other music than the score.
var ErrOther = errors.New("most of its notes are not in the score")

// Takes learns from takes. It returns ctx's error when that ends it; other errors name the take.
func Takes(ctx context.Context, cfg *Config) (*Learnt, error) {
	line, err := offline.NewTimeline(cfg.Score, 0)
	if err != nil {
		return nil, err
	}
	if n := len(line.Hints); n != 1 {
		return nil, fmt.Errorf("the score has %d parts that play; learn from a score of one instrument", n)
	}
	part, profile, err := cfg.Cast.Choose(line.Hints[0])
	if err != nil {
		return nil, err
	}
	piece := players.PieceOf(line.Score())
	l := &Learnt{Profile: part.Profile}
	for i, take := range cfg.Takes {
		t, matched, err := takeOf(line, piece, take)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", cfg.Names[i], err)
		}
		if matched < leastMatched {
			return nil, fmt.Errorf("%s: %w: %.0f of 100 are; is it a take of this passage?", cfg.Names[i], ErrOther, 100*matched)
		}
		piece.Takes = append(piece.Takes, t)
		l.Matched = append(l.Matched, matched)
		l.Notes += len(t.Notes)
	}
	f := &fitter{cast: cfg.Cast, file: cfg.Score, piece: piece, profile: profile, manner: players.Known(cfg.Piece)}
	return l, f.fit(ctx, l)
}

// Piece learns from takes that are aligned already: those of a piece, played on the instrument
// of the cast's profile of that name. written is what stands over its notes; nil if nobody says.
func Piece(ctx context.Context, cast *perform.Cast, profile string, p *players.Piece, written *expr.Score) (*Learnt, error) {
	resolved, err := cast.Library.Resolve(profile)
	if err != nil {
		return nil, err
	}
	l := &Learnt{Profile: profile}
	for i := range p.Takes {
		l.Notes += len(p.Takes[i].Notes)
		l.Matched = append(l.Matched, 1)
	}
	f := &fitter{cast: cast, file: p.Flat(), piece: p, profile: resolved, manner: players.Known(written)}
	return l, f.fit(ctx, l)
}

// takeOf finds the score's notes in a take.
func takeOf(line *offline.Timeline, p *players.Piece, file *smf.File) (players.Take, float64, error) {
	played, err := offline.NewTimeline(file, 0)
	if err != nil {
		return players.Take{}, 0, err
	}
	theirs := played.Score()
	if len(theirs.Notes) == 0 {
		return players.Take{}, 0, errors.New("there is no note in it")
	}
	score, take := make([]aligning.Note, len(p.Notes)), make([]aligning.Note, len(theirs.Notes))
	for i, n := range p.Notes {
		score[i] = aligning.Note{At: n.Onset, Key: n.Key}
	}
	for i, n := range theirs.Notes {
		take[i] = aligning.Note{At: n.On.Seconds(), Key: n.Key}
	}
	t := players.Take{Notes: map[string]players.Sound{}, Pedal: players.PedalOf(played)}
	found := 0
	for k, j := range aligning.Align(score, take) {
		if j == aligning.None {
			continue
		}
		found++
		n := theirs.Notes[k]
		if _, twice := t.Notes[p.Notes[j].ID]; !twice { // of two passes, the first
			t.Notes[p.Notes[j].ID] = players.Sound{On: n.On.Seconds(), Off: n.Off.Seconds(), Velocity: float64(n.Velocity)}
		}
	}
	return t, float64(found) / float64(len(take)), nil
}
