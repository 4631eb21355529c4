package console

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/profiles"
	"swellbox/profiles/change"
	"swellbox/proxy/perform"
)

// Workshop is where profiles are read, tried and saved.
type Workshop interface {
	// Draft is the document of a profile as it would be saved, and the folder for people.
	Draft(lib *profiles.Library, name string) (content []byte, where string, err error)
	// Try is the library with other content of that document, and what it changes in the words of music.
	Try(lib *profiles.Library, name string, content []byte) (*profiles.Library, []change.Line, error)
	// Save writes it as a new version, with a note.
	Save(lib *profiles.Library, name string, content []byte, note string) error
}

// bench is what is being adjusted: profiles that are heard and not saved yet. They lie over the
// documents, whatever else changes there meanwhile.
type bench struct {
	workshop Workshop
	load     func() (*perform.Cast, error)
	play     func(*perform.Cast) error

	mu     sync.Mutex
	drafts map[string]*draft
	order  []string
}

// draft is one profile with its steps.
type draft struct {
	steps [][]byte // what its document has held, the first as it is saved
	at    int      // which of them is heard
	where string
	going string // what the hand is still at; empty: nothing
}

// maxSteps is how many steps back there are.
const maxSteps = 200

func (d *draft) content() []byte { return d.steps[d.at] }

var errNoBench = errors.New("profiles cannot be adjusted here: this swellbox plays by a lock, or has no folder for them")

// over lays what is adjusted over a cast. What cannot be tried any more is given up, and said.
func (b *bench) over(c *perform.Cast) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.lay(c)
}

func (b *bench) lay(c *perform.Cast) error {
	var errs []error
	for _, name := range b.order {
		d := b.drafts[name]
		if d.at == 0 {
			continue
		}
		lib, _, err := b.workshop.Try(c.Library, name, d.content())
		if err != nil {
			errs = append(errs, fmt.Errorf("what was adjusted in %s is left out: %w", name, err))
			continue
		}
		c.Library = lib
	}
	return errors.Join(errs...)
}

// adjustment is the body of POST /api/adjust.
type adjustment struct {
	Name   string       `json:"name"`             // of the profile
	Do     string       `json:"do"`               // look, amount, curve, undo, redo, discard or save
	Key    string       `json:"key,omitempty"`    // of the habit or the curve
	Amount float64      `json:"amount,omitempty"` // of the habit
	Points [][2]float64 `json:"points,omitempty"` // of the curve
	Note   string       `json:"note,omitempty"`   // for the history
	Going  bool         `json:"going,omitempty"`  // the hand still moves: what comes next for the key takes this step's place
}

