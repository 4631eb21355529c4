package live

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/proxy/perform"
)

// orders are what a performance can be told to do, each recorded as it is told.
type orders struct{ *performance }

func (p orders) switchTo(side expr.Side, names []string) error {
	return p.forParts(&order{Do: toSwitch, Side: side}, names, func(port, channel int) { p.stage.Switch(port, channel, side) })
}

// forParts does something to the channels of the named parts, or to all channels if
// none is named, seated or not, so that what is seated later is treated alike.
func (p orders) forParts(o *order, names []string, do func(port, channel int)) error {
	var err error
	o.Parts = names
	p.ordered(o, func() {
		if err = p.broken; err != nil {
			return
		}
		if len(names) == 0 {
			perform.EachChannel(p.ports, do)
			return
		}
		var chosen []perform.Part
		for _, name := range names {
			found := named(p.stage, name)
			if len(found) == 0 {
				err = fmt.Errorf("there is no part %q; the parts are: %s", name, partNames(p.stage))
				return
			}
			chosen = append(chosen, found...)
		}
		for _, part := range chosen {
			do(part.Port, part.Channel)
		}
	})
	return err
}

func (p orders) setPlace(place expr.Place, names []string) error {
	return p.forParts(&order{Do: toPlace, Place: place}, names, func(port, channel int) { p.stage.SetPlace(port, channel, place) })
}

// named finds the parts of a name; several channels may share one.
func named(s *perform.Stage, name string) (found []perform.Part) {
	for _, p := range s.Parts {
		if strings.EqualFold(strings.TrimSpace(p.Name), strings.TrimSpace(name)) {
			found = append(found, p)
		}
	}
	return found
}

// partNames are the names that there are, in a list.
func partNames(s *perform.Stage) string {
	if len(s.Parts) == 0 {
		return "none yet, as no part has played a note"
	}
	names := make([]string, len(s.Parts))
	for i, p := range s.Parts {
		names[i] = fmt.Sprintf("%q", p.Name)
	}
	return strings.Join(names, ", ")
}

func (p orders) setLookahead(l time.Duration) error {
	if err := perform.CheckLookahead(l); err != nil {
		return err
	}
	var err error
	p.ordered(&order{Do: toLookahead, Lookahead: l}, func() {
		if err = p.broken; err == nil {
			p.stage.SetLookahead(l)
		}
	})
	return err
}

func (p orders) panicNow() { p.ordered(&order{Do: toPanic}, p.stage.Panic) }

func (p orders) endNotes() { p.ordered(&order{Do: toEndNotes}, p.stage.EndNotes) }

func (p orders) setSeat(w *perform.Watch, part int, db float64) {
	p.ordered(&order{Do: toSetSeat, Part: part, DB: db}, func() {
		if part >= 0 && part < len(p.stage.Parts) {
			w.SetSeat(part, db)
		}
	})
}

func (p orders) match(w *perform.Watch, on bool) {
	p.ordered(&order{Do: toMatch, On: on}, func() { w.Match(on, p.stage.Cast().Ensemble()) })
}

func (p orders) recast(c *perform.Cast) (changed []perform.Part, err error) {
	o := &order{Do: toRecast}
	if p.diary.to != nil {
		o.Cast = textOf(c)
	}
	p.mu.Lock()
	before := p.stage.Snapshot()
	p.mu.Unlock()
	plan, errPlan := before.Plan(c)
	p.ordered(o, func() { changed, err = p.stage.Recast(plan) })
	return changed, errors.Join(errPlan, err)
}

func (p orders) takeScore(score *expr.Score) {
	p.ordered(&order{Do: toFollow, Score: score}, func() {
		f := &p.finder
		place, known := f.piece.at(p.at, p.at)
		f.score = score
		f.follow(score)
		if !known || f.piece.follower == nil {
			return
		}
		for i := range score.Bars {
			if b := &score.Bars[i]; b.Number == place.Bar {
				f.piece.follower.Locate(b.Beat + max(place.Beat-1, 0)*4/float64(max(b.Unit, 1)))
				return
			}
		}
	})
}

// release ends what came from an input, if that is still right when it comes to that.
func (p orders) release(input int, right func() bool) (done bool) {
	p.ordered(nil, func() {
		if done = right(); done {
			p.diary.order(p.at, p.diary.text(&order{Do: toRelease, Port: input}))
			p.stage.Release(input)
		}
	})
	return done
}

// always is right whenever it comes to that.
func always() bool { return true }

// restore brings an output to the present state. Where it was lost, resume has it take messages
// again, and it may have missed note-offs.
func (p orders) restore(output int, lost bool, resume func()) {
	p.ordered(&order{Do: toRestore, Port: output, On: lost}, func() {
		if lost {
			resume()
			p.stage.AllNotesOff(output)
		}
		p.stage.Restore(output)
	})
}
