package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/ports"
	"swellbox/proxy/ports/portstub"
)

// desktop is a user's machine: folders of their own, no settings, ports in memory.
type desktop struct {
	t   *testing.T
	dir string
	// system is what commands that need ports get.
	system ports.System
}

// atDesktop makes a machine, with the working folder in an empty one of the test's.
func atDesktop(t *testing.T) *desktop {
	t.Helper()
	d := &desktop{t: t, dir: t.TempDir(), system: &portstub.System{}}
	t.Chdir(d.dir)
	for _, e := range os.Environ() {
		if name, _, _ := strings.Cut(e, "="); strings.HasPrefix(name, "SWELLBOX_") {
			t.Setenv(name, "") // restored afterwards
			os.Unsetenv(name)
		}
	}
	for name, folder := range map[string]string{"HOME": "user", "XDG_CONFIG_HOME": "user", "XDG_CACHE_HOME": "cache", "XDG_RUNTIME_DIR": "run"} {
		t.Setenv(name, filepath.Join(d.dir, folder))
	}
	return d
}

// run runs a command line and returns what a shell would see.
func (d *desktop) run(args ...string) (status int, out, errs string) {
	d.t.Helper()
	var o, e bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: &o, Err: &e}, System: func() ports.System { return d.system }}
	status = run(context.Background(), p, args)
	return status, o.String(), e.String()
}

// must runs a command line that is to go well and returns what it printed.
func (d *desktop) must(args ...string) string {
	d.t.Helper()
	status, out, errs := d.run(args...)
	if status != 0 {
		d.t.Fatalf("%q: status %d, %s", args, status, errs)
	}
	return out
}

// file writes a file of the user's and returns its path.
func (d *desktop) file(name, content string) string {
	d.t.Helper()
	path := filepath.Join(d.dir, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		d.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
		d.t.Fatal(err)
	}
	return path
}

func (d *desktop) read(name string) string {
	d.t.Helper()
	b, err := os.ReadFile(filepath.Join(d.dir, name))
	if err != nil {
		d.t.Fatal(err)
	}
	return string(b)
}

// duet writes raw.mid, two parts of two notes each, one bar of four quarters of
// 50 ms each.
func (d *desktop) duet() { d.write("raw.mid", duet()) }

// long writes long.mid, a flute's one note of so many bars.
func (d *desktop) long(bars int64) { d.write("long.mid", longNote(bars)) }

func (d *desktop) write(name string, f *smf.File) {
	d.t.Helper()
	if err := smf.WriteFile(filepath.Join(d.dir, name), f); err != nil {
		d.t.Fatal(err)
	}
}

func duet() *smf.File {
	part := func(name string, channel, program byte, keys ...byte) smf.Track {
		t := smf.Track{End: 1920, Events: []smf.Event{
			{Data: append([]byte{0xFF, smf.MetaTrackName}, name...)},
			{Data: []byte{0xC0 | channel, program}},
		}}
		for i, key := range keys {
			tick := int64(i) * 960
			t.Events = append(t.Events,
				smf.Event{Tick: tick, Data: []byte{0x90 | channel, key, 90}},
				smf.Event{Tick: tick + 900, Data: []byte{0x80 | channel, key, 0}})
		}
		return t
	}
	return &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{
		{End: 1920, Events: []smf.Event{{Data: []byte{0xFF, smf.MetaTempo, 0, 0xC3, 0x50}}}},
		part("Violin I", 0, 40, 69, 71),
		part("Horn in F", 1, 60, 60, 62),
	}}
}

func longNote(bars int64) *smf.File {
	const bar = 1920 // ticks
	return &smf.File{Division: smf.Division{TicksPerQuarter: bar / 4}, Tracks: []smf.Track{{End: bars * bar, Events: []smf.Event{
		{Tick: 0, Data: []byte{0xC0, 73}}, // a flute
		{Tick: 0, Data: []byte{0x90, 72, 80}},
		{Tick: bars * bar, Data: []byte{0x80, 72, 0}},
	}}}}
}
