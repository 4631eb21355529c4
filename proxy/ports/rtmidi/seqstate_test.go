package rtmidi

import (
	"errors"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy/ports"
)

const sampleState = `Client info
  cur  clients : 7
  peak clients : 9
  max  clients : 192

Client   0 : "System" [Kernel Legacy]
  Port   0 : "Timer" (Rwe-)
  Port   1 : "Announce" (R-e-)
Client  14 : "Midi Through" [Kernel Legacy]
  Port   0 : "Midi Through Port-0" (RWe-)
    Connecting To: 129:0
    Connected From: 130:0
Client  20 : "USB Keys" [Kernel]
  Port   0 : "USB Keys MIDI 1" (RWeX) [In/Out]
    Connecting To: 131:0
Client 128 : "Sampler: "x"" [User Legacy]
  Port   0 : "MIDI 1" (-We-)
    Connected From: 130:0[r:0], 132:0
  Port   1 : "MIDI 2" (-We-)
  Input pool :
    Pool size          : 500
    Cells in use       : 20
    Peak cells in use  : 33
    Alloc success      : 1001
    Alloc failures     : 12
Client 129 : "Recorder" [User UMP MIDI2]
  Port   0 : "in" (-We-)
    Connected From: 14:0
  Output pool :
    Pool size          : 7
    Cells in use       : 7
  Input pool :
    Pool size          : 200
    Cells in use       : 190
Client 130 : "swellbox" [User Legacy]
  Port   0 : "shaped" (R-e-)
    Connecting To: 128:0[r:0], 14:0[r:0][ex]
Client 131 : "swellbox" [User Legacy]
  Port   0 : "keys" (-We-)
    Connected From: 20:0
  Input pool :
    Pool size          : 200
    Cells in use       : 0
Client 132 : "swellbox" [User Legacy]
  Port   0 : "to keys" (R-e-)
    Connecting To: 20:0, 128:1
`

func TestParseState(t *testing.T) {
	s := parseState([]byte(sampleState))
	numbers := slices.Sorted(maps.Keys(s))
	if want := []int{0, 14, 20, 128, 129, 130, 131, 132}; !slices.Equal(numbers, want) {
		t.Fatalf("clients %v, want %v", numbers, want)
	}
	want := &seqClient{name: `Sampler: "x"`, user: true, in: pool{500, 20, 12}, ports: map[int]*seqPort{
		0: {from: []seqAddress{{130, 0}, {132, 0}}}, 1: {}}}
	if got := s[128]; !reflect.DeepEqual(got, want) {
		t.Errorf("client 128 is %+v, want %+v", got, want)
	}
	if s[129].in != (pool{200, 190, 0}) || s[14].user || !s[129].user {
		t.Errorf("client 129 is %+v, 14 %+v", s[129], s[14])
	}
	for _, c := range []struct {
		client int
		want   route
		to     int
		from   int
	}{
		{130, route{readers: []int{128, 129}}, 2, 0}, // the second behind Midi Through
		{132, route{readers: []int{128}, device: true}, 2, 0},
		{131, route{}, 0, 1},
		{20, route{readers: []int{131}}, 1, 0},
		{14, route{readers: []int{129}}, 1, 1},
		{99, route{}, 0, 0},
	} {
		if got := s.route(c.client); !reflect.DeepEqual(got, c.want) {
			t.Errorf("the route of %d is %+v, want %+v", c.client, got, c.want)
		}
		if client := s[c.client]; client != nil && (client.peers(outputs) != c.to || client.peers(inputs) != c.from) {
			t.Errorf("%d has %d and %d peers, want %d and %d", c.client, client.peers(outputs), client.peers(inputs), c.to, c.from)
		}
	}
}

