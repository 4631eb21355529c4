package balance

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
)

// track is a track of a test's score: its name, then its messages.
func track(name string, events ...smf.Event) smf.Track {
	t := smf.Track{Events: []smf.Event{{Data: append([]byte{0xFF, smf.MetaTrackName}, name...)}}}
	t.Events = append(t.Events, events...)
	slices.SortStableFunc(t.Events, func(a, b smf.Event) int { return int(a.Tick - b.Tick) })
	t.End = t.Events[len(t.Events)-1].Tick
	return t
}

func msg(tick int64, b ...byte) smf.Event { return smf.Event{Tick: tick, Data: b} }

// tone is a note on a channel, from one tick to another, at mf.
func tone(channel, key byte, from, to int64) []smf.Event {
	return []smf.Event{msg(from, 0x90|channel, key, 80), msg(to, 0x80|channel, key, 64)}
}

// file is a score of 480 ticks to the quarter: bars of 1,920 ticks that last 2 s.
func file(tracks ...smf.Track) *smf.File {
	return &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}, Tracks: tracks}
}

// solo is a flute alone for two bars, with a bar's rest between them.
func solo() *smf.File {
	return file(track("Flute", append(tone(0, 74, 0, 1920), tone(0, 76, 3840, 5760)...)...))
}

func read(t *testing.T, f *smf.File) (*score, []string) {
	t.Helper()
	s, warnings, err := readScore(f, castOf(t), DefaultOptions().Seating)
	if err != nil {
		t.Fatal(err)
	}
	return s, warnings
}

func TestAlone(t *testing.T) {
	r := analyse(t, solo(), castOf(t))
	if r.Bars != 3 {
		t.Fatalf("%d bars", r.Bars)
	}
	for _, report := range r.Reports {
		bars := report.Parts[0].Bars
		if len(bars) != 2 || bars[0].Bar != 1 || bars[1].Bar != 3 || bars[0].State != Alone {
			t.Errorf("%s: %+v", report.Place, bars)
		}
	}
}

// A file in SMPTE time has no bars, and is told by the second.
func TestSeconds(t *testing.T) {
	f := solo()
	f.Division = smf.Division{FramesPerSecond: 25, TicksPerFrame: 40}
	r := analyse(t, f, castOf(t))
	if r.Unit != "second" || r.Bars != 6 {
		t.Errorf("%d %ss, want 6 seconds", r.Bars, r.Unit)
	}
	var b strings.Builder
	if err := r.Table(&b, 100); err != nil || !strings.Contains(b.String(), "1 part, 6 seconds") {
		t.Errorf("%v %s", err, b.String())
	}
}

func TestWhatCannotBeAnalysed(t *testing.T) {
	long := file(track("Flute", tone(0, 74, 0, 1920*(maxBars+2))...))
	two := solo()
	two.Format, two.Tracks = 2, append(two.Tracks, two.Tracks[0])
	for name, c := range map[string]struct {
		file  *smf.File
		words string
	}{
		"nothing":      {file(track("Flute")), "no notes"},
		"no sound":     {file(track("Theremin", tone(0, 74, 0, 480)...)), "knows none of its instruments"},
		"two pieces":   {two, "2 pieces"},
		"far too long": {long, "more than 20000 bars"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Analyse(context.Background(), c.file, castOf(t), DefaultOptions())
			if err == nil || !strings.Contains(err.Error(), c.words) || strings.Contains(err.Error(), "\n") {
				t.Errorf("it says %v, want %q", err, c.words)
			}
		})
	}
}

// What the model does not know is left out, and told once.
func TestLeftOut(t *testing.T) {
	s, warnings := read(t, file(
		track("Flute", tone(0, 74, 0, 1920)...),
		track("Theremin", append(tone(1, 74, 0, 480), tone(1, 74, 480, 960)...)...)))
	if len(s.parts) != 1 || s.parts[0].name != "Flute" {
		t.Errorf("parts %+v", s.parts)
	}
	if len(warnings) != 1 || !strings.Contains(warnings[0], "Theremin is left out") {
		t.Errorf("warnings %q", warnings)
	}
}

// A controller 7 before the first note is the mixer's; what it does after, and 11,
// are the composer's.
func TestSwells(t *testing.T) {
	s, _ := read(t, file(track("Flute", append([]smf.Event{msg(0, 0xB0, 7, 90)}, append(tone(0, 74, 0, 3840),
		msg(960, 0xB0, 11, 64), msg(1920, 0xB0, 7, 45), msg(2880, 0xB0, 11, 127))...)...)))
	p := &s.parts[0]
	for at, want := range map[time.Duration]float64{
		0:                       0,
		999 * time.Millisecond:  0,
		1000 * time.Millisecond: 40 * math.Log10(64.0/127),
		2500 * time.Millisecond: 40 * math.Log10(64.0/127*45/90),
		3500 * time.Millisecond: 40 * math.Log10(45.0/90),
	} {
		if got := p.swellAt(at); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %v: %g dB, want %g", at, got, want)
		}
	}
}

