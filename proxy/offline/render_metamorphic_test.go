package offline_test

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// melody is a short piece for three parts, without notes that overlap.
func melody() *smf.File {
	var violin, trumpet, horns [][]smf.Event
	for i, key := range []byte{67, 69, 71, 72, 74, 72, 71, 69} {
		n := int64(i)
		violin = append(violin, note(n*480, 440, 0, key, byte(50+8*i)))
		trumpet = append(trumpet, note(n*480, 200, 1, key-5, byte(110-8*i)))
		horns = append(horns, note(n*960, 900, 2, key-12, byte(60+6*i)))
	}
	return score(
		track([]smf.Event{meta(0, smf.MetaTrackName, "Melody"), tempo(0, 500_000)}),
		named("Violin I", 0, violin1, slices.Concat(violin...)),
		named("Trumpet", 1, 57, slices.Concat(trumpet...)),
		named("Horn 1", 2, horn, slices.Concat(horns...)),
	)
}

// changed is a copy of a file with each event made another one.
func changed(f *smf.File, change func(track int, e smf.Event) smf.Event) *smf.File {
	g := *f
	g.Tracks = make([]smf.Track, len(f.Tracks))
	for i, tr := range f.Tracks {
		for _, e := range tr.Events {
			g.Tracks[i].Events = append(g.Tracks[i].Events, change(i, smf.Event{Tick: e.Tick, Data: slices.Clone(e.Data)}))
		}
		g.Tracks[i].End = max(tr.End, lastTick(g.Tracks[i]))
	}
	return &g
}

func isNote(e smf.Event) bool { return e.Data[0]&0xF0 == 0x80 || e.Data[0]&0xF0 == 0x90 }

func TestRenderTwiceIsTheSame(t *testing.T) {
	for name, f := range map[string]*smf.File{"melody": melody(), "the demonstration": demo.Score(), "everything": everything(1, divisions[0])} {
		first, one := render(t, f)
		second, two := render(t, f)
		if !bytes.Equal(encode(t, first), encode(t, second)) {
			t.Errorf("%s: two renders differ", name)
		}
		if fmt.Sprint(one) != fmt.Sprint(two) {
			t.Errorf("%s: two reports differ:\n%+v\n%+v", name, one, two)
		}
	}
}

// A part plays the same alone as among the others, but for how loud it is where one of
// its players listens to them: who yields to the tune, leans on a strange chord, or feels the beat.
func TestManyRendersByParts(t *testing.T) {
	f := demo.Score()
	deaf := perform.Manner{Without: []string{"step-back", "colour-notes", "metre"}}
	all, _ := renderBy(t, f, guessing(t), deaf)
	listening, _ := render(t, f)
	if text(all) == text(listening) {
		t.Error("nobody listens to the others")
	}
	ports := map[string]bool{}
	for i := 1; i < len(f.Tracks); i++ {
		// The two hands of the piano share a channel and are one part.
		alone := *f
		alone.Tracks = slices.Clone(f.Tracks)
		for j := 1; j < len(f.Tracks); j++ {
			if address(f.Tracks[j]) != address(f.Tracks[i]) {
				alone.Tracks[j] = smf.Track{End: f.Tracks[j].End}
			}
		}
		ports[address(f.Tracks[i])] = true
		out, _ := renderBy(t, &alone, guessing(t), deaf)
		if got, want := dump(i, out.Tracks[i]), dump(i, all.Tracks[i]); got != want {
			t.Errorf("track %d, %s, plays otherwise alone", i+1, f.Tracks[i].Name())
		}
		out, _ = render(t, &alone)
		if got, want := kept(out.Tracks[i].Events, others), kept(listening.Tracks[i].Events, others); !slices.Equal(got, want) {
			t.Errorf("track %d, %s, listens with more than its level", i+1, f.Tracks[i].Name())
		}
	}
	if len(ports) < 20 {
		t.Errorf("only %d parts were compared", len(ports))
	}
}

// address is a track's port and channel.
func address(tr smf.Track) string {
	port, _ := tr.Port()
	for _, e := range tr.Events {
		if isNote(e) {
			return fmt.Sprint(port, e.Data[0]&0x0F)
		}
	}
	return ""
}