// What is not understood is passed over.
func TestParseStateOfNonsense(t *testing.T) {
	for in, want := range map[string]int{
		"": 0, "Client": 0, "Client x : \"a\" [User]\n": 0, "Port   0 : \"a\"\nConnecting To: 1:2\n": 0,
		"Client 1 : \nPort x : y\nConnecting To: 1:2\nPool size : z\nInput pool :\nPool size : z\n": 1,
		"Client 1 : \"\nPort 0 :\nConnecting To: a:b, 1, :, 128\n":                                  1,
	} {
		s := parseState([]byte(in))
		if len(s) != want {
			t.Errorf("%q: %d clients, want %d", in, len(s), want)
		}
		if c := s[1]; c != nil && (c.peers(outputs) != 0 || c.name != "") {
			t.Errorf("%q: %+v", in, c)
		}
	}
	loop := "Client 1 : \"Midi Through\" [Kernel]\nPort 0 : \"a\"\nConnecting To: 1:0\n"
	if got := parseState([]byte(loop)).route(1); !reflect.DeepEqual(got, route{}) {
		t.Errorf("a loop leads to %+v", got)
	}
}

func TestConnected(t *testing.T) {
	lib := &fakeLibrary{reader: &receiver{size: 200}}
	lib.ports[outputs] = []string{"Sampler 20:0"}
	s := lib.system("linux")
	watch := func(name string, virtual bool) ports.Watcher {
		out, err := s.OpenOut(name, virtual)
		if err != nil {
			t.Fatal(err)
		}
		return out.(ports.Watcher)
	}
	check := func(w ports.Watcher, n int, known bool) {
		t.Helper()
		if gotN, gotKnown := w.Connected(); gotN != n || gotKnown != known {
			t.Errorf("connected %d, %v; want %d, %v", gotN, gotKnown, n, known)
		}
	}
	virtual, named := watch("shaped", true), watch("Sampler", false)
	check(virtual, 1, true)
	check(named, 1, true)
	lib.reader, lib.ports[outputs] = nil, nil // it vanishes
	check(virtual, 0, true)
	check(named, 0, true)

	// Another swellbox started at the same moment: which client is ours is not known.
	lib.onOpen = func(*fakeClient) { lib.text = "Client 150 : \"swellbox\" [User Legacy]\n" }
	lib.ports[outputs] = []string{"Sampler 20:0"}
	named = watch("Sampler", false)
	check(named, 1, true) // by its name
	lib.ports[outputs] = nil
	check(named, 0, true)

	lib = &fakeLibrary{}
	s = lib.system("darwin")
	check(watch("shaped", true), 0, false)
	lib.ports[inputs] = []string{"Keys"}
	in, err := s.OpenIn("Keys", false, func([]byte) {})
	if err != nil {
		t.Fatal(err)
	}
	check(in.(ports.Watcher), 1, true)
	lib.ports[inputs] = nil
	check(in.(ports.Watcher), 0, true)
	s.Close()
	check(in.(ports.Watcher), 0, false)
}

func TestStateUnreadable(t *testing.T) {
	lib := &fakeLibrary{}
	s := lib.system("linux")
	s.host.state = func() ([]byte, error) { return nil, errors.New("no proc") }
	out, err := s.OpenOut("shaped", true)
	if err != nil {
		t.Fatal(err)
	}
	if n, known := out.(ports.Watcher).Connected(); n != 0 || known {
		t.Errorf("connected %d, %v", n, known)
	}
	if err := out.Send(note); err != nil {
		t.Error(err)
	}
}

func TestReadState(t *testing.T) {
	file := filepath.Join(t.TempDir(), "clients")
	if _, err := readState(file); err == nil {
		t.Error("read what is not there")
	}
	for n, want := range map[int]int{0: 0, 100: 100, maxState: maxState, maxState + 1: maxState} {
		if err := os.WriteFile(file, []byte(strings.Repeat("x", n)), 0o600); err != nil {
			t.Fatal(err)
		}
		if b, err := readState(file); err != nil || len(b) != want {
			t.Errorf("of %d bytes it reads %d, want %d, %v", n, len(b), want, err)
		}
	}
}
