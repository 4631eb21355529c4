package expr

import "math"

// Weight is the weight of an instrument against the others: none in piano, where
// all wind instruments are about equal, and growing with the written dynamic so
// that in forte one trumpet equals two horns, and one horn two woodwinds.
// More players than the sound stands for add as incoherent powers.
//
// Source: N. Rimsky-Korsakov, Principles of Orchestration, ch. I (public domain),
// his numbers of players read as sums of equal powers, 10·log10 N.
type Weight struct{}

// maxWeightGrowth is how far the weight grows on above forte, as a multiple of
// its value there. Ours: Rimsky-Korsakov names piano and forte only.
const maxWeightGrowth = 1.5

// Name is the rule's name in counts and reports.
func (Weight) Name() string { return "weighting" }

// Shape adds the weight to the level.
func (Weight) Shape(n *Note, g *Gesture) bool {
	w := &n.Profile.Weighting
	db := 0.0
	if w.ShareDB != 0 && w.ToDB > w.FromDB {
		grown := (n.WrittenDB - w.FromDB) / (w.ToDB - w.FromDB)
		db = w.ShareDB * min(max(grown, 0), maxWeightGrowth)
	}
	players := 0.0
	if n.Players > 0 && n.Profile.Players > 0 {
		players = 10 * math.Log10(float64(n.Players)/float64(n.Profile.Players))
	}
	g.LevelDB += w.K * (db + players)
	g.PlayersDB += w.K * players
	return w.K != 0 && (db != 0 || players != 0)
}
