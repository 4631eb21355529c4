package offline

import (
	"fmt"
	"math"

	"swellbox/proxy/formats/smf"
)

// maxPorts bounds the ports of a file, each of 16 channels.
const maxPorts = 256

// cable is what a file says of where a track leads: a port by number (meta 21), 0 if
// it does not say, and a device by name (meta 09).
type cable struct {
	number byte
	device string
}

// take follows a meta event, and reports whether it was about the cable.
func (c *cable) take(data []byte) bool {
	if len(data) < 3 || data[0] != 0xFF {
		return false
	}
	switch data[1] {
	case smf.MetaPort:
		c.number = data[2]
	case smf.MetaDevice:
		c.device = string(data[2:])
	default:
		return false
	}
	return true
}

// cables finds the port of each track's events. Each cable that anything is
// played through is a port of its own, in the order of the tracks.
type cables struct {
	ports map[cable]uint16
	now   []cable  // by track
	port  []uint16 // of now
}

func newCables(f *smf.File) (*cables, error) {
	c := &cables{ports: map[cable]uint16{}, now: make([]cable, len(f.Tracks)), port: make([]uint16, len(f.Tracks))}
	for i := range f.Tracks {
		first := firstCable(&f.Tracks[i])
		c.now[i] = first
		fresh := true
		for _, e := range f.Tracks[i].Events {
			switch {
			case c.now[i].take(e.Data):
				fresh = true
			case fresh && e.Data[0] != 0xFF:
				c.number(c.now[i])
				fresh = false
			}
		}
		c.now[i] = first
	}
	if len(c.ports) > maxPorts {
		return nil, fmt.Errorf("the file plays on %d ports; at most %d can be played", len(c.ports), maxPorts)
	}
	for i := range c.now {
		c.port[i] = c.ports[c.now[i]]
	}
	return c, nil
}

// firstCable is where a track leads at its start: what it says first, even if it
// says it late.
func firstCable(t *smf.Track) (c cable) {
	if n, ok := t.Port(); ok {
		c.number = byte(n)
	}
	for _, e := range t.Events {
		if kind, payload, ok := e.Meta(); ok && kind == smf.MetaDevice && len(payload) > 0 {
			c.device = string(payload)
			break
		}
	}
	return c
}

// list is the cables by port; of a file that plays nothing there is one.
func (c *cables) list() []cable {
	l := make([]cable, max(len(c.ports), 1))
	for k, port := range c.ports {
		l[port] = k
	}
	return l
}

func (c *cables) number(k cable) {
	if _, ok := c.ports[k]; !ok {
		c.ports[k] = uint16(min(len(c.ports), math.MaxUint16)) // more than maxPorts are refused
	}
}

// of is the port of an event, which may itself be the one that changes it.
func (c *cables) of(track int, data []byte) uint16 {
	if c.now[track].take(data) {
		c.port[track] = c.ports[c.now[track]]
	}
	return c.port[track]
}
