package seqtest

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// timed is a message at a time in milliseconds.
type timed struct {
	ms int
	b  []byte
}

// millisecondFile makes a file, a tick a millisecond, of one track a port. Tracks have
// no names: the daemon does not hear names, and has to seat by programs.
func millisecondFile(ports ...[]timed) *smf.File {
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 500}} // at 120 quarters a minute
	for i, messages := range ports {
		track := smf.Track{Events: []smf.Event{{Data: []byte{0xFF, smf.MetaPort, byte(i)}}}}
		slices.SortStableFunc(messages, func(a, b timed) int { return a.ms - b.ms })
		for _, m := range messages {
			track.Events = append(track.Events, smf.Event{Tick: int64(m.ms), Data: m.b})
			track.End = int64(m.ms)
		}
		f.Tracks = append(f.Tracks, track)
	}
	return f
}

// Marks are system exclusive, which comes out where it went in and is never said again.
func mark(n byte) []byte { return []byte{0xF0, 0x7D, n, 0xF7} }

// between is what was heard between the marks of a take, on each port, with times
// from the first of these on.
func between(t *testing.T, events []expr.Event, ports int, take byte) (part []expr.Event) {
	t.Helper()
	from, to := passageMarks(take)
	for port := range ports {
		on := onPort(events, port)
		part = append(part, on[indexOfMark(t, on, from)+1:indexOfMark(t, on, to)]...)
	}
	start := slices.MinFunc(part, func(a, b expr.Event) int { return cmp.Compare(a.At, b.At) }).At
	for i := range part {
		part[i].At -= start
	}
	return part
}

func indexOfMark(t *testing.T, events []expr.Event, n byte) int {
	t.Helper()
	i := slices.IndexFunc(events, func(e expr.Event) bool { return bytes.Equal(e.Bytes(), mark(n)) })
	if i < 0 {
		t.Fatalf("mark %d was not heard among %d messages", n, len(events))
	}
	return i
}

// programs are those of the passage, by port and channel: strings, brass,
// woodwind, voices, what is struck and what is plucked. Channel 10 has drums.
var programs = [2][10]byte{
	{40, 41, 42, 56, 60, 57, 71, 73, 0, 0},
	{48, 43, 68, 70, 58, 46, 47, 52, 19, 0},
}

// passageMarks are the marks at the two ends of a passage.
func passageMarks(take byte) (from, to byte) { return 2*take + 1, 2*take + 2 }

// passage is 3 s of music on 20 channels of two ports, between marks: detached,
// slurred and in chords, with what a notation program sends along.
func passage(take byte) *smf.File {
	rng := rand.New(rand.NewPCG(1, 2))
	var ports [2][]timed
	from, to := passageMarks(take)
	for port := range ports {
		add := func(ms int, b ...byte) { ports[port] = append(ports[port], timed{ms, b}) }
		add(0, mark(from)...)
		for ch := range byte(10) {
			base := 5 * int(ch)
			add(base, 0xB0|ch, 7, 100)
			add(base, 0xB0|ch, 10, 10*ch)
			add(base, 0xC0|ch, programs[port][ch])
			for _, c := range [][2]byte{{101, 0}, {100, 0}, {6, 2}, {38, 0}, {101, 127}, {100, 127}, {91, 40}} {
				add(base, 0xB0|ch, c[0], c[1])
			}
			add(base, 0xE0|ch, 0, 64)
			addMusic(rng, ch, 300+17*int(ch), add)
		}
		add(2000, sysex(300)...)
		add(3600, mark(to)...)
	}
	return millisecondFile(ports[0][:], ports[1][:])
}

// addMusic adds the notes of a channel from a time on, in one of four ways.
func addMusic(rng *rand.Rand, ch byte, start int, add func(ms int, b ...byte)) {
	key := func() byte { return byte(50 + rng.IntN(30)) }
	velocity := func() byte { return byte(30 + rng.IntN(90)) }
	note := func(ms, length int, key byte) {
		add(ms, 0x90|ch, key, velocity())
		add(ms+length, 0x80|ch, key, 64)
	}
	for i := range 6 {
		at := start + 500*i
		switch ch % 4 {
		case 0: // detached
			note(at, 400, key())
		case 1: // slurred: each note begins before the one before it ends
			note(at, 550, byte(60+i))
		case 2: // chords, the pedal down
			add(at-10, 0xB0|ch, 64, 127)
			for _, step := range []byte{0, 4, 7} {
				note(at, 380, 55+step+byte(i))
			}
			add(at+430, 0xB0|ch, 64, 0)
		case 3: // one long note under moves of the notation program's own
			if i == 0 {
				note(at, 2700, 64)
			}
			add(at+150, 0xB0|ch, 11, byte(127-10*i))
			add(at+200, 0xB0|ch, 16, byte(5*i)) // not 1: a render knows beforehand that a file moves it, and stays off
			add(at+250, 0xE0|ch, 0, byte(60+i))
			add(at+300, 0xD0|ch, byte(10*i))
		}
	}
}

