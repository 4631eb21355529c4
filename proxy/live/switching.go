package live

import (
	"fmt"
	"strings"

	"swellbox/expr"
	"swellbox/proxy/perform"
)

// Switch chooses the side that the named parts play from now on, or all parts
// if none is named. Names are those of the status, upper and lower case alike. An
// unknown name is an error that lists the known ones, and then nothing is switched. A
// daemon whose engine has failed plays raw and cannot be switched.
func (d *Daemon) Switch(side expr.Side, names []string) error {
	return d.forParts(names, func(port, channel int) { d.stage.Switch(port, channel, side) })
}

// forParts does something to the channels of the named parts, or to all channels if
// none is named, seated or not, so that what is seated later is treated alike.
func (d *Daemon) forParts(names []string, do func(port, channel int)) error {
	var err error
	d.locked(func() {
		if err = d.broken; err != nil {
			return
		}
		if len(names) == 0 {
			d.forAll(do)
			return
		}
		var chosen []perform.Part
		for _, name := range names {
			found := d.named(name)
			if len(found) == 0 {
				err = fmt.Errorf("there is no part %q; the parts are: %s", name, d.partNames())
				return
			}
			chosen = append(chosen, found...)
		}
		for _, p := range chosen {
			do(p.Port, p.Channel)
		}
	})
	return err
}

// forAll does something to every channel. d.mu is held.
func (d *Daemon) forAll(do func(port, channel int)) {
	for i := range len(d.outlets) * 16 {
		do(i/16, i%16)
	}
}

// SetPlace has the named parts, or all if none is named, stand as in a hall or in a
// studio from now on. Errors are those of Switch.
func (d *Daemon) SetPlace(place expr.Place, names []string) error {
	return d.forParts(names, func(port, channel int) { d.stage.SetPlace(port, channel, place) })
}

// named finds the parts of a name; several channels may share one.
func (d *Daemon) named(name string) (found []perform.Part) {
	for _, p := range d.stage.Parts {
		if strings.EqualFold(strings.TrimSpace(p.Name), strings.TrimSpace(name)) {
			found = append(found, p)
		}
	}
	return found
}

func (d *Daemon) partNames() string {
	if len(d.stage.Parts) == 0 {
		return "none yet, as no part has played a note"
	}
	names := make([]string, len(d.stage.Parts))
	for i, p := range d.stage.Parts {
		names[i] = fmt.Sprintf("%q", p.Name)
	}
	return strings.Join(names, ", ")
}

// switchAll switches every channel, seated or not, so that what is seated later
// is on the same side. d.mu is held.
func (d *Daemon) switchAll(side expr.Side) {
	d.forAll(func(port, channel int) { d.stage.Switch(port, channel, side) })
}

// rawParts counts the parts, and those of them that play raw. d.mu is held.
func (d *Daemon) rawParts() (raw, parts int) {
	for _, p := range d.stage.Parts {
		if d.stage.Side(p.Port, p.Channel) == expr.Raw {
			raw++
		}
	}
	return raw, len(d.stage.Parts)
}

// foot handles the foot switch, and reports whether the event was its. d.mu is held.
func (d *Daemon) foot(e *expr.Event) bool {
	f := &d.cfg.Foot
	if f.Controller == 0 || e.Len != 3 || e.Msg[0]&0xF0 != 0xB0 || int(e.Msg[1]) != f.Controller ||
		f.Channel != 0 && f.Channel != e.Channel()+1 {
		return false
	}
	pressed := e.Msg[2] >= 64
	if pressed == d.pressed || d.broken != nil {
		return true
	}
	d.pressed = pressed
	side := expr.Shaped
	switch {
	case f.Hold && pressed, !f.Hold && pressed && d.side() == expr.Shaped.String():
		side = expr.Raw
	case !f.Hold && !pressed:
		return true
	}
	d.pull()
	d.switchAll(side)
	return true
}
