package rtmidi

import (
	"slices"
	"strconv"
	"strings"
)

// seqState is ALSA's sequencer as /proc/asound/seq/clients shows it, by client
// number. The kernel writes (seq_clientmgr.c, from memory; the sample in the test
// is of that form):
//
//	Client 129 : "Sampler" [User Legacy]
//	  Port   0 : "MIDI 1" (-We-)
//	    Connected From: 130:0[r:0], 14:0
//	  Input pool :
//	    Pool size          : 200
//	    Cells in use       : 3
//	    Alloc failures     : 0
type seqState map[int]*seqClient

type seqClient struct {
	name  string
	user  bool // a program, not the kernel
	ports map[int]*seqPort
	in    pool // what came for it and is not read yet
}

type seqPort struct{ to, from []seqAddress }

type seqAddress struct{ client, port int }

// pool is a store of events, counted in cells.
type pool struct {
	size, used int
	refused    uint64 // events that found no room, all in all
}

// parseState reads the text and passes over what it does not understand.
func parseState(text []byte) seqState {
	state := seqState{}
	var client *seqClient
	var port *seqPort
	var inPool bool // the pool being read is the client's input pool
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		key, value, ok := strings.Cut(line, ":")
		if !ok {
			continue
		}
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		if number, ok := numbered(key, "Client"); ok {
			name, kind := quotedName(value)
			client = &seqClient{name: name, user: strings.HasPrefix(kind, "[User"), ports: map[int]*seqPort{}}
			state[number], port, inPool = client, nil, false
			continue
		}
		if client == nil {
			continue
		}
		if number, ok := numbered(key, "Port"); ok {
			port = &seqPort{}
			client.ports[number] = port
			continue
		}
		switch {
		case key == "Connecting To" && port != nil:
			port.to = addresses(value)
		case key == "Connected From" && port != nil:
			port.from = addresses(value)
		case key == "Input pool", key == "Output pool":
			inPool = key == "Input pool"
		case key == "Pool size" && inPool:
			client.in.size, _ = strconv.Atoi(value)
		case key == "Cells in use" && inPool:
			client.in.used, _ = strconv.Atoi(value)
		case key == "Alloc failures" && inPool:
			client.in.refused, _ = strconv.ParseUint(value, 10, 64)
		}
	}
	return state
}

// numbered reads "Client 128".
func numbered(key, word string) (int, bool) {
	rest, ok := strings.CutPrefix(key, word+" ")
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(strings.TrimSpace(rest))
	return n, err == nil
}

// quotedName splits `"name" [kind]`. The name may hold quotes and colons.
func quotedName(value string) (name, kind string) {
	end := strings.LastIndexByte(value, '"')
	if end < 1 || value[0] != '"' {
		return "", ""
	}
	return value[1:end], strings.TrimSpace(value[end+1:])
}

// addresses reads "128:0, 129:1[r:0][ex]".
func addresses(value string) []seqAddress {
	var all []seqAddress
	for part := range strings.SplitSeq(value, ",") {
		part, _, _ = strings.Cut(strings.TrimSpace(part), "[")
		client, port, _ := strings.Cut(part, ":")
		c, err1 := strconv.Atoi(client)
		p, err2 := strconv.Atoi(port)
		if err1 == nil && err2 == nil {
			all = append(all, seqAddress{c, p})
		}
	}
	return all
}

// peers counts the connections of a client's ports: those it reads from for
// inputs, those it writes to for outputs.
func (c *seqClient) peers(d direction) int {
	n := 0
	for _, p := range c.ports {
		if d == inputs {
			n += len(p.from)
		} else {
			n += len(p.to)
		}
	}
	return n
}

// passesOn is the name of the kernel's client whose ports hand on what they get,
// whereas all others of the kernel's are devices (snd-seq-dummy, from memory).
const passesOn = "Midi Through"

// route is where the ports of a client lead.
type route struct {
	readers []int // programs, by client number, each once
	device  bool  // a device, whose buffer is not shown, is among the receivers
}

// route follows all that the client's ports are connected to.
func (s seqState) route(client int) route {
	var r route
	seen := map[seqAddress]bool{}
	var follow func(p *seqPort)
	follow = func(p *seqPort) {
		for _, a := range p.to {
			to := s[a.client]
			if to == nil || seen[a] {
				continue
			}
			seen[a] = true
			switch {
			case to.user && !slices.Contains(r.readers, a.client):
				r.readers = append(r.readers, a.client)
			case to.user:
			case to.name == passesOn:
				if next := to.ports[a.port]; next != nil {
					follow(next)
				}
			default:
				r.device = true
			}
		}
	}
	if c := s[client]; c != nil {
		for _, p := range c.ports {
			follow(p)
		}
	}
	return r
}
