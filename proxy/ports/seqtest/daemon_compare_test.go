package seqtest

import (
	"bytes"
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
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
// of a machine. What hears phrases, slurs and the beat takes a few milliseconds more or less
// for other music; proxy's TestLiveIsRender holds that against its render, in exact time.
var habitsOfOneNote = []string{"marks", "orchestra-weight", "bloom", "vibrato"}

// shapesAsRendered plays a passage through the daemon twice, by a sender that knows
// nothing of us: once all shaped, once with the parts of the first port raw. What is
// shaped is held against its render, what is raw against what was sent.
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
			set -- $(sed -n 's/.*"name": "\(.*(port 1 channel [0-9]*)\)".*/\1/p' "$OUT/shaped.json")
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
			first := between(t, heard, 2, 0)
			late := lateness(t, first, timeline(t, passage(0)))
			most := quantiles(slices.Concat(late[0], late[1]))[2]
			compareShaped(t, first, arrivals(t, passage(0), first), most)

			second := between(t, heard, 2, 1)
			sent := timeline(t, passage(1))
			for a, want := range byChannel(onPort(sent, 0)) {
				sameEvents(t, a, byChannel(second)[a], want)
			}
			// Both sides have the same delay, so that only the music tells them apart. On one
			// machine in one take the jitter of the sender and of the scheduler is the same
			// for both; what shaping adds to it must not show, but for a millisecond on a
			// machine that is almost still.
			off := lateness(t, second, sent)
			raw, shaped := quantiles(off[0]), quantiles(off[1])
			t.Logf("note-ons off their times, median, 95 %% and most: raw %v, shaped %v", raw, shaped)
			if shaped[0] > 3*raw[0]+time.Millisecond {
				t.Errorf("in the median shaped notes are off their times by %v, raw ones by %v", shaped[0], raw[0])
			}
		},
	}
}

// arrivals is a file as it came in, judged by what came out: each message that
// shaping leaves in its place has the time at which it was heard, the others keep
// their distance to the one before. So what a slow machine does to times cancels out.
func arrivals(t *testing.T, f *smf.File, heard []expr.Event) *smf.File {
	t.Helper()
	const perMillisecond = 10
	out := &smf.File{Format: f.Format, Division: smf.Division{TicksPerQuarter: f.Division.TicksPerQuarter * perMillisecond}}
	for port := range f.Tracks {
		notes := byChannel(notesOf(onPort(heard, port)))
		var in smf.Track
		var late int64
		for _, e := range f.Tracks[port].Events {
			at := e.Tick*perMillisecond + late
			if short := expr.Short(0, uint16(port), e.Data[:min(len(e.Data), 3)]...); short.IsNoteOn() || short.IsNoteOff() {
				a := address{short.Port, short.Channel()}
				if len(notes[a]) == 0 {
					t.Fatalf("%v: fewer notes were heard than sent", a)
				}
				at = int64(notes[a][0].At * perMillisecond / time.Millisecond)
				late = at - e.Tick*perMillisecond
				notes[a] = notes[a][1:]
			}
			in.End = max(in.End, at)
			in.Events = append(in.Events, smf.Event{Tick: in.End, Data: e.Data})
		}
		out.Tracks = append(out.Tracks, in)
	}
	return out
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

func notesOf(events []expr.Event) (notes []expr.Event) {
	for _, e := range events {
		if e.IsNoteOn() || e.IsNoteOff() {
			notes = append(notes, e)
		}
	}
	return notes
}

// lateness returns by port how far each note-on is off its time, when all have been
// moved by the same amount so that they are as often early as late.
func lateness(t *testing.T, got, want []expr.Event) (off [2][]time.Duration) {
	t.Helper()
	heard := byChannel(got)
	var all []time.Duration
	for a, channel := range byChannel(want) {
		w, g := notesOf(channel), notesOf(heard[a])
		if len(w) != len(g) {
			t.Fatalf("%v: %d note events, want %d", a, len(g), len(w))
		}
		for i := range w {
			if w[i].IsNoteOn() {
				all = append(all, g[i].At-w[i].At)
				off[a.port] = append(off[a.port], g[i].At-w[i].At)
			}
		}
	}
	slices.Sort(all)
	for _, port := range off {
		for i := range port {
			port[i] = (port[i] - all[len(all)/2]).Abs()
		}
	}
	return off
}

// quantiles are the median, the 95 % and the maximum.
func quantiles(d []time.Duration) [3]time.Duration {
	s := slices.Sorted(slices.Values(d))
	return [3]time.Duration{s[len(s)/2], s[len(s)*95/100], s[len(s)-1]}
}

// compareShaped holds what was heard against the render of what came in. The daemon and
// the listener see one message at different times, on processors shared with others:
// most is by how much at worst.
func compareShaped(t *testing.T, heard []expr.Event, in *smf.File, most time.Duration) {
	t.Helper()
	got, sent := byChannel(heard), byChannel(timeline(t, in))
	for a, want := range byChannel(rendered(t, in)) {
		c := comparison{t: t, a: a, got: got[a], want: want, moved: movedControllers(want, sent[a])}
		c.untouched()
		c.notes(most)
		c.curves(most)
	}
}

// movedControllers are the controllers that shaping moves on a channel: those that the
// render has not as they were sent.
func movedControllers(render, sent []expr.Event) map[byte]bool {
	of := func(events []expr.Event) map[byte]string {
		m := map[byte]string{}
		for i := range events {
			if e := &events[i]; e.Msg[0]&0xF0 == 0xB0 {
				m[e.Msg[1]] += words(e)
			}
		}
		return m
	}
	moved := map[byte]bool{}
	was := of(sent)
	for n, now := range of(render) {
		moved[n] = now != was[n]
	}
	return moved
}

// comparison is of one channel.
type comparison struct {
	t         *testing.T
	a         address
	got, want []expr.Event
	moved     map[byte]bool
	split     bool // some note has its level split otherwise between velocity and expression
}

func (c *comparison) isMoved(e *expr.Event) bool { return e.Msg[0]&0xF0 == 0xB0 && c.moved[e.Msg[1]] }

// untouched holds all that shaping does not move, velocities aside, against the
// render: the same messages in the same order.
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
	sameEvents(c.t, c.a, rest(c.got), rest(c.want))
}

