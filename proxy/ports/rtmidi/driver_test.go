package rtmidi

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy/ports"
)

func TestPorts(t *testing.T) {
	lib := &fakeLibrary{}
	lib.ports[inputs] = []string{"Through 14:0", "Keys 20:0", "gone while listing"}
	lib.ports[inputs][2] = ""
	lib.ports[outputs] = []string{"Through 14:0", "Sampler 128:0", "Cut\x00tail"}
	s := lib.system("linux")
	want := []ports.Info{
		{Name: "Through 14:0", In: true, Out: true}, {Name: "Keys 20:0", In: true},
		{Name: "Sampler 128:0", Out: true}, {Name: "Cut", Out: true},
	}
	for range 100 {
		got, err := s.Ports()
		if err != nil || !slices.Equal(got, want) {
			t.Fatalf("%+v, %v; want %+v", got, err, want)
		}
		if _, err := s.OpenOut("nobody", false); !errors.Is(err, ports.ErrNoPort) {
			t.Fatalf("opened nobody: %v", err)
		}
	}
	if n := len(lib.clients); n != 2 {
		t.Errorf("%d clients were made, want one for each direction", n)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	for _, c := range lib.clients {
		if !slices.Equal(c.log, []string{"destroy"}) {
			t.Errorf("a lister did %q, want one destroy", c.log)
		}
	}
	if _, err := s.Ports(); !errors.Is(err, os.ErrClosed) {
		t.Errorf("Ports after Close: %v", err)
	}
}

func TestOwnPortsAreHidden(t *testing.T) {
	lib := &fakeLibrary{}
	s := lib.system("linux")
	in, err := s.OpenIn("strings", true, func([]byte) {})
	if err != nil {
		t.Fatal(err)
	}
	lib.ports[outputs] = []string{"swellbox:strings 130:0", "swellbox:strings 99:0"} // ours, and another swellbox's
	got, err := s.Ports()
	if want := []ports.Info{{Name: "swellbox:strings 99:0", Out: true}}; err != nil || !slices.Equal(got, want) {
		t.Errorf("%+v, %v; want %+v", got, err, want)
	}
	in.Close()
	if got, _ := s.Ports(); len(got) != 2 {
		t.Errorf("closed, but still hidden: %+v", got)
	}
}

// An object that failed once is replaced, as it would fail for ever.
func TestListRecovers(t *testing.T) {
	lib := &fakeLibrary{}
	s := lib.system("linux")
	if _, err := s.Ports(); err != nil {
		t.Fatal(err)
	}
	lib.broken = 1
	if _, err := s.Ports(); err != nil {
		t.Errorf("one error is not got over: %v", err)
	}
	if log := lib.clients[0].log; !slices.Equal(log, []string{"destroy"}) || len(lib.clients) != 3 {
		t.Errorf("the failed one did %q, %d clients", log, len(lib.clients))
	}
	lib.broken = 2
	if _, err := s.Ports(); err == nil || err.Error() != `cannot list the MIDI ports: the driver says "MidiInAlsa: it broke"` {
		t.Errorf("%v", err)
	}
	if _, err := s.Ports(); err != nil {
		t.Errorf("the next call: %v", err)
	}
}

// The list changes between the look and the opening.
func TestListMovesWhileOpening(t *testing.T) {
	lib := &fakeLibrary{}
	lib.ports[inputs] = []string{"A", "B"}
	strayed := make(chan bool)
	lib.onOpen = func(c *fakeClient) {
		lib.onOpen = nil
		lib.ports[inputs] = []string{"new", "A", "B"}
		go func() { c.hear(note); close(strayed) }() // from the wrong port
	}
	var got []byte
	s := lib.system("linux")
	in, err := s.OpenIn("B", false, func(b []byte) { got = append(got, b...) })
	if err != nil || in.Name() != "B" {
		t.Fatalf("%v, %v", in, err)
	}
	<-strayed
	if len(got) > 0 {
		t.Errorf("received % X from the wrong port", got)
	}
	first, second := lib.clients[1].log, lib.last().log
	if !slices.Equal(first[2:], []string{"open 1 in", "shut", "cancel", "destroy"}) || !slices.Contains(second, "open 2 in") {
		t.Errorf("%q, then %q", first, second)
	}

	lib.onOpen = func(*fakeClient) { lib.ports[inputs] = []string{"new"} }
	if _, err := s.OpenIn("B", false, nil); !errors.Is(err, ports.ErrNoPort) {
		t.Errorf("a port that went away while it was opened: %v, want ErrNoPort", err)
	}
	lib.ports[outputs] = []string{"A"}
	tries := 0
	lib.onOpen = func(*fakeClient) {
		tries++
		lib.ports[outputs] = append([]string{"new"}, lib.ports[outputs]...)
	}
	if _, err := s.OpenOut("A", false); !errors.Is(err, errMoved) || tries != maxTries {
		t.Errorf("a list that never rests: %v after %d tries", err, tries)
	}
}

func TestVirtualNames(t *testing.T) {
	for _, c := range []struct{ goos, name, want string }{
		{"linux", "Violins I", ""},
		{"darwin", "Violins I", ""},
		{"windows", "Violins I", "install a virtual MIDI cable"},
		{"linux", " ", "needs a name"},
		{"linux", strings.Repeat("x", 63), ""},
		{"linux", strings.Repeat("x", 64), "64 bytes, at most 63"},
		{"linux", "a\nb", "control character"},
	} {
		lib := &fakeLibrary{}
		s := lib.system(c.goos)
		_, errIn := s.OpenIn(c.name, true, func([]byte) {})
		_, errOut := s.OpenOut(c.name, true)
		for _, err := range []error{errIn, errOut} {
			if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
				t.Errorf("%s, %q: %v, want %q", c.goos, c.name, err, c.want)
			}
		}
		if c.want != "" && len(lib.clients) > 0 {
			t.Errorf("%s, %q: %d objects were made", c.goos, c.name, len(lib.clients))
		}
	}
}

