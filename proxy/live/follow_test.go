package live_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"swellbox/profiles"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports"
)

// patience bounds a failure, and slows no success: only a hang meets it.
const patience = 2 * time.Minute

// lines is a log whose lines can be waited for.
type lines chan string

func (l lines) Write(b []byte) (int, error) {
	l <- string(b)
	return len(b), nil
}

// await reads the log up to a line that has all the words.
func (l lines) await(t *testing.T, words ...string) {
	t.Helper()
	limit := time.After(patience) // only a hang meets it
next:
	for {
		select {
		case line := <-l:
			for _, w := range words {
				if !strings.Contains(line, w) {
					continue next
				}
			}
			return
		case <-limit:
			t.Fatalf("the log has no line with %q", words)
		}
	}
}

// folder is a folder of own profiles with what reads it.
type folder struct {
	t      testing.TB
	dir    string
	keeper profiles.Keeper
	read   atomic.Int64 // how often
}

func newFolder(t testing.TB) *folder { return &folder{t: t, dir: t.TempDir()} }

func (f *folder) save(name, text string) {
	f.t.Helper()
	// As editors do: beside it first, then in its place.
	tmp := filepath.Join(f.dir, name+"~")
	if err := os.WriteFile(tmp, []byte(text), 0o644); err != nil {
		f.t.Fatal(err)
	}
	if err := os.Rename(tmp, filepath.Join(f.dir, name)); err != nil {
		f.t.Fatal(err)
	}
}

func (f *folder) cast() (*perform.Cast, error) {
	f.read.Add(1)
	lib, err := profiles.NewLibrary()
	if err != nil {
		return nil, err
	}
	err = f.keeper.AddFolder(lib, f.dir, profiles.Origin{Kind: profiles.Own, Label: f.dir})
	seating, errSeating := profiles.ParseSeating("seating", []byte(seats))
	if errSeating != nil {
		return nil, errSeating
	}
	return &perform.Cast{Library: lib, Seating: seating}, err
}

func (f *folder) folders() []string { return []string{f.dir} }

// wires are ports of a machine whose messages can be waited for.
type wires struct {
	receive []func(b []byte)
	heard   []chan [3]byte
}

func (w *wires) Ports() ([]ports.Info, error) { return nil, nil }
func (w *wires) Close() error                 { return nil }

func (w *wires) OpenIn(_ string, _ bool, receive func([]byte)) (ports.In, error) {
	w.receive = append(w.receive, receive)
	return wire{}, nil
}

func (w *wires) OpenOut(string, bool) (ports.Out, error) {
	heard := make(chan [3]byte, 1<<20)
	w.heard = append(w.heard, heard)
	return wire{heard}, nil
}

type wire struct{ heard chan [3]byte }

func (wire) Name() string                { return "wire" }
func (wire) Close() error                { return nil }
func (wire) Drain(context.Context) error { return nil }

func (w wire) Send(b []byte) error {
	var m [3]byte
	copy(m[:], b)
	w.heard <- m
	return nil
}

// until reads what the first output sends up to a message that begins so.
func (w *wires) until(t testing.TB, prefix ...byte) (read [][3]byte) {
	t.Helper()
	limit := time.After(patience) // only a hang meets it
	for {
		select {
		case m := <-w.heard[0]:
			read = append(read, m)
			if bytes.HasPrefix(m[:], prefix) {
				return read
			}
		case <-limit:
			t.Fatalf("no message % X", prefix)
		}
	}
}

// follow starts a daemon that follows the folder.
func (f *folder) follow(t testing.TB, log io.Writer) (*live.Daemon, *wires) {
	t.Helper()
	c, err := f.cast()
	if err != nil {
		t.Fatal(err)
	}
	w := &wires{}
	ports := make([]live.PortSpec, 2)
	d, err := live.NewDaemon(live.Config{System: w, Cast: c, Inputs: ports, Outputs: ports, Log: zerolog.New(log)})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	d.Follow(live.Documents{Folders: f.folders, Load: f.cast})
	return d, w
}

// ownViolins is a profile over the built-in one with a controller of its own for
// the level, by which one hears which version plays.
func ownViolins(controller int) string {
	return fmt.Sprintf("swellbox: 1\nname: violins\nextends: violins\nsampler:\n  level: {controller: %d}\n", controller)
}

// levelController is the controller that carries the level of a note played now.
func levelController(t testing.TB, w *wires) (number byte) {
	t.Helper()
	for _, key := range []byte{67, 69} { // the second says again what the first may only have given back
		w.receive[0]([]byte{0x90, key, 80 + key - 67})
		for _, m := range w.until(t, 0x90, key) {
			if m[0] == 0xB0 && (m[1] == 11 || m[1] >= 20 && m[1] < 30) {
				number = m[1]
			}
		}
		w.receive[0]([]byte{0x80, key, 64})
		w.until(t, 0x80, key)
	}
	return number
}