// An octave higher: the keys move, and with them vibrato (controller 1), which has
// a register. Times, velocities, levels and brightness stay.
func TestRenderAnOctaveHigher(t *testing.T) {
	up := func(_ int, e smf.Event) smf.Event {
		if isNote(e) {
			e.Data[1] += 12
		}
		return e
	}
	noVibrato := func(f *smf.File) string {
		for i := range f.Tracks {
			f.Tracks[i].Events = slices.DeleteFunc(slices.Clone(f.Tracks[i].Events), func(e smf.Event) bool {
				return e.Data[0]&0xF0 == 0xB0 && e.Data[1] == 1
			})
		}
		return text(f)
	}
	low, _ := render(t, melody())
	high, _ := render(t, changed(melody(), up))
	if text(changed(low, up)) == text(high) {
		t.Error("the vibrato has not changed with the register")
	}
	if want, got := noVibrato(changed(low, up)), noVibrato(high); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func text(f *smf.File) (s string) {
	for i, tr := range f.Tracks {
		s += dump(i, tr)
	}
	return s
}

// Half a second later: all of it is half a second later.
func TestRenderLater(t *testing.T) {
	const delay = 480 // at 120 quarters a minute
	later := func(_ int, e smf.Event) smf.Event {
		if e.Data[0] != 0xFF && e.Data[0]&0xF0 != 0xC0 {
			e.Tick += delay
		}
		return e
	}
	in := melody()
	now, _ := render(t, in)
	then, _ := render(t, changed(in, later))
	if got, want := text(then), text(changed(now, later)); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// Twice as fast: notes stay on their ticks, and by the habits that ask only for its mark and
// its weight each begins at the level at which it began, and so does its brightness. What
// moves after that moves in its own time. Those who hear phrases and short notes hear others.
func TestRenderTwiceAsFast(t *testing.T) {
	faster := func(_ int, e smf.Event) smf.Event {
		if e.Data[0] == 0xFF && e.Data[1] == smf.MetaTempo {
			return tempo(e.Tick, 250_000)
		}
		return e
	}
	timeless := perform.Manner{Only: []string{"marks", "orchestra-weight", "bloom", "vibrato"}}
	slow, _ := renderBy(t, melody(), guessing(t), timeless)
	fast, _ := renderBy(t, changed(melody(), faster), guessing(t), timeless)
	want, got := starts(slow), starts(fast)
	if len(want) != 24 {
		t.Fatalf("%d notes start, want 24", len(want))
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%q\nwant\n%q", got, want)
	}
	if text(changed(slow, faster)) == text(fast) {
		t.Error("no movement within the notes has changed with the tempo")
	}
	slow, _ = render(t, melody())
	fast, _ = render(t, changed(melody(), faster))
	if slices.Equal(starts(slow), starts(fast)) {
		t.Error("no habit has heard the tempo")
	}
}

// starts lists each note with the expression and the brightness at which it starts.
func starts(f *smf.File) (lines []string) {
	for _, tr := range f.Tracks {
		expression, brightness := -1, -1
		for _, e := range tr.Events {
			switch {
			case e.Data[0]&0xF0 == 0xB0 && e.Data[1] == 11:
				expression = int(e.Data[2])
			case e.Data[0]&0xF0 == 0xB0 && e.Data[1] == 74:
				brightness = int(e.Data[2])
			case e.Data[0]&0xF0 == 0x90 && e.Data[2] > 0:
				lines = append(lines, fmt.Sprintf("%d: %s expression %d brightness %d", e.Tick, message(e.Data), expression, brightness))
			}
		}
	}
	return lines
}

// shortMessage draws a channel message of the kinds that a notation program may send.
func shortMessage(t *rapid.T) []byte {
	ch := byte(rapid.IntRange(0, 3).Draw(t, "channel"))
	key := byte(rapid.IntRange(60, 63).Draw(t, "key")) // few, so that notes overlap
	value := byte(rapid.IntRange(0, 127).Draw(t, "value"))
	switch rapid.IntRange(0, 9).Draw(t, "kind") {
	case 0, 1, 2:
		return []byte{0x90 | ch, key, max(value, 1)}
	case 3:
		return []byte{0x90 | ch, key, 0}
	case 4, 5:
		return []byte{0x80 | ch, key, value}
	case 6, 7:
		number := rapid.SampledFrom([]byte{1, 6, 7, 11, 38, 43, 64, 74, 98, 99, 100, 101, 120, 121, 123}).Draw(t, "controller")
		return []byte{0xB0 | ch, number, value}
	case 8:
		return []byte{0xE0 | ch, value, byte(rapid.IntRange(0, 127).Draw(t, "bend"))}
	}
	return []byte{0xC0 | ch, value}
}

func anyFile(t *rapid.T) *smf.File {
	f := &smf.File{Format: rapid.IntRange(0, 2).Draw(t, "format"), Division: rapid.SampledFrom(divisions).Draw(t, "division")}
	tracks := 1
	if f.Format > 0 {
		tracks = rapid.IntRange(1, 3).Draw(t, "tracks")
	}
	names := []string{"Violin I", "Horn in F", "Flöte", "Piano", "Celli", "Timpani", "nonsense"}
	for range tracks {
		tr := smf.Track{Events: []smf.Event{meta(0, smf.MetaTrackName, rapid.SampledFrom(names).Draw(t, "name"))}}
		if rapid.Bool().Draw(t, "has a port") {
			tr.Events = append(tr.Events, meta(0, smf.MetaPort, string(byte('0'+rapid.IntRange(0, 1).Draw(t, "port")))))
		}
		tick := int64(0)
		for range rapid.IntRange(0, 60).Draw(t, "events") {
			tick += int64(rapid.SampledFrom([]int{0, 0, 1, 10, 100, 1000}).Draw(t, "delta"))
			switch rapid.IntRange(0, 19).Draw(t, "special") {
			case 0:
				tr.Events = append(tr.Events, tempo(tick, rapid.IntRange(100_000, 1_000_000).Draw(t, "tempo")))
			case 1:
				tr.Events = append(tr.Events, at(tick, 0xF0, 1, 2, 0xF7))
			default:
				tr.Events = append(tr.Events, at(tick, shortMessage(t)...))
			}
		}
		tr.End = tick + int64(rapid.IntRange(0, 100).Draw(t, "rest"))
		f.Tracks = append(f.Tracks, tr)
	}
	return f
}

// Whatever a file holds, a render is sound, and twice the same.
func TestManyRendersOfAnything(t *testing.T) {
	cast := guessing(t)
	rapid.Check(t, func(r *rapid.T) {
		f := anyFile(r)
		manner := rapid.SampledFrom([]perform.Manner{{}, steady}).Draw(r, "manner")
		out, report, err := offline.Render(t.Context(), f, cast, manner)
		if err != nil {
			r.Fatal(err)
		}
		sound(&reporter{t, r}, f, out, report, manner)
		for _, tr := range out.Tracks {
			if !slices.IsSortedFunc(tr.Events, func(a, b smf.Event) int { return cmp.Compare(a.Tick, b.Tick) }) {
				r.Error("ticks fall")
			}
		}
		again, _, err := offline.Render(t.Context(), f, cast, manner)
		if err != nil || text(again) != text(out) {
			r.Errorf("the second render differs (%v)", err)
		}
	})
}

// Whatever a file holds, with all off its own events come back, and after them only
// the ends of hanging notes.
func TestManyRendersOfAnythingWithAllOff(t *testing.T) {
	cast := allPlain(t)
	rapid.Check(t, func(r *rapid.T) {
		f := anyFile(r)
		out, _, err := offline.Render(t.Context(), f, cast, perform.Manner{})
		if err != nil {
			r.Fatal(err)
		}
		for i, tr := range f.Tracks {
			n := len(tr.Events)
			if len(out.Tracks[i].Events) < n || !slices.EqualFunc(tr.Events, out.Tracks[i].Events[:n], func(a, b smf.Event) bool {
				return a.Tick == b.Tick && bytes.Equal(a.Data, b.Data)
			}) {
				r.Fatalf("track %d: was\n%s\nbecame\n%s", i+1, dump(i, tr), dump(i, out.Tracks[i]))
			}
			for _, e := range out.Tracks[i].Events[n:] {
				if e.Data[0]&0xF0 != 0x80 {
					r.Errorf("% X was added", e.Data)
				}
			}
		}
	})
}

// reporter lets a check of testing.TB speak in rapid's words, so that a failing file
// is made smaller.
type reporter struct {
	testing.TB
	r *rapid.T
}

func (p *reporter) Helper()                           {}
func (p *reporter) Error(args ...any)                 { p.r.Error(args...) }
func (p *reporter) Errorf(format string, args ...any) { p.r.Errorf(format, args...) }
func (p *reporter) Fatal(args ...any)                 { p.r.Fatal(args...) }
func (p *reporter) Fatalf(format string, args ...any) { p.r.Fatalf(format, args...) }
