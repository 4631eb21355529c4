package rtmidi

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"swellbox/proxy/ports"
)

var note = []byte{0x90, 60, 64}

func TestInputOrder(t *testing.T) {
	opened := []string{"ignore false false false", "listen", "open 0 in"}
	for goos, want := range map[string][]string{
		"linux":   append(slices.Clone(opened), "shut", "cancel", "destroy"),
		"windows": append(slices.Clone(opened), "shut"),
		"darwin":  append(slices.Clone(opened), "shut"),
	} {
		lib := &fakeLibrary{}
		lib.ports[inputs] = []string{"Notation:out 129:0"}
		s := lib.system(goos)
		in, err := s.OpenIn("notation", false, func([]byte) {})
		if err != nil {
			t.Fatal(err)
		}
		if in.Name() != "Notation:out 129:0" {
			t.Errorf("the name is %q", in.Name())
		}
		for range 2 {
			if err := in.Close(); err != nil {
				t.Error(err)
			}
		}
		if log := lib.last().log; !slices.Equal(log, want) {
			t.Errorf("%s: %q, want %q", goos, log, want)
		}
		if len(s.own) != 0 {
			t.Errorf("%s: closed ports are still our own: %v", goos, s.own)
		}
	}
}

// A message may be on its way in at each moment of Close.
func TestInputCloseInFlight(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		lib := &fakeLibrary{}
		s := lib.system("linux")
		entered, leave := make(chan bool), make(chan bool)
		count := 0
		in, err := s.OpenIn("Violins", true, func([]byte) {
			count++
			entered <- true
			<-leave
		})
		if err != nil {
			t.Fatal(err)
		}
		c := lib.last()
		c.onShut = func() { c.hear(note) } // the thread has one more before it ends
		go c.hear(note)
		<-entered
		closed := make(chan error)
		go func() { closed <- in.Close() }()
		synctest.Wait()
		if slices.Contains(c.log, "shut") {
			t.Error("the port was shut while a message was being received")
		}
		close(leave)
		if err := <-closed; err != nil {
			t.Error(err)
		}
		if count != 1 {
			t.Errorf("received %d messages, want 1", count)
		}
	})
}

func TestInputBytes(t *testing.T) {
	long := append(append([]byte{0xF0}, bytes.Repeat([]byte{5}, 100_000)...), 0xF7)
	for _, c := range []struct {
		name string
		in   [][]byte
		want []string
		lost uint64
	}{
		{"nil and empty", [][]byte{nil, {}, note}, []string{"903C40"}, 0},
		{"lone F7", [][]byte{{0xF7}, note}, []string{"903C40"}, 0},
		{"clock glued to a piece of system exclusive", [][]byte{{0xF0, 1, 0xF8}, {2, 0xF7}}, []string{"F8", "F00102F7"}, 0},
		{"note glued to a piece of system exclusive", [][]byte{{0xF0, 1, 0x90, 60, 64}, {2, 0xF7}}, []string{"903C40"}, 2},
		{"system exclusive whose head was lost", [][]byte{note, {1, 2, 3, 4, 0xF7}}, []string{"903C40"}, 4},
		{"long system exclusive", [][]byte{long}, []string{fmt.Sprintf("%X", long)}, 0},
		{"two messages in one", [][]byte{{0x90, 60, 64, 0x80, 60, 0}}, []string{"903C40", "803C00"}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			lib := &fakeLibrary{}
			var got []string
			in, err := lib.system("linux").OpenIn("Violins", true, func(b []byte) { got = append(got, fmt.Sprintf("%X", b)) })
			if err != nil {
				t.Fatal(err)
			}
			for _, b := range c.in {
				lib.last().hear(b)
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("received %.60v, want %.60v", got, c.want)
			}
			if lost := in.(ports.Lossy).Lost().Total(); lost != c.lost {
				t.Errorf("lost %d, want %d", lost, c.lost)
			}
		})
	}
}

// What fails before the port is open is returned, and leaves no object behind.
func TestInputFails(t *testing.T) {
	lib := &fakeLibrary{}
	lib.ports[inputs] = []string{"Keys"}
	lib.onOpen = func(c *fakeClient) { c.failed = errors.New("MidiInAlsa::openPort: ALSA error making port connection.") }
	_, err := lib.system("linux").OpenIn("Keys", false, func([]byte) {})
	if err == nil || !strings.Contains(err.Error(), `cannot open the MIDI port "Keys": the driver says "MidiInAlsa::openPort`) {
		t.Errorf("%v", err)
	}
	if log := lib.last().log; !slices.Equal(log[2:], []string{"open 0 in", "shut", "cancel", "destroy"}) {
		t.Errorf("left behind: %q", log)
	}

	lib = &fakeLibrary{refuse: errors.New("\x80\x90")}
	if _, err = lib.system("linux").OpenIn("Violins", true, nil); err == nil || !strings.HasSuffix(err.Error(), "the driver gives no reason") {
		t.Errorf("%v", err)
	}
}

// The pool gets its size before anybody can send into it, as what is in it then is lost.
func TestPoolIsEnlargedFirst(t *testing.T) {
	lib := &fakeLibrary{}
	lib.ports[inputs] = []string{"Keys"}
	s := lib.system("linux")
	s.host.enlarge = func(client int) {
		if c := lib.last(); c.number == client {
			c.did("enlarge")
		}
	}
	for name, virtual := range map[string]bool{"Keys": false, "strings": true} {
		if _, err := s.OpenIn(name, virtual, func([]byte) {}); err != nil {
			t.Fatal(err)
		}
		log := lib.last().log
		opened := slices.IndexFunc(log, func(did string) bool { return strings.HasPrefix(did, "open") })
		if enlarged := slices.Index(log, "enlarge"); enlarged < 0 || opened < enlarged {
			t.Errorf("%s: %q", name, log)
		}
	}
	lib.onOpen = func(c *fakeClient) { c.failed = errors.New("MidiInAlsa: it broke") }
	if _, err := s.OpenIn("Keys", false, func([]byte) {}); err == nil {
		t.Fatal("opened what cannot be")
	}
	if len(s.own) != 2 {
		t.Errorf("what could not be opened is still taken for our own: %v", s.own)
	}
}
