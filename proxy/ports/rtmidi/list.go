package rtmidi

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"swellbox/proxy/ports"
)

// maxPorts is how many ports of a direction are listed; ALSA has room for 192
// clients (its kernel code, from memory), so that a longer list is the library's error.
const maxPorts = 4096

// listed is a port at its index in the library's list. It has no name when it is our
// own, or went away while the list was read.
type listed struct {
	raw  string // as the library has it
	name string // to show and to find
}

type portList []listed

// list asks the direction's long-lived client for its ports. After an error the
// client is made anew once, since the library's objects never recover from one.
func (s *System) list(d direction) (portList, error) {
	var err error
	for range 2 {
		if s.lists[d] == nil {
			if s.lists[d], err = s.newLister(d); err != nil {
				return nil, fmt.Errorf("cannot make a client to list the MIDI ports: %w", driverSaid(err))
			}
		}
		var list portList
		if list, err = read(s.lists[d]); err == nil {
			s.name(list)
			return list, nil
		}
		s.dropList(d)
	}
	return nil, fmt.Errorf("cannot list the MIDI ports: %w", driverSaid(err))
}

func (s *System) newLister(d direction) (client, error) {
	if d == inputs {
		return s.lib.newIn(clientName)
	}
	return s.lib.newOut(clientName)
}

func (s *System) dropList(d direction) {
	if s.lists[d] != nil {
		s.host.destroy(s.lists[d])
		s.lists[d] = nil
	}
}

func read(c client) (portList, error) {
	n, err := c.PortCount()
	if err != nil {
		return nil, err
	}
	if n < 0 || n > maxPorts {
		return nil, fmt.Errorf("the list has %d ports, at most %d are possible", n, maxPorts)
	}
	list := make(portList, n)
	for i := range list {
		name, err := c.PortName(i)
		if err != nil {
			return nil, err
		}
		list[i].raw = cutName(name)
	}
	return list, nil
}

// cutName mends a name that grew shorter between the library's two readings of
// it, which leaves zero bytes behind, and what would break a line of text.
func cutName(name string) string {
	name, _, _ = strings.Cut(name, "\x00")
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7F {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(name, "?"))
}

// name gives each port the name to show: none if it is our own, and on Windows the
// system's own name, without the index that RtMidi puts behind it and that
// changes with every device, where it is needed to tell no two apart.
func (s *System) name(list portList) {
	count := map[string]int{}
	for i, p := range list {
		list[i].name = p.raw
		if s.host.goos == "windows" {
			list[i].name = strings.TrimSuffix(p.raw, " "+strconv.Itoa(i))
		}
		count[list[i].name]++
	}
	for i, p := range list {
		if count[p.name] > 1 {
			list[i].name = p.raw
		}
		if s.own[clientOf(p.raw)] {
			list[i].name = ""
		}
	}
}

// clientOf is the ALSA client number in a port's name ("Sampler:MIDI 1 128:0"), or 0,
// which is nobody's but the kernel's.
func clientOf(name string) int {
	numbers := name[strings.LastIndexByte(name, ' ')+1:]
	client, _, ok := strings.Cut(numbers, ":")
	if n, err := strconv.Atoi(client); ok && err == nil {
		return n
	}
	return 0
}

// infos is the list for [ports.Find], whose index is the library's.
func (l portList) infos(d direction) []ports.Info {
	infos := make([]ports.Info, len(l))
	for i, p := range l {
		infos[i] = ports.Info{Name: p.name, In: p.name != "" && d == inputs, Out: p.name != "" && d == outputs}
	}
	return infos
}

// merge makes one list of the inputs and the outputs; an input and an output of
// the same name become one line.
func merge(ins, outs portList) []ports.Info {
	nameless := func(p ports.Info) bool { return p.Name == "" }
	all := slices.DeleteFunc(ins.infos(inputs), nameless)
	for _, o := range slices.DeleteFunc(outs.infos(outputs), nameless) {
		i := slices.IndexFunc(all, func(p ports.Info) bool { return p.Name == o.Name && !p.Out })
		if i < 0 {
			all = append(all, o)
			continue
		}
		all[i].Out = true
	}
	return all
}
