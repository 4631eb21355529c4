package ports

import (
	"errors"
	"strings"
	"testing"
)

func TestFind(t *testing.T) {
	ports := []Info{
		{Name: "Midi Through:Midi Through Port-0 14:0", In: true, Out: true}, // 0
		{Name: "Sampler:Sampler MIDI 1 128:0", Out: true},                    // 1
		{Name: "Sampler:Sampler MIDI 2 128:1", Out: true},                    // 2
		{Name: "Notation:out 129:0", In: true},                               // 3
		{Name: "Strings", Out: true},                                         // 4
		{Name: "Strings high", Out: true},                                    // 5
		{Name: "Twin", In: true},                                             // 6
		{Name: "Twin", In: true},                                             // 7
	}
	for _, c := range []struct {
		name, want string // want: the name of the port, or a part of the error
		in         bool
		index      int // -1: an error
		missing    bool
	}{
		{name: "Sampler:Sampler MIDI 1 128:0", index: 1},
		{name: "Sampler:Sampler MIDI 1", index: 1},
		{name: "Sampler:Sampler MIDI 2 131:1", index: 2}, // the number of another day
		{name: "midi 2", index: 2},
		{name: "Strings", index: 4}, // exact wins over a part
		{name: "strings HIGH", index: 5},
		{name: "128:1", index: 2},
		{name: "notation", in: true, index: 3},
		{name: "through", in: true, index: 0},
		{name: "through", index: 0},
		{name: "notation", index: -1, missing: true, want: `"Strings high"`}, // it is no output
		{name: "sampler", index: -1, want: `means 2 MIDI outputs, give more of the name: "Sampler:Sampler MIDI 1 128:0", "Sampler:Sampler MIDI 2 128:1"`},
		{name: "Twin", in: true, index: -1, want: "means 2 MIDI inputs"},
		{name: "brass", index: -1, missing: true, want: `output "brass"; there are "Midi Through`},
		{name: "", index: -1, want: "is empty"},
		{name: "  ", in: true, index: -1, want: "input is empty"},
	} {
		i, err := Find(ports, c.name, c.in)
		if c.index >= 0 {
			if err != nil || i != c.index {
				t.Errorf("Find(%q, in %v) = %d, %v; want %d", c.name, c.in, i, err, c.index)
			}
			continue
		}
		if err == nil {
			t.Errorf("Find(%q, in %v) = %d, want an error", c.name, c.in, i)
			continue
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("Find(%q): %v; want %q in it", c.name, err, c.want)
		}
		if errors.Is(err, ErrNoPort) != c.missing {
			t.Errorf("Find(%q): %v; is ErrNoPort: %v, want %v", c.name, err, !c.missing, c.missing)
		}
	}
	if _, err := Find(nil, "x", true); !errors.Is(err, ErrNoPort) || !strings.Contains(err.Error(), "there is no other") {
		t.Errorf("no ports at all: %v", err)
	}
}
