package habits

import (
	"time"

	"swellbox/expr"
)

// QuickNotes makes short notes shorter and softer, those of about 0.2 s the most, and leaves
// long ones: see [quickNote]. What is joined to the next note stays joined.
//
// Foreknowledge. None: nothing, as nobody knows that a note will be short. Lookahead: as
// published, for all notes whose next onset or end comes within it. Score: for all.
//
// Source: A. Friberg, "Generative rules for music performance", Computer Music Journal 15(2)
// (1991) 56-71, from memory. There it changes the time between onsets; here the onsets stay,
// and the note sounds for less.
type QuickNotes struct{}

// quickKnots are the published ones.
var quickKnots = [...]struct {
	ioi    time.Duration
	ms, db float64
}{
	{30 * time.Millisecond, 0, 0},
	{200 * time.Millisecond, -16.5, -0.825},
	{400 * time.Millisecond, -10.5, -0.525},
	{600 * time.Millisecond, 0, 0},
}

// quickNote is by how much longer and louder a note is for the time to the next onset,
// linear between the knots, nothing beyond them.
func quickNote(ioi time.Duration) (longer time.Duration, db float64) {
	for i := 1; i < len(quickKnots); i++ {
		a, b := &quickKnots[i-1], &quickKnots[i]
		if ioi < a.ioi || ioi > b.ioi {
			continue
		}
		x := float64(ioi-a.ioi) / float64(b.ioi-a.ioi)
		longer = time.Duration((a.ms + x*(b.ms-a.ms)) * float64(time.Millisecond))
		return longer, a.db + x*(b.db-a.db)
	}
	return 0, 0
}

var aboutQuickNotes = expr.About{
	Name: "quick notes", Key: "quick_notes",
	Sentence: "Quick notes are a little shorter and softer than long ones.",
	Changed:  "shorter and softer quick notes",
	Listen:   "quick notes are a little shorter and softer than long ones: violins II and violas, bars 13 to 24",
	Needs: expr.Grades{
		None:      "nothing",
		Lookahead: "notes whose next one or end comes within it",
		Score:     "all notes",
	},
	Source: "Friberg 1991, from memory",
	Most:   expr.Bound{DB: 0.825},
}

// About says what the habit is.
func (QuickNotes) About() *expr.About { return &aboutQuickNotes }

// Shape takes from the note's level and length.
func (QuickNotes) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 {
		return false
	}
	ioi := n.ToNext
	if ioi < 0 {
		ioi = n.Length
	}
	longer, db := quickNote(ioi)
	if db == 0 {
		return false
	}
	g.NuanceDB += k * db
	if length := g.Lasts(n); g.Detached(n) {
		g.Sounding = max(length+time.Duration(k*float64(longer)), length/2)
	}
	return true
}