func passageFile(t *testing.T, take byte) []byte { return fileOf(t, passage(take)) }

// timeline is a file as the events that a wire would see.
func timeline(t *testing.T, f *smf.File) []expr.Event {
	t.Helper()
	tl, err := offline.NewTimeline(f, 0)
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(tl.Events, func(e expr.Event) bool { return e.Len == 0 && e.Data[0] == 0xFF })
}

func rendered(t *testing.T, f *smf.File) []expr.Event {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	shaped, report, err := offline.Render(t.Context(), f, &perform.Cast{Library: lib}, perform.Manner{Only: habitsOfOneNote})
	if err != nil {
		t.Fatal(err)
	}
	if len(report.Warnings) > 0 {
		t.Fatalf("the render warns: %q", report.Warnings)
	}
	return timeline(t, shaped)
}

// habitsOfOneNote ask for nothing but the note itself, and so are not put off by the jitter
// of a machine.
var habitsOfOneNote = []string{"marks", "orchestra-weight", "bloom", "vibrato"}

// shapesAsRendered plays a passage through the daemon twice, by a sender that knows
// nothing of us: once all shaped, once with the parts of the first port raw. It asks what no jitter
// can change: that of all messages each comes once, in its order and to the byte where nothing is
// shaped, that shaping moves what a render moves and nothing else, and levels that players have.
// When each message comes, and its value at that time, is held against a render by
// TestLiveIsRender and TestLiveIsRenderHoweverItComes of proxy/live, in exact time.
func shapesAsRendered() Scenario {
	return Scenario{
		Name: "shapes-as-rendered",
		Script: `
			. "$LIB"
			live --inputs 2 --only ` + strings.Join(habitsOfOneNote, ",") + `
			heed heard 'swellbox out 1' 'swellbox out 2'
			ins=$(wait_port 'swellbox in 1'),$(wait_port 'swellbox in 2')
			aplaymidi -d 0 -p "$ins" "$FILES/passage-0.mid"
			wait_lines 2 "$OUT/heard.txt" F07D02F7
			swellbox status --json >"$OUT/shaped.json"
			IFS=$(printf '\n.') # a name is a line
			IFS=${IFS%.}
			set -- $(sed -n 's/.*"name": "\(channel [0-9]* of port 1 (.*)\)".*/\1/p' "$OUT/shaped.json")
			swellbox switch raw "$@"
			aplaymidi -d 0 -p "$ins" "$FILES/passage-1.mid"
			wait_lines 2 "$OUT/heard.txt" F07D04F7
			stop heard
			stop live`,
		Check: func(t *testing.T, r Result) {
			heard := taken(t, r, "heard.txt")
			if parts := readStatus(t, r, "shaped.json").Parts; len(parts) != 20 {
				t.Errorf("%d parts were seated, want 20", len(parts))
			}
			got, sent := byChannel(between(t, heard, 2, 0)), byChannel(timeline(t, passage(0)))
			shaped := 0
			for a, want := range byChannel(rendered(t, passage(0))) {
				c := comparison{t: t, a: a, got: got[a], sent: sent[a], want: want, moved: movedControllers(want, sent[a])}
				c.untouched()
				c.moves()
				c.levels()
				if len(c.moved) > 0 {
					shaped++
				}
			}
			if shaped < 10 {
				t.Errorf("shaping moves something of only %d parts", shaped)
			}

			second := byChannel(between(t, heard, 2, 1))
			for a, want := range byChannel(timeline(t, passage(1))) {
				if a.port == 0 {
					sameEvents(t, a, second[a], want)
				}
			}
		},
	}
}

// sameEvents holds the messages of a channel against those sent.
func sameEvents(t *testing.T, a address, got, want []expr.Event) {
	t.Helper()
	for i := range min(len(got), len(want)) {
		if !bytes.Equal(got[i].Bytes(), want[i].Bytes()) {
			t.Errorf("%v: message %d is %s, want %s", a, i, words(&got[i]), words(&want[i]))
			return
		}
	}
	if len(got) != len(want) {
		t.Errorf("%v: %d messages, want %d", a, len(got), len(want))
	}
}

