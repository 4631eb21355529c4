package demo

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"swellbox/proxy/formats/smf"
)

// ranges are sounding ranges as MIDI notes, from a published list of instrument
// ranges (not a standard); the piano's is from memory.
var ranges = map[string][2]uint8{
	"Flute 1": {60, 96}, "Flute 2": {60, 96}, "Oboes": {58, 91}, "Clarinets": {50, 94},
	"Bassoon 1": {34, 75}, "Bassoon 2": {34, 75},
	"Horns 1, 2": {34, 77}, "Horns 3, 4": {34, 77}, "Trumpet 1": {55, 82}, "Trumpet 2": {55, 82},
	"Trombone 1": {40, 72}, "Trombone 2": {40, 72}, "Trombone 3": {34, 67}, "Tuba": {28, 58},
	"Timpani": {40, 55}, "Piano": {21, 108},
	"Violins I": {55, 103}, "Violins II": {55, 103}, "Violas": {48, 91}, "Cellos": {36, 76}, "Double basses": {28, 67},
}

// voices reads every voice of the score, by part.
func voices(t *testing.T) map[string][][]note {
	t.Helper()
	out := map[string][][]note{}
	for _, p := range ensemble() {
		for _, s := range p.staves {
			for _, v := range s.voices {
				notes, err := readVoice(v)
				if err != nil {
					t.Fatalf("%s: %v", s.name, err)
				}
				if len(notes) == 0 {
					t.Fatalf("%s has an empty voice", s.name)
				}
				out[p.Name] = append(out[p.Name], notes)
			}
		}
	}
	return out
}

func TestScoreIsPlayable(t *testing.T) {
	all := voices(t)
	if len(all) != len(ranges) {
		t.Errorf("%d parts, %d ranges", len(all), len(ranges))
	}
	for name, vs := range all {
		r, ok := ranges[name]
		if !ok {
			t.Fatalf("no range for %s", name)
		}
		for _, notes := range vs {
			for i, n := range notes {
				if n.key < r[0] || n.key > r[1] {
					t.Errorf("%s, bar %d: note %d is outside %d..%d", name, n.tick/barTicks+1, n.key, r[0], r[1])
				}
				if i == 0 || name == "Piano" || notes[i-1].tick+notes[i-1].written != n.tick {
					continue
				}
				if leap := int(n.key) - int(notes[i-1].key); leap < -12 || leap > 12 {
					t.Errorf("%s, bar %d: a leap of %d semitones", name, n.tick/barTicks+1, leap)
				}
			}
		}
	}
}

// soundingAt gives the key of a voice at a tick by its written value, 0 in a rest.
func soundingAt(notes []note, tick int64) int {
	for _, n := range notes {
		if n.tick <= tick && tick < n.tick+n.written {
			return int(n.key)
		}
	}
	return 0
}

// parallels lists the places in bars from..to where two voices move in the same
// direction from a unison, fifth or octave to the same again.
func parallels(names []string, vs [][]note, from, to int) []string {
	var found []string
	for i := range vs {
		for j := i + 1; j < len(vs); j++ {
			a0, b0 := 0, 0
			for tick := barTick(from); tick < barTick(to+1); tick += ticksPerQuarter / 2 {
				a, b := soundingAt(vs[i], tick), soundingAt(vs[j], tick)
				if a0 > 0 && b0 > 0 && a > 0 && b > 0 && a != a0 && b != b0 && (a > a0) == (b > b0) {
					was, is := abs(a0-b0)%12, abs(a-b)%12
					if was == is && (is == 0 || is == 7) {
						found = append(found, fmt.Sprintf("%s and %s, bar %d", names[i], names[j], tick/barTicks+1))
					}
				}
				a0, b0 = a, b
			}
		}
	}
	return found
}

func abs(n int) int { return max(n, -n) }