// The notes of a part share its players, those of a piano do not; a swell counts in the
// middle of a slice, and a written velocity as the profile reads it.
func TestSources(t *testing.T) {
	s, _ := read(t, file(
		track("Violins I", slices.Concat(tone(0, 76, 0, 1920), tone(0, 79, 0, 960))...),
		track("Piano", slices.Concat(tone(1, 60, 0, 1920), tone(1, 64, 0, 1920), tone(1, 67, 0, 1920))...)))
	moments := newSweep(s, 0).bar(0)
	if len(moments) != 2 || moments[0].weight != slicesPerBar/2 || moments[1].weight != slicesPerBar/2 {
		t.Fatalf("moments %+v", moments)
	}
	both, one := moments[0].sources[0], moments[1].sources[0]
	if len(both.AlsoHz) != 1 || 2*both.Players != one.Players || len(one.AlsoHz) != 0 {
		t.Errorf("divided violins %+v, then %+v", both, one)
	}
	if piano := moments[0].sources[1]; len(piano.AlsoHz) != 2 || piano.Players != 1 || piano.Instrument.Name != "piano" {
		t.Errorf("piano %+v", piano)
	}
	if math.Abs(both.PitchHz-659.26) > 0.01 || math.Abs(both.DynamicDB) > 0.5 {
		t.Errorf("E5 at mf is %g Hz at %g dB", both.PitchHz, both.DynamicDB)
	}
}

// No stroke is missed, however short and wherever it lies, and none sounds twice.
func TestShortNotes(t *testing.T) {
	for tick := int64(0); tick < 1920; tick += 7 {
		s, _ := read(t, file(track("Flute", slices.Concat(tone(0, 74, tick, tick+1), tone(0, 74, 1920, 1921))...)))
		weight := 0
		for _, m := range newSweep(s, 0).bar(0) {
			weight += m.weight
		}
		if weight != 1 {
			t.Fatalf("a note at tick %d sounds in %d slices", tick, weight)
		}
	}
}

// A sweep that begins in the middle hears what one from the start hears.
func TestSweepFromTheMiddle(t *testing.T) {
	s, _ := read(t, file(
		track("Flute", slices.Concat(tone(0, 74, 0, 1920*3), tone(0, 76, 1920*3, 1920*4))...),
		track("Oboe", slices.Concat(tone(1, 72, 100, 1920), tone(1, 69, 1920, 1920*2+5))...)))
	all := newSweep(s, 0)
	for bar := range s.barCount() {
		a, b := all.bar(bar), newSweep(s, bar).bar(bar)
		if !slices.EqualFunc(a, b, func(a, b moment) bool { return a.weight == b.weight && a.like(&b) }) {
			t.Errorf("bar %d: %+v and %+v", bar+1, a, b)
		}
	}
}

// A key that two voices strike sounds until both have left it; one that is never left
// sounds to the end.
func TestEnds(t *testing.T) {
	s, warnings := read(t, file(track("Flute", slices.Concat(
		tone(0, 74, 0, 480), tone(0, 74, 240, 960), []smf.Event{msg(960, 0x90, 70, 80)}, tone(0, 72, 960, 1920))...)))
	var offs []time.Duration
	for _, n := range s.parts[0].notes {
		offs = append(offs, n.off)
	}
	if want := []time.Duration{250 * time.Millisecond, time.Second, 2 * time.Second, 2 * time.Second}; !slices.Equal(offs, want) {
		t.Errorf("notes end at %v, want %v", offs, want)
	}
	if len(warnings) != 1 || !strings.HasSuffix(warnings[0], "until it ends: 1") {
		t.Errorf("warnings %q", warnings)
	}
}

// A program change makes strings pluck, and makes a player take another instrument.
func TestPrograms(t *testing.T) {
	s, _ := read(t, file(
		track("Violins I", slices.Concat(tone(0, 76, 0, 480), []smf.Event{msg(480, 0xC0, 45)}, tone(0, 76, 480, 960),
			[]smf.Event{msg(960, 0xC0, 48)}, tone(0, 76, 960, 1920))...)))
	var by []string
	for _, n := range s.parts[0].notes {
		by = append(by, n.voice.instrument.Name)
	}
	if want := []string{"violins-1", "pizzicato-strings", "violins-1"}; !slices.Equal(by, want) {
		t.Errorf("played by %v, want %v", by, want)
	}
	notes := s.parts[0].notes
	if notes[0].voice.seat != notes[1].voice.seat || notes[0].voice.players != notes[1].voice.players {
		t.Errorf("plucked by %+v, bowed by %+v", notes[1].voice, notes[0].voice)
	}
}