// slurTime is more than there is between two notes under one slur.
const slurTime = 20 * time.Millisecond

// onset is a note-on with what stood on the channel at that moment.
type onset struct {
	note   expr.Event
	alone  bool // nothing sounded before, for long enough not to be slurred to it
	stands [128]int
}

func (c *comparison) onsets(events []expr.Event, most time.Duration) (all []onset) {
	held, pedal := map[byte]bool{}, false
	silent := -time.Hour // since when
	o := onset{}
	for i := range events {
		switch e := &events[i]; {
		case e.IsNoteOn():
			o.note, o.alone = *e, len(held) == 0 && !pedal && e.At-silent > 2*most+slurTime
			all = append(all, o)
			held[e.Msg[1]] = true
		case e.IsNoteOff():
			delete(held, e.Msg[1])
			silent = e.At
		case e.Msg[0]&0xF0 == 0xB0:
			o.stands[e.Msg[1]] = int(e.Msg[2])
			if e.Msg[1] == 64 {
				pedal = e.Msg[2] > 0
			}
		}
	}
	return all
}

// notes holds velocities, and what stands at each note that starts from silence,
// against the render: both are settled at that moment, whenever it comes.
func (c *comparison) notes(most time.Duration) {
	c.t.Helper()
	want := c.onsets(c.want, most)
	for i, got := range c.onsets(c.got, most) {
		if i >= len(want) {
			return // reported already
		}
		w := &want[i]
		switch same := got.note.Msg[2] == w.note.Msg[2]; {
		case same:
		case w.alone:
			c.t.Errorf("%v: note %d, from silence, has velocity %d, want %d", c.a, i, got.note.Msg[2], w.note.Msg[2])
		// A note that starts while others sound splits its level between velocity and
		// expression by how those move just then: a millisecond more or less of overlap
		// can make it another split. The level is the same.
		case most < still && math.Abs(got.level()-w.level()) > splitDB:
			c.t.Errorf("%v: note %d, among others, starts at %.1f dB, want %.1f", c.a, i, got.level(), w.level())
		default:
			c.split = true
		}
		for n := range c.moved {
			if w.alone && got.stands[n] != w.stands[n] {
				c.t.Errorf("%v: at note %d controller %d stands at %d, want %d", c.a, i, n, got.stands[n], w.stands[n])
			}
		}
	}
}

// still is the jitter up to which an overlap of the passage is heard as what it is, a
// slur; on a machine that trembles more, one may pass for two voices, and the level then
// follows the louder of them.
const still = 20 * time.Millisecond

// splitDB is by how much the level of a note that starts among others may be off: the
// others' swells are 1 dB, and each of the two that carry it is rounded.
const splitDB = 2.5

// level is the level of the note, dB, as velocity and expression carry it.
//
// Source: 40·log10(v/127), General MIDI 2 and DLS.
func (o *onset) level() float64 {
	expression := o.stands[11]
	if expression == 0 {
		expression = 127 // nobody has moved it
	}
	return 40 * math.Log10(float64(o.note.Msg[2])/127*float64(expression)/127)
}

// curves holds each move of a controller against where the render has it about then. A
// note may have been longer in the daemon than between its two ends as heard, and its
// vibrato have grown so much more: by about one value in each control period.
func (c *comparison) curves(most time.Duration) {
	c.t.Helper()
	const period = engine.DefaultControlPeriod
	window, free := 2*(most+period), 2+int(2*most/period)
	for n := range c.moved {
		if !c.moved[n] || c.split && n == 11 {
			continue
		}
		want := controller(c.want, n)
		got := controller(c.got, n)
		for i := range got {
			low, high := span(want, got[i].At-window, got[i].At+window)
			if v := int(got[i].Msg[2]); v < low-free || v > high+free {
				c.t.Errorf("%v: controller %d is moved to %d at %v, where the render has %d to %d", c.a, n, v, got[i].At, low, high)
				return
			}
		}
		least := len(want) / 2
		if most > 10*period { // a machine that stood still for so long leaves moves out, rightly
			least = 1
		}
		if len(got) < least || len(got) > 2*len(want) {
			c.t.Errorf("%v: controller %d moves %d times, in the render %d times", c.a, n, len(got), len(want))
		}
	}
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