// RtMidi puts the index behind each name on Windows.
func TestWindowsNames(t *testing.T) {
	lib := &fakeLibrary{}
	lib.ports[outputs] = []string{"Synth 0", "Twin 1", "Twin 2", "Cable 3 3"}
	s := lib.system("windows")
	got, err := s.Ports()
	want := []ports.Info{{Name: "Synth", Out: true}, {Name: "Twin 1", Out: true}, {Name: "Twin 2", Out: true}, {Name: "Cable 3", Out: true}}
	if err != nil || !slices.Equal(got, want) {
		t.Fatalf("%+v, %v; want %+v", got, err, want)
	}
	out, err := s.OpenOut("Cable 3", false)
	if err != nil || out.Name() != "Cable 3" || !slices.Contains(lib.last().log, "open 3 out") {
		t.Errorf("%v, %v, %q", out, err, lib.last().log)
	}
}

func TestDriverSaid(t *testing.T) {
	for in, want := range map[string]string{
		"MidiOutAlsa: no":                 `the driver says "MidiOutAlsa: no"`,
		"\x00\xf0\x9f\x92\xa9\x01":        "the driver gives no reason",
		"":                                "the driver gives no reason",
		"line\nbreak \x1b[31mred":         `the driver says "linebreak [31mred"`,
		strings.Repeat("long words ", 99): `the driver says "` + strings.TrimSpace(strings.Repeat("long words ", 99)[:maxWords]) + `"`,
	} {
		if got := driverSaid(errors.New(in)).Error(); got != want {
			t.Errorf("%q: %s, want %s", in, got, want)
		}
	}
}

func TestTryDevice(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "seq")
	if err := tryDevice(file); err == nil || !strings.Contains(err.Error(), "modprobe snd-seq") {
		t.Errorf("no device: %v", err)
	}
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := tryDevice(file); err != nil {
		t.Errorf("a device: %v", err)
	}
	if err := tryDevice(dir); err == nil || !strings.Contains(err.Error(), "cannot be opened") {
		t.Errorf("a folder: %v", err)
	}
}

// A machine or a build without ports says so in every call.
func TestNoPorts(t *testing.T) {
	reason := errors.New("no ports here")
	s := newSystem(nil, host{goos: "linux", ready: func() error { return reason }})
	_, err1 := s.Ports()
	_, err2 := s.OpenIn("x", true, nil)
	_, err3 := s.OpenOut("x", false)
	if err1 != reason || err2 != reason || err3 != reason {
		t.Errorf("%v, %v, %v", err1, err2, err3)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}