// What draws the ear: a line over a held note, a figure or a note that is struck again and again, even
// where it is the lower of the two.
func TestDraws(t *testing.T) {
	const bars = 6
	keys := func(channel byte, all ...byte) (events []smf.Event) {
		for bar := range int64(bars) {
			step := int64(1920 / len(all))
			for i, k := range all {
				at := bar*1920 + int64(i)*step
				events = append(events, tone(channel, k+byte(bar%3)*2*byte(min(len(all)-1, 1)), at, at+step)...)
			}
		}
		return events
	}
	line := []byte{74, 76, 77, 79}
	for name, other := range map[string][]byte{
		"a held note": {72}, "a higher held note": {84}, "repeated notes": {72, 72, 72, 72}, "a low figure": {60, 67, 64, 67, 60, 67, 64, 67},
	} {
		s, _ := read(t, file(track("Flute", keys(0, line...)...), track("Oboe", keys(1, other...)...)))
		r := s.read()
		for bar := 1; bar < bars-1; bar++ {
			if d := r.draws[bar]; d[0] <= d[1] {
				t.Errorf("%s, bar %d: the line draws %g, the other %g", name, bar+1, d[0], d[1])
			}
			if l := r.lines[bar]; l[0] == l[1] {
				t.Errorf("%s, bar %d: they are one line", name, bar+1)
			}
		}
	}
}

// In unison with a stronger part a line is under its threshold and its colour alone is heard, and no warning
// tells of it; another line there is lost.
func TestLostInItsDoubling(t *testing.T) {
	line := func(channel byte, velocity byte, up byte) (events []smf.Event) {
		for i, key := range []byte{62, 64, 65, 67, 69, 67, 65, 64} {
			at := int64(i) * 480
			events = append(events, msg(at, 0x90|channel, key+up, velocity), msg(at+480, 0x80|channel, key+up, 64))
		}
		return events
	}
	for name, c := range map[string]struct {
		up, velocity byte
		state        State
	}{"unison": {0, 60, Colour}, "octaves": {12, 60, Front}, "its own line": {1, 24, Lost}} {
		t.Run(name, func(t *testing.T) {
			r := analyse(t, file(track("Flute", line(0, c.velocity, c.up)...), track("Trumpet", line(1, 112, 0)...)), castOf(t))
			for _, b := range r.Reports[hall].Parts[0].Bars {
				if c.up == 12 && b.MaskingDB < 0 {
					c.state = Colour
				}
				if b.State != c.state || b.MaskingDB >= 0 && c.up != 12 {
					t.Errorf("bar %d: %s at %g dB, want it %s", b.Bar, b.State, b.MaskingDB, c.state)
				}
			}
			if told := len(r.Reports[hall].Warnings) > 0; told != (c.state == Lost) {
				t.Errorf("warnings %+v of %+v", r.Reports[hall].Warnings, r.Reports[hall].Parts[0].Bars)
			}
		})
	}
}

// A report never tells a number on the wrong side of the limit of its state.
func TestTold(t *testing.T) {
	for _, c := range []struct {
		db    float64
		state State
		whole int
		tenth float64
	}{
		{-0.02, Lost, -1, -0.1},
		{-8.6, Lost, -9, -8.6},
		{-0.3, Colour, -1, -0.3},
		{0.3, Background, 0, 0.3},
		{6, Heard, 6, 6},
	} {
		h := heard{audibilityDB: c.db, state: c.state}
		if h.told() != c.whole || math.Abs(tenth(c.db)-c.tenth) > 1e-9 {
			t.Errorf("%g dB is told as %d and %g, want %d and %g", c.db, h.told(), tenth(c.db), c.whole, c.tenth)
		}
	}
}

// A profile of the user's own sounds like the first in its chain that the model knows.
func TestOwnProfile(t *testing.T) {
	cast := castOf(t)
	for _, text := range []string{
		"swellbox: 1\nname: big-horn\nextends: horn\n",
		"swellbox: 1\nname: bigger-horn\nextends: big-horn\n",
	} {
		doc, err := profiles.Parse("own.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := cast.Library.Add(doc); err != nil {
			t.Fatal(err)
		}
	}
	var err error
	cast.Seating, err = profiles.ParseSeating("seating.yaml", []byte("swellbox: 1\nseats:\n  - {channel: 1, profile: bigger-horn, players: 3, part: Hunters}\n"))
	if err != nil {
		t.Fatal(err)
	}
	s, warnings, err := readScore(solo(), cast, DefaultOptions().Seating)
	if err != nil || len(warnings) != 0 {
		t.Fatal(err, warnings)
	}
	p := s.parts[0]
	if v := p.notes[0].voice; p.name != "Hunters" || p.instrument != "horn" || v.instrument.Name != "horn" || v.players != 3 {
		t.Errorf("%s: %s, %+v", p.name, p.instrument, v)
	}
}

// Keyswitches that no profile declares do not sound: they are left out, and that is said.
func TestKeyswitchesDoNotSound(t *testing.T) {
	events := tone(0, 74, 0, 1920)
	for i := range int64(4) {
		events = append(events, tone(0, byte(i), 480*i, 480*i+240)...)
	}
	events = append(events, tone(0, 76, 1920, 3840)...)
	s, warnings := read(t, file(track("Flute", append(events, tone(0, 77, 3840, 5760)...)...)))
	if n := len(s.parts[0].notes); n != 3 {
		t.Errorf("%d notes sound, want 3", n)
	}
	if want := "Flute: 4 notes of 7 out of the range of flute are left out: is it the right instrument?"; !slices.Contains(warnings, want) {
		t.Errorf("the warnings are %q, want %q", warnings, want)
	}
}
