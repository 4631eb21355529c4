package main

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/proxy/live"
	"swellbox/proxy/ports"
	"swellbox/proxy/ports/portstub"
)

// patience is how long anything here may take before the test gives up on it.
const patience = 2 * time.Minute

// terminal is what a command that goes on prints, line by line.
type terminal struct {
	mu    sync.Mutex
	all   bytes.Buffer
	lines chan string
}

func newTerminal() *terminal { return &terminal{lines: make(chan string, 1000)} }

func (w *terminal) Write(b []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.all.Write(b)
	for line := range strings.SplitSeq(strings.TrimSuffix(string(b), "\n"), "\n") {
		w.lines <- line
	}
	return len(b), nil
}

func (w *terminal) String() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.all.String()
}

// audible is a system whose outputs tell of each message that was sent.
type audible struct {
	*portstub.System
	heard chan []byte
}

func newAudible() *audible { return &audible{&portstub.System{}, make(chan []byte, 10_000)} }

func (s *audible) OpenOut(name string, virtual bool) (ports.Out, error) {
	out, err := s.System.OpenOut(name, virtual)
	if err != nil {
		return nil, err
	}
	return &audibleOut{out, s.heard}, nil
}

type audibleOut struct {
	ports.Out
	heard chan<- []byte
}

func (o *audibleOut) Send(b []byte) error {
	err := o.Out.Send(b)
	o.heard <- slices.Clone(b)
	return err
}

// awaits gives the first thing that comes and is what is awaited.
func await[T any](t *testing.T, from <-chan T, what string, is func(T) bool) T {
	t.Helper()
	limit := time.After(patience) // only a hang meets it
	for {
		select {
		case x := <-from:
			if is(x) {
				return x
			}
		case <-limit:
			t.Fatalf("waited in vain for %s", what)
		}
	}
}

func noteOn(b []byte) bool { return b[0]&0xF0 == 0x90 && b[2] > 0 }

func noteOff(b []byte) bool { return b[0]&0xF0 == 0x80 || b[0]&0xF0 == 0x90 && b[2] == 0 }

// running is a command that goes on until it is ended.
type running struct {
	t         *testing.T
	out, errs *terminal
	cancel    context.CancelFunc
	done      chan int
}

func (d *desktop) start(args ...string) *running {
	d.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	r := &running{t: d.t, out: newTerminal(), errs: newTerminal(), cancel: cancel, done: make(chan int, 1)}
	p := &program.Program{Output: tell.Output{Out: r.out, Err: r.errs}, System: func() ports.System { return d.system }}
	go func() { r.done <- run(ctx, p, args) }()
	d.t.Cleanup(cancel)
	await(d.t, r.out.lines, "the command to play", func(line string) bool { return strings.HasPrefix(line, "playing;") })
	return r
}

// end is the command's status once it has ended.
func (r *running) end() int {
	r.t.Helper()
	return await(r.t, r.done, "the end", func(int) bool { return true })
}