func TestFollow(t *testing.T) {
	f := newFolder(t)
	log := make(lines, 10000)
	d, w := f.follow(t, log)
	w.receive[0]([]byte{0x90, 60, 80})
	w.until(t, 0x90, 60)

	f.save("violins.yaml", ownViolins(20))
	log.await(t, "profile taken", "First violins")
	w.receive[0]([]byte{0x80, 60, 64})
	for _, m := range w.until(t, 0x80, 60) {
		if m[0] == 0xB0 && m[1] == 20 {
			t.Error("the new profile moves the note that began under the old one")
		}
	}
	if got := levelController(t, w); got != 20 {
		t.Errorf("the level is on controller %d, want that of the saved profile, 20", got)
	}

	f.save("violins.yaml", "swellbox: 1\nname: violins\nvibrato: {kk: 1}\n")
	log.await(t, "not all profiles taken", "violins.yaml:3")
	if got := levelController(t, w); got != 20 {
		t.Errorf("after a broken save the level is on controller %d, want the last good one, 20", got)
	}
	if w := strings.Join(d.Status().Warnings, "\n"); !strings.Contains(w, "violins.yaml:3") || !strings.Contains(w, "kk") {
		t.Errorf("the status does not tell of the broken save: %q", w)
	}

	f.save("violins.yaml", ownViolins(21))
	log.await(t, "profile taken")
	if got := levelController(t, w); got != 21 {
		t.Errorf("after the mend the level is on controller %d, want 21", got)
	}

	if err := os.Remove(filepath.Join(f.dir, "violins.yaml")); err != nil {
		t.Fatal(err)
	}
	log.await(t, "profile taken")
	if got := levelController(t, w); got != 11 {
		t.Errorf("without the file the level is on controller %d, want the built-in 11", got)
	}
	if w := d.Status().Warnings; len(w) != 0 {
		t.Errorf("warnings stay: %q", w)
	}
}

// storm saves the violins' profile over and over while four parts play, and checks
// that every note comes out once and ends once.
func storm(t *testing.T, saves int, over time.Duration) {
	f := newFolder(t)
	d, w := f.follow(t, io.Discard)
	saved := make(chan struct{})
	go func() {
		defer close(saved)
		pause := time.NewTicker(over / time.Duration(saves)) // somebody saves, whoever is ready or not
		defer pause.Stop()
		// It takes a quarter of the saves to be a storm, however long a busy machine is about them.
		for i := 0; i < saves || int(f.read.Load()) < saves/4; i++ {
			f.save("violins.yaml", ownViolins(20+i%2))
			<-pause.C
		}
	}()
	played := 0
	beat := time.NewTicker(2 * time.Millisecond) // somebody plays, whoever is ready or not
	defer beat.Stop()
	limit := time.After(over + patience) // only a hang meets it
	for storming := true; storming; played++ {
		select {
		case <-saved:
			storming = false
		case <-beat.C:
		case <-limit:
			t.Fatalf("only %d of so many saves were taken", f.read.Load())
		}
		key := func(n int) byte { return byte(50 + n%24) }
		for ch := range byte(3) {
			w.receive[0]([]byte{0x90 | ch, key(played), 80})
			if played > 0 { // each note overlaps with the next
				w.receive[0]([]byte{0x80 | ch, key(played - 1), 64})
			}
		}
	}
	for ch := range byte(3) {
		w.receive[0]([]byte{0x80 | ch, byte(50 + (played-1)%24), 64})
	}
	var on, off int
	count := func(m [3]byte) {
		switch m[0] & 0xF0 {
		case 0x90:
			on++
		case 0x80:
			off++
		}
	}
	limit = time.After(patience) // only a hang meets it
	for off < 3*played {         // the last ones are drawn a little longer than they came in
		select {
		case m := <-w.heard[0]:
			count(m)
		case <-limit:
			t.Fatalf("%d notes played, %d note-ons and only %d note-offs heard", 3*played, on, off)
		}
	}
	w.receive[0]([]byte{0xF6}) // marks the end
	for _, m := range w.until(t, 0xF6) {
		count(m)
	}
	if on != 3*played || off != 3*played {
		t.Errorf("%d notes played, %d note-ons and %d note-offs heard", 3*played, on, off)
	}
	for _, p := range d.Status().Parts {
		if p.Port == 1 && p.Sounding != 0 {
			t.Errorf("%s: %d notes hang", p.Name, p.Sounding)
		}
	}
}

func TestReloadStorm(t *testing.T) { storm(t, 50, 3*time.Second) }

// TestSoakReloadStorm is a thousand saves in a minute. Memory does not grow from
// the first storm to the second.
func TestSoakReloadStorm(t *testing.T) {
	if os.Getenv("SWELLBOX_SOAK") == "" {
		t.Skip("it takes two minutes: make soak runs it")
	}
	again := func(t *testing.T) { storm(t, 1000, time.Minute) }
	t.Run("first", again) // closes its daemon at its end
	before := heap()
	t.Run("second", again)
	if after := heap(); after > before+(1<<20) {
		t.Errorf("%d bytes are in use after a second storm, %d after the first", after, before)
	}
}
