package ports

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
)

// ErrNoPort is wrapped by the errors of [Find], OpenIn and OpenOut when no port
// answers to the name now. One may appear later, so a caller can wait for it; any
// other error needs a person.
var ErrNoPort = errors.New("no such port")

// sequencerNumbers is the client and port number that ALSA's port list puts
// behind a name. They change from one start of a program to the next.
var sequencerNumbers = regexp.MustCompile(` \d+:\d+$`)

// Find is the index in ports of the input (or output) that name means. It is
// the port of exactly that name; else the one that has that name but for the
// numbers which ALSA puts at its end ("Sampler:MIDI 1 128:0"); else the only one of
// which name is a part, in capitals or not. Where several ports answer
// equally well, none is taken and the error lists them.
func Find(ports []Info, name string, in bool) (index int, err error) {
	direction := "output"
	if in {
		direction = "input"
	}
	if strings.TrimSpace(name) == "" {
		return 0, fmt.Errorf("the name of the MIDI %s is empty: give a port's name, or a part of it", direction)
	}
	bare := sequencerNumbers.ReplaceAllString(name, "")
	lower := strings.ToLower(bare)
	ways := []func(port string) bool{
		func(port string) bool { return port == name },
		func(port string) bool { return sequencerNumbers.ReplaceAllString(port, "") == bare },
		func(port string) bool { return strings.Contains(strings.ToLower(port), lower) },
	}
	for _, matches := range ways {
		var found []int
		for i, p := range ports {
			if (in && p.In || !in && p.Out) && matches(p.Name) {
				found = append(found, i)
			}
		}
		if len(found) == 1 {
			return found[0], nil
		}
		if len(found) > 1 {
			return 0, fmt.Errorf("%q means %d MIDI %ss, give more of the name: %s", name, len(found), direction, quoted(ports, found))
		}
	}
	var all []int
	for i, p := range ports {
		if in && p.In || !in && p.Out {
			all = append(all, i)
		}
	}
	if len(all) == 0 {
		return 0, fmt.Errorf("%w: MIDI %s %q, and there is no other", ErrNoPort, direction, name)
	}
	return 0, fmt.Errorf("%w: MIDI %s %q; there are %s", ErrNoPort, direction, name, quoted(ports, all))
}

// quoted lists the names of the ports at the given indexes.
func quoted(ports []Info, at []int) string {
	names := make([]string, len(at))
	for i, p := range at {
		names[i] = fmt.Sprintf("%q", ports[p].Name)
	}
	return strings.Join(names, ", ")
}
