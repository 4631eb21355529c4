package live

import (
	"fmt"

	"swellbox/expr/beat"
	"swellbox/proxy/perform"
)

// mode is what the log says of the foreknowledge when it has changed: whether notes
// wait, and whether the score is found. key tells modes apart, and what is the same
// for another reason is the same.
type mode struct{ key, words string }

// waitingMode is whether notes wait in the lookahead.
func waitingMode(s *perform.Stage) mode {
	asked, _ := s.Lookahead()
	state, why := s.Transport()
	switch {
	case asked == 0:
		return mode{"none", "no lookahead: notes sound at once"}
	case state == beat.Stands:
		return mode{"stands", fmt.Sprintf("notes sound at once, in spite of the lookahead: %s", why)}
	}
	return mode{fmt.Sprint(asked), fmt.Sprintf("notes sound %d ms later: %s", asked.Milliseconds(), why)}
}

// enoughNotes is how many notes tell that a score is not found.
const enoughNotes = 8

// scoreMode is whether the score is found; nothing as long as nobody can tell.
func scoreMode(p *piece) mode {
	switch {
	case p.follower == nil || p.heard == 0:
	case p.isFound():
		return mode{"found", "score found"}
	case p.heard == enoughNotes:
		return mode{"lost", "score not found; playing without it"}
	}
	return mode{}
}

// news says a mode once: when it has been the same at so many looks in a row and is not
// what was said last.
type news struct {
	looks int
	seen  string
	same  int // looks at which it was as seen
	said  string
}

func (n *news) of(m mode) (words string) {
	if m.key != n.seen {
		n.seen, n.same = m.key, 0
	}
	if n.same++; m.key == "" || n.same < n.looks || m.key == n.said {
		return ""
	}
	n.said = m.key
	return m.words
}