// A player at the desk: plays, looks, compares, silences, ends.
func TestLive(t *testing.T) {
	d := atDesktop(t)
	sys := newAudible()
	d.system = sys
	r := d.start("live")
	if out := r.out.String(); !strings.Contains(out, "input 1:  swellbox in 1\n") || !strings.Contains(out, "output 1: swellbox out 1\n") {
		t.Errorf("printed %q", out)
	}
	sys.Feed("swellbox in 1", 0xC0, 40)
	sys.Feed("swellbox in 1", 0x90, 69, 90)
	await(t, sys.heard, "the note", noteOn)

	if out := d.must("status"); !strings.HasPrefix(out, "playing shaped, standing as in a hall, for ") || !strings.Contains(out, "1 note in, 1 out") || !strings.Contains(out, "violins") {
		t.Errorf("status prints %q", out)
	}
	var s live.Status
	if err := json.Unmarshal([]byte(d.must("status", "--json")), &s); err != nil {
		t.Fatal(err)
	}
	if s.NotesIn != 1 || s.Side != "shaped" || len(s.Parts) != 1 || s.Parts[0].Sounding != 1 || len(s.Inputs) != 1 || !s.Inputs[0].Open {
		t.Errorf("status is %+v", s)
	}
	if out := d.must("switch", "raw"); out != "playing raw\n" {
		t.Errorf("switch prints %q", out)
	}
	if out := d.must("switch", "shaped", s.Parts[0].Name); out != "playing shaped\n" {
		t.Errorf("switching the part prints %q", out)
	}
	if out := d.must("place", "studio"); out != "standing as in a studio\n" {
		t.Errorf("place prints %q", out)
	}
	if status, _, errs := d.run("sense", "church"); status != 2 || !strings.Contains(errs, "hall or studio") {
		t.Errorf("another place: status %d, %s", status, errs)
	}
	if status, _, errs := d.run("switch", "raw", "Theremin"); status != 1 || !strings.Contains(errs, `no part "Theremin"`) {
		t.Errorf("switching a part that is not there: status %d, %s", status, errs)
	}
	if out := d.must("panic"); out != "silenced\n" {
		t.Errorf("panic prints %q", out)
	}
	await(t, sys.heard, "the note's end", noteOff)
	await(t, sys.heard, "all sound off", func(b []byte) bool { return b[0]&0xF0 == 0xB0 && b[1] == 120 })

	sys.Feed("swellbox in 1", 0x90, 71, 90)
	await(t, sys.heard, "another note", noteOn)
	second := *d
	second.system = &portstub.System{}
	if status, _, errs := second.run("live"); status != 1 || !strings.Contains(errs, "another swellbox is running") {
		t.Errorf("a second one: status %d, %s", status, errs)
	}
	r.cancel()
	if status := r.end(); status != 0 {
		t.Errorf("ended with status %d, %s", status, r.errs)
	}
	await(t, sys.heard, "the end of what sounded", noteOff)
	if status, _, errs := d.run("status"); status != 1 || !strings.Contains(errs, "no swellbox is running") {
		t.Errorf("after the end: status %d, %s", status, errs)
	}
}

func TestLiveStartsRaw(t *testing.T) {
	d := atDesktop(t)
	sys := newAudible()
	d.system = sys
	r := d.start("live", "--raw", "--inputs", "2")
	sys.Feed("swellbox in 2", 0x90, 69, 33)
	if b := await(t, sys.heard, "the note", noteOn); b[2] != 33 {
		t.Errorf("the note is % X, want it as it came in", b)
	}
	if sent := sys.Sent("swellbox out 2"); len(sent) == 0 {
		t.Error("output 2 has heard nothing of input 2")
	}
	r.cancel()
	if status := r.end(); status != 0 {
		t.Errorf("status %d, %s", status, r.errs)
	}
}

// A loop plays its bar over and over until it is ended, which is no failure.
func TestPlayLoop(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	sys := newAudible()
	d.system = sys
	r := d.start("play", "raw.mid", "--loop", "1-1")
	if out := r.out.String(); !strings.Contains(out, "Horn in F") || !strings.Contains(out, "output 1: swellbox out 1\n") {
		t.Errorf("printed %q", out)
	}
	for range 3 * 4 { // three rounds
		await(t, sys.heard, "the next note", noteOn)
	}
	r.cancel()
	if status := r.end(); status != 0 {
		t.Errorf("ended with status %d, %s", status, r.errs)
	}
	checkEnded(t, sys.Sent("swellbox out 1"), 12)
}