// movedControllers are the controllers that shaping moves on a channel: those that the
// render has not as they were sent, among the notes.
func movedControllers(render, sent []expr.Event) map[byte]bool {
	amongNotes := func(events []expr.Event, number byte) (s string) {
		for i := range events {
			switch e := &events[i]; {
			case e.IsNoteOn() || e.IsNoteOff():
				s += fmt.Sprintf("% X;", e.Msg[:2])
			case e.Msg[0]&0xF0 == 0xB0 && e.Msg[1] == number:
				s += words(e) + ";"
			}
		}
		return s
	}
	moved := map[byte]bool{}
	for n := range byte(128) {
		if len(controller(render, n)) > 0 && amongNotes(render, n) != amongNotes(sent, n) {
			moved[n] = true
		}
	}
	return moved
}

// comparison is of one channel: what was heard of it, what was sent and what a render has.
type comparison struct {
	t               *testing.T
	a               address
	got, sent, want []expr.Event
	moved           map[byte]bool
}

func (c *comparison) isMoved(e *expr.Event) bool { return e.Msg[0]&0xF0 == 0xB0 && c.moved[e.Msg[1]] }

// untouched holds all that shaping does not move, velocities aside, against what was
// sent: the same messages in the same order.
func (c *comparison) untouched() {
	c.t.Helper()
	rest := func(events []expr.Event) (rest []expr.Event) {
		for _, e := range events {
			if c.isMoved(&e) {
				continue
			}
			if e.IsNoteOn() {
				e.Msg[2] = 1
			}
			rest = append(rest, e)
		}
		return rest
	}
	sameEvents(c.t, c.a, rest(c.got), rest(c.sent))
}

// moves checks that the controllers which a render moves before the first note, or with it, are moved.
// Others wait for a note to have lasted, and a machine that stood still may have left it no time.
func (c *comparison) moves() {
	c.t.Helper()
	before := func(events []expr.Event) map[byte]bool {
		m := map[byte]bool{}
		for i := range events {
			if events[i].IsNoteOn() {
				break
			}
			if c.isMoved(&events[i]) {
				m[events[i].Msg[1]] = true
			}
		}
		return m
	}
	if got, want := before(c.got), before(c.want); !maps.Equal(got, want) {
		c.t.Errorf("%v: before the first note the controllers %v are moved, want %v", c.a, got, want)
	}
}

// levels checks that each note starts at a level that habits can give it: theirs is held within
// expr.MaxNuanceDB either way of what the notation program asks for, and so here is no further than twice
// that from the render's.
func (c *comparison) levels() {
	c.t.Helper()
	const rounding = 1 // dB, of velocity and expression
	want := levelsAtNotes(c.want)
	for i, got := range levelsAtNotes(c.got) {
		if i < len(want) && math.Abs(got-want[i]) > 2*expr.MaxNuanceDB+rounding { // a note too many is reported already
			c.t.Errorf("%v: note %d starts at %.1f dB, in the render at %.1f", c.a, i, got, want[i])
		}
	}
}

// levelsAtNotes is the level of each note at its start, dB, as velocity and expression carry it.
//
// Source: 40·log10(v/127), General MIDI 2 and DLS.
func levelsAtNotes(events []expr.Event) (levels []float64) {
	expression := 127.0 // nobody has moved it
	for i := range events {
		switch e := &events[i]; {
		case e.IsNoteOn():
			levels = append(levels, 40*math.Log10(float64(e.Msg[2])/127*max(expression, 1)/127))
		case e.Msg[0]&0xF0 == 0xB0 && e.Msg[1] == 11:
			expression = float64(e.Msg[2])
		}
	}
	return levels
}

// controller is the messages of one controller of a channel.
func controller(events []expr.Event, number byte) (of []expr.Event) {
	for _, e := range events {
		if e.Msg[0]&0xF0 == 0xB0 && e.Msg[1] == number {
			of = append(of, e)
		}
	}
	return of
}

// span is the lowest and the highest value that a controller has from one time to
// another.
func span(moves []expr.Event, from, to time.Duration) (low, high int) {
	low, high = 128, -1
	for i := range moves {
		if moves[i].At > to || i+1 < len(moves) && moves[i+1].At <= from {
			continue
		}
		v := int(moves[i].Msg[2])
		low, high = min(low, v), max(high, v)
	}
	return low, high
}
