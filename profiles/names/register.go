package names

import (
	"cmp"
	"strings"
)

// Plain is the profile of what is not known at all: it plays as it comes.
const Plain = "plain"

// Limits of what an instrument is called.
const (
	longestName  = 3 // words of a name
	usualSeveral = 2 // players that a plural stands for: the wood-wind in pairs, common practice, no published source
)

// Numbers is what a number in a part's name counts.
type Numbers uint8

// What numbers count: players, as in "2 Flutes"; sections and their shares, as in "Violin 2"; or
// neither, as kettles, hands and manuals.
const (
	NumberPlayers Numbers = iota
	NumberSections
	NumberOther
)

// Called is how a score calls an instrument, and where it stands there. What is zero
// is not said.
type Called struct {
	Names    []string   // in all languages, [Fold]ed
	Plurals  []string   // words of the names that say that there are several who play alone, folded
	Doubtful []Doubtful // names, of others too, that mean it with some of the programs
	Letters  []string   // that mean it where nothing but numbers stands beside them, folded
	Programs []int      // of General MIDI, 1..128
	Order    int        // place in a score, from 1 at the top
	Numbers  Numbers    // what a number in the name counts
	Several  int        // how many a plural stands for
	Alone    string     // the profile of one who plays alone
	Bowed    bool       // it may be told to play pizzicato or tremolo
}

// Doubtful are names that mean an instrument only with some of the programs.
type Doubtful struct {
	Names    []string // folded
	Programs []int    // 1..128
}

// Over is c with what it does not say as under says it.
func (c Called) Over(under Called) Called {
	pick := func(a, b []string) []string {
		if a == nil {
			return b
		}
		return a
	}
	c.Names, c.Plurals, c.Letters = pick(c.Names, under.Names), pick(c.Plurals, under.Plurals), pick(c.Letters, under.Letters)
	if c.Doubtful == nil {
		c.Doubtful = under.Doubtful
	}
	if c.Programs == nil {
		c.Programs = under.Programs
	}
	c.Order, c.Numbers = cmp.Or(c.Order, under.Order), cmp.Or(c.Numbers, under.Numbers)
	c.Several, c.Alone = cmp.Or(c.Several, under.Several), cmp.Or(c.Alone, under.Alone)
	c.Bowed = c.Bowed || under.Bowed
	return c
}

// Register is what all instruments are called. It is read-only, and safe for concurrent use.
type Register struct {
	terms    map[string]string         // name to profile
	doubtful map[string]map[int]string // name, program to profile
	letters  map[string]string
	plurals  map[string]bool
	programs [128]string
	of       map[string]Called // by profile
}

// Entry is what one profile is called.
type Entry struct {
	Profile string
	Called
}

// NewRegister registers instruments. Where two claim a name or a program, the later has it.
func NewRegister(entries []Entry) *Register {
	r := &Register{
		terms: map[string]string{}, doubtful: map[string]map[int]string{}, letters: map[string]string{},
		plurals: map[string]bool{}, of: map[string]Called{},
	}
	for i := range r.programs {
		r.programs[i] = Plain
	}
	for _, e := range entries {
		r.of[e.Profile] = e.Called
		for _, n := range e.Names {
			r.terms[n] = e.Profile
		}
		for _, d := range e.Doubtful {
			for _, n := range d.Names {
				if r.doubtful[n] == nil {
					r.doubtful[n] = map[int]string{}
				}
				for _, p := range d.Programs {
					r.doubtful[n][p] = e.Profile
				}
			}
		}
		for _, l := range e.Letters {
			r.letters[l] = e.Profile
		}
		for _, w := range e.Plurals {
			r.plurals[w] = true
		}
		for _, p := range e.Programs {
			r.programs[p-1] = e.Profile
		}
	}
	for _, e := range entries {
		for _, d := range e.Doubtful {
			for _, n := range d.Names {
				if r.terms[n] == "" && r.letters[n] == "" {
					r.terms[n] = e.Profile // nobody has it for his own
				}
			}
		}
	}
	return r
}

// Fold is a name as names are compared: lower case, without accents. It is false for what can be
// no name, as it has no word or too many.
func Fold(name string) (string, bool) {
	tokens := tokensOf(name)
	return strings.Join(tokens, " "), len(tokens) > 0 && len(tokens) <= longestName && len(name) <= nameRead
}