func TestParallelsAreFound(t *testing.T) {
	read := func(s string) []note {
		n, err := readVoice([]phrase{{1, s}})
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	vs := [][]note{read("mf g4:4. a4"), read("mf c4:4. d4"), read("mf e4:4. d4")}
	got := parallels([]string{"x", "y", "z"}, vs, 1, 1)
	if want := []string{"x and y, bar 1"}; !slices.Equal(got, want) {
		t.Errorf("parallels = %v, want %v", got, want)
	}
}

func TestVoiceLeading(t *testing.T) {
	all := voices(t)
	for _, c := range []struct {
		parts    []string
		from, to int
	}{
		{[]string{"Flute 1", "Violins I", "Violins II", "Violas", "Double basses"}, 2, 7},
		{[]string{"Flute 1", "Double basses"}, 27, 30},
		{[]string{"Trumpet 1", "Trumpet 2", "Trombone 1", "Trombone 2", "Trombone 3"}, 17, 24},
		{[]string{"Flute 1", "Trombone 1", "Trombone 2", "Trombone 3"}, 24, 27},
	} {
		var vs [][]note
		for _, name := range c.parts {
			vs = append(vs, all[name][0])
		}
		for _, p := range parallels(c.parts, vs, c.from, c.to) {
			t.Errorf("parallel unisons, fifths or octaves: %s", p)
		}
	}
}

// span is a note of a file, found by its on and off.
type span struct {
	from, to int64
	velocity byte
}

// sounds pairs the notes of a file by port, channel and key, and fails on an
// off without an on, an on without an off, and a key struck while it sounds.
func sounds(t *testing.T, f *smf.File) map[[3]byte][]span {
	t.Helper()
	type stroke struct {
		tick     int64
		velocity byte
	}
	strokes := map[[3]byte][]stroke{}
	for i, track := range f.Tracks {
		port, last := byte(0), int64(0)
		for _, e := range track.Events {
			if e.Tick < last || e.Tick > track.End {
				t.Fatalf("track %d: event at tick %d after %d, track ends at %d", i, e.Tick, last, track.End)
			}
			last = e.Tick
			switch {
			case e.Data[0] == 0xFF && e.Data[1] == 0x21:
				port = e.Data[2]
			case e.Data[0]&0xF0 == 0x90:
				k := [3]byte{port, e.Data[0] & 15, e.Data[1]}
				strokes[k] = append(strokes[k], stroke{e.Tick, e.Data[2]})
			case e.Data[0]&0xF0 == 0x80:
				k := [3]byte{port, e.Data[0] & 15, e.Data[1]}
				strokes[k] = append(strokes[k], stroke{e.Tick, 0})
			}
		}
	}
	out := map[[3]byte][]span{}
	for k, s := range strokes {
		slices.SortStableFunc(s, func(a, b stroke) int { // the ends first at one moment
			if a.tick != b.tick {
				return int(a.tick - b.tick)
			}
			return int(a.velocity) - int(b.velocity)
		})
		for i, e := range s {
			if (i%2 == 0) != (e.velocity > 0) {
				t.Fatalf("port %d, channel %d, key %d: on and off do not alternate at tick %d", k[0], k[1], k[2], e.tick)
			}
			if i%2 == 1 {
				out[k] = append(out[k], span{s[i-1].tick, e.tick, s[i-1].velocity})
			}
		}
		if len(s)%2 == 1 {
			t.Fatalf("port %d, channel %d, key %d: no end", k[0], k[1], k[2])
		}
	}
	return out
}

// duration integrates the tempo metas of the first track.
func duration(f *smf.File) time.Duration {
	var at time.Duration
	var last int64
	micros := 500000 // until the first tempo (SMF 1.0)
	add := func(tick int64) {
		at += time.Duration(tick-last) * time.Duration(micros) * time.Microsecond / time.Duration(f.Division.TicksPerQuarter)
		last = tick
	}
	for _, e := range f.Tracks[0].Events {
		if e.Data[0] == 0xFF && e.Data[1] == 0x51 {
			add(e.Tick)
			micros = int(e.Data[2])<<16 | int(e.Data[3])<<8 | int(e.Data[4])
		}
	}
	add(f.Tracks[0].End)
	return at
}

func TestScoreFile(t *testing.T) {
	f := Score()
	if f.Format != 1 || len(f.Tracks) != 23 {
		t.Fatalf("format %d with %d tracks, want 1 with 23", f.Format, len(f.Tracks))
	}
	notes := 0
	for _, s := range sounds(t, f) {
		notes += len(s)
	}
	if notes < 800 || notes > 2000 {
		t.Errorf("%d notes", notes)
	}
	starts, end := Bars()
	if d := duration(f); d != end || d < 55*time.Second || d > 80*time.Second {
		t.Errorf("the file lasts %v, Bars says %v", d, end)
	}
	if len(starts) != bars || starts[0] != 0 || !slices.IsSorted(starts) {
		t.Errorf("bar starts %v", starts)
	}
	if !reflect.DeepEqual(f, Score()) {
		t.Error("two calls differ")
	}
	for i, track := range f.Tracks[1:] {
		if track.End != bars*barTicks {
			t.Errorf("track %d ends at %d", i+1, track.End)
		}
		e := track.Events
		if e[0].Data[1] != 0x03 || e[1].Data[1] != 0x21 || e[2].Data[0]&0xF0 != 0xC0 {
			t.Errorf("track %d does not begin with name, port and program", i+1)
		}
	}
}

func TestScoreSurvivesTheFile(t *testing.T) {
	f := Score()
	b, err := f.Append(nil)
	if err != nil {
		t.Fatal(err)
	}
	back, err := smf.Read(b)
	if err != nil {
		t.Fatal(err)
	}
	if len(back.Warnings) > 0 || !reflect.DeepEqual(back.Tracks, f.Tracks) || back.Division != f.Division {
		t.Errorf("the file reads back differently, warnings %q", back.Warnings)
	}
}

func TestPartsHaveTheirOwnChannels(t *testing.T) {
	seen := map[[2]int]string{}
	ports := map[int]int{}
	for _, p := range Parts() {
		at := [2]int{p.Port, p.Channel}
		if seen[at] != "" || p.Channel > 15 || p.Channel == 9 {
			t.Errorf("%s: port %d, channel %d (also %q)", p.Name, p.Port, p.Channel, seen[at])
		}
		seen[at] = p.Name
		ports[p.Port]++
	}
	if want := map[int]int{0: 14, 1: 7}; !reflect.DeepEqual(ports, want) {
		t.Errorf("parts by port %v, want %v", ports, want)
	}
}

// The passages that the demonstration is for are there.
func TestScoreShows(t *testing.T) {
	all := voices(t)
	in := func(part string, from, to int) []note {
		var out []note
		for _, v := range all[part] {
			for _, n := range v {
				if n.tick >= barTick(from) && n.tick < barTick(to+1) {
					out = append(out, n)
				}
			}
		}
		return out
	}
	every := func(what, part string, from, to int, ok func(note) bool) {
		t.Helper()
		notes := in(part, from, to)
		if len(notes) == 0 || slices.ContainsFunc(notes, func(n note) bool { return !ok(n) }) {
			t.Errorf("%s: not so in %s, bars %d to %d", what, part, from, to)
		}
	}
	some := func(what, part string, from, to int, ok func(note) bool) {
		t.Helper()
		if !slices.ContainsFunc(in(part, from, to), ok) {
			t.Errorf("%s: not in %s, bars %d to %d", what, part, from, to)
		}
	}
	every("low flute", "Flute 1", 24, 27, func(n note) bool { return n.key <= 71 }) // its weak register, from memory
	some("loud trombone against it", "Trombone 1", 24, 25, func(n note) bool { return n.velocity >= 96 })
	some("long note", "Violins I", 1, 3, func(n note) bool { return n.length >= 3*barTicks })
	some("open G", "Violins II", 1, 5, func(n note) bool { return n.key == 55 })
	some("open G in a slur", "Violins I", 9, 9, func(n note) bool { return n.key == 55 && n.slurred })
	every("staccato repeats", "Violins II", 13, 18, func(n note) bool { return n.length <= 120 })
	some("slurred line", "Violins I", 9, 12, func(n note) bool { return n.slurred })
	every("timpani roll", "Timpani", 22, 22, func(n note) bool { return n.written == 60 })
	some("brass in ff", "Trumpet 1", 24, 24, func(n note) bool { return n.velocity == 112 })
	every("soft opening", "Cellos", 1, 7, func(n note) bool { return n.velocity == 33 })
	every("soft close", "Violins I", 29, 30, func(n note) bool { return n.velocity == 33 })
	song := func(part string) string { return fmt.Sprint(in(part, 19, 23)) }
	if song("Horns 1, 2") != song("Trumpet 1") {
		t.Error("horns and trumpet do not play the same line in bars 19 to 23")
	}
}

func TestSwellIsPlayedByController(t *testing.T) {
	f := Score()
	found := map[string][]byte{}
	for _, track := range f.Tracks[1:] {
		name := string(track.Events[0].Data[2:])
		for _, e := range track.Events {
			if e.Data[0]&0xF0 == 0xB0 {
				if e.Data[1] != 11 {
					t.Errorf("%s: controller %d", name, e.Data[1])
				}
				found[name] = append(found[name], e.Data[2])
			}
		}
	}
	v := found["Horns 3, 4"]
	if len(found) != 1 || len(v) < 20 || v[0] != 127 || v[1] != 64 || v[len(v)-1] != 127 || !slices.IsSorted(v[1:]) {
		t.Errorf("controllers: %v", found)
	}
}