// The bars of a loop are chosen while it plays; without one it ends by itself, as the piece does.
func TestLoopWhilePlaying(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	sys := newAudible()
	d.system = sys
	r := d.start("play", "raw.mid", "--loop", "1-1")
	for range 2 * 4 { // two rounds
		await(t, sys.heard, "the next note", noteOn)
	}
	if out := d.must("loop", "1"); out != "playing bars 1–1 over and over\n" {
		t.Errorf("loop 1 prints %q", out)
	}
	for args, says := range map[string]string{"9": "it has no bar 9", "some": "such as 5-8"} {
		if status, _, errs := d.run("loop", args); status == 0 || !strings.Contains(errs, says) {
			t.Errorf("loop %s: status %d, %s", args, status, errs)
		}
	}
	if out := d.must("loop", "off"); out != "playing on to the end\n" {
		t.Errorf("loop off prints %q", out)
	}
	if status := r.end(); status != 0 {
		t.Errorf("ended with status %d, %s", status, r.errs)
	}
}

// Without a loop, the piece ends by itself.
func TestPlayToTheEnd(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	sys := newAudible()
	d.system = sys
	if status := d.start("play", "raw.mid").end(); status != 0 {
		t.Errorf("status %d", status)
	}
	if n := checkEnded(t, sys.Sent("swellbox out 1"), 4); n != 4 {
		t.Errorf("%d notes, want 4", n)
	}
}

// What cannot be played where there are ports: one sentence, and nothing is opened.
func TestPlayRefusals(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	for args, want := range map[string]string{
		"play raw.mid --loop 3-2":      "bars 3–2",
		"play raw.mid --loop 7":        "no bar 7",
		"play raw.mid --out harmonium": "harmonium",
		"live --in harmonium":          "harmonium",
	} {
		d.system = &portstub.System{}
		status, out, errs := d.run(strings.Fields(args)...)
		if status != 1 || strings.Contains(out, "playing;") || strings.Count(errs, "\n") != 1 || !strings.HasPrefix(errs, "swellbox: ") || !strings.Contains(errs, want) {
			t.Errorf("%s: status %d, %q, %q", args, status, out, errs)
		}
	}
}

// checkEnded checks that there are so many notes or more, and that each has its end.
func checkEnded(t *testing.T, sent []portstub.Message, least int) (notes int) {
	t.Helper()
	sounding := map[[2]byte]int{}
	for _, m := range sent {
		switch {
		case noteOn(m.Data):
			notes++
			sounding[[2]byte{m.Data[0] & 0x0F, m.Data[1]}]++
		case noteOff(m.Data):
			sounding[[2]byte{m.Data[0] & 0x0F, m.Data[1]}]--
		}
	}
	if notes < least {
		t.Errorf("%d notes, want %d or more", notes, least)
	}
	for key, n := range sounding {
		if n > 0 {
			t.Errorf("note %d of channel %d has no end", key[1], key[0]+1)
		}
	}
	return notes
}

func TestPorts(t *testing.T) {
	d := atDesktop(t)
	sys := &portstub.System{}
	d.system = sys
	sys.Plug("left hand", true, false)
	sys.Plug("right hand", false, true)
	sys.Plug("both hands", true, true)
	out := d.must("ports")
	want := "left hand   --in\nright hand  --out\nboth hands  --in --out\n"
	if out != want {
		t.Errorf("printed\n%s\nwant\n%s", out, want)
	}
}

func TestPortsInJSON(t *testing.T) {
	d := atDesktop(t)
	if out := d.must("ports", "--json"); out != "[]\n" {
		t.Errorf("without ports it prints %q", out)
	}
	d.system = &portstub.System{}
	if out := d.must("ports"); !strings.Contains(out, "no MIDI ports") {
		t.Errorf("without ports it prints %q", out)
	}
	sys := &portstub.System{}
	sys.Plug("hall", true, false)
	d.system = sys
	var list []map[string]any
	if err := json.Unmarshal([]byte(d.must("ports", "--json")), &list); err != nil {
		t.Fatal(err)
	}
	if len(list) != 1 || len(list[0]) != 3 || list[0]["name"] != "hall" || list[0]["in"] != true || list[0]["out"] != false {
		t.Errorf("printed %v", list)
	}
}