// adjust does one step, lets it be heard, and tells how the profile stands.
func (b *bench) adjust(r *adjustment) (*Adjusted, error) {
	if b.workshop == nil {
		return nil, errNoBench
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	c, err := b.load()
	if c == nil || c.Library == nil {
		return nil, err
	}
	saved := c.Library
	d := b.drafts[r.Name]
	if d == nil {
		if d, err = b.begin(saved, r.Name); err != nil {
			return nil, err
		}
	}
	if r.Do == "look" {
		return b.tell(saved, r.Name, d)
	}
	if err := b.step(saved, r, d); err != nil {
		return nil, err
	}
	if b.drafts[r.Name] == nil {
		if b.drafts == nil {
			b.drafts = map[string]*draft{}
		}
		b.drafts[r.Name] = d
		b.order = append(b.order, r.Name)
	}
	if r.Do == "save" { // what was saved is what is read from now on
		b.forget(r.Name)
		if c, err = b.load(); c == nil || c.Library == nil {
			return nil, err
		}
		saved = c.Library
		if d, err = b.begin(saved, r.Name); err != nil {
			return nil, err
		}
	}
	if err := errors.Join(b.lay(c), b.play(c)); err != nil {
		return nil, err
	}
	return b.tell(saved, r.Name, d)
}

// begin is a draft of a profile as it is saved.
func (b *bench) begin(saved *profiles.Library, name string) (*draft, error) {
	content, where, err := b.workshop.Draft(saved, name)
	return &draft{steps: [][]byte{content}, where: where}, err
}

func (b *bench) forget(name string) {
	delete(b.drafts, name)
	b.order = slices.DeleteFunc(b.order, func(n string) bool { return n == name })
}

// step does one step of a draft. On an error the draft is as it was.
func (b *bench) step(saved *profiles.Library, r *adjustment, d *draft) error {
	path, value := "", ""
	was := d.going
	d.going = ""
	switch r.Do {
	case "amount":
		about := habitOf(r.Key)
		if about == nil {
			return fmt.Errorf("there is no habit %.40q", r.Key)
		}
		path, value = amountPath(about), fmt.Sprint(r.Amount)
	case "curve":
		kind := curveOf(r.Key)
		if kind == nil {
			return fmt.Errorf("there is no curve %.40q", r.Key)
		}
		path, value = kind.path, kind.list(r.Points)
	case "undo":
		d.at = max(d.at-1, 0)
		return nil
	case "redo":
		d.at = min(d.at+1, len(d.steps)-1)
		return nil
	case "discard":
		d.steps, d.at = d.steps[:1], 0
		return nil
	case "save":
		if d.at == 0 {
			return errors.New("nothing has been changed, so there is nothing to save")
		}
		return b.workshop.Save(saved, r.Name, d.content(), strings.Join(strings.Fields(r.Note), " "))
	default:
		return errors.New("a profile can be looked at, its amounts and curves set, a step be undone and redone, and all be discarded or saved")
	}
	content, err := change.Set(d.content(), path, value)
	if err != nil {
		return err
	}
	if _, _, err := b.workshop.Try(saved, r.Name, content); err != nil {
		return err
	}
	hand := r.Do + " " + r.Key
	if was == hand {
		d.at--
	}
	if r.Going {
		d.going = hand
	}
	d.steps = append(d.steps[:d.at+1:d.at+1], content)
	if len(d.steps) > maxSteps { // the second is forgotten: the first is as it is saved
		d.steps = append(d.steps[:1:1], d.steps[2:]...)
	}
	d.at = len(d.steps) - 1
	return nil
}

// tell is how a profile stands.
func (b *bench) tell(saved *profiles.Library, name string, d *draft) (*Adjusted, error) {
	lib, changes, err := b.workshop.Try(saved, name, d.content())
	if err != nil {
		return nil, err
	}
	before, err := saved.Resolve(name)
	if err != nil {
		return nil, err
	}
	now, err := lib.Resolve(name)
	if err != nil {
		return nil, err
	}
	a := &Adjusted{Name: name, Where: d.where, Undo: d.at > 0, Redo: d.at < len(d.steps)-1, Changes: []string{}, Curves: []Curve{}}
	for _, l := range changes {
		a.Changes = append(a.Changes, l.String())
	}
	for _, about := range habits.All() {
		if !about.All {
			a.Habits = append(a.Habits, Habit{about.Key, about.Name, about.Sentence, now.Amounts.Of(about.Key), before.Amounts.Of(about.Key)})
		}
	}
	for i := range curves {
		kind := &curves[i]
		if c, was := kind.of(now), kind.of(before); c != nil && was != nil {
			a.Curves = append(a.Curves, kind.tell(c, was))
		}
	}
	return a, nil
}

func habitOf(key string) *expr.About {
	for _, about := range habits.All() {
		if about.Key == key && !about.All {
			return about
		}
	}
	return nil
}

// amountPath is where a document has the amount of a habit.
func amountPath(about *expr.About) string {
	switch {
	case about.Own:
		return about.Key + ".amount"
	case len(about.Settings) > 0:
		return "habits." + about.Key + ".amount"
	}
	return "habits." + about.Key
}
