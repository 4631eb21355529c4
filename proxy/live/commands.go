package live

import (
	"fmt"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/proxy/perform"
)

// Switch chooses the side that the named parts play from now on, or all parts
// if none is named. Names are those of the status, upper and lower case alike. An
// unknown name is an error that lists the known ones, and then nothing is switched. A
// daemon whose engine has failed plays raw and cannot be switched.
func (d *Daemon) Switch(side expr.Side, names []string) error {
	return d.performance.forParts(names, func(port, channel int) { d.performance.stage.Switch(port, channel, side) })
}

// forParts does something to the channels of the named parts, or to all channels if
// none is named, seated or not, so that what is seated later is treated alike.
func (p *performance) forParts(names []string, do func(port, channel int)) error {
	var err error
	p.locked(func() {
		if err = p.broken; err != nil {
			return
		}
		if len(names) == 0 {
			p.forAll(do)
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

// SetPlace has the named parts, or all if none is named, stand as in a hall or in a
// studio from now on. Errors are those of Switch.
func (d *Daemon) SetPlace(place expr.Place, names []string) error {
	return d.performance.forParts(names, func(port, channel int) { d.performance.stage.SetPlace(port, channel, place) })
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

// MaxLookahead is the longest lookahead of a daemon.
const MaxLookahead = engine.MaxLookahead

// SetLookahead delays all that comes in from now on by so much, 0 to [MaxLookahead]:
// while something sounds, it glides there. A daemon whose engine has failed keeps the
// delay that it had.
func (d *Daemon) SetLookahead(l time.Duration) error {
	if err := perform.CheckLookahead(l); err != nil {
		return err
	}
	var err error
	p := d.performance
	p.locked(func() {
		if err = p.broken; err == nil {
			p.stage.SetLookahead(l)
		}
	})
	return err
}

// Panic silences every output by every means there is.
func (d *Daemon) Panic() { d.performance.locked(d.performance.stage.Panic) }

// EndNotes ends every sounding note, as at a stop.
func (d *Daemon) EndNotes() { d.performance.locked(d.performance.stage.EndNotes) }
