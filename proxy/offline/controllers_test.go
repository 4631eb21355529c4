package offline_test

import (
	"slices"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// movesOf are the moves of one controller in a file, as tick and value.
func movesOf(f *smf.File, number byte) (moves [][2]int64) {
	for _, tr := range f.Tracks {
		for _, e := range tr.Events {
			if e.Data[0]&0xF0 == 0xB0 && e.Data[1] == number {
				moves = append(moves, [2]int64{e.Tick, int64(e.Data[2])})
			}
		}
	}
	return moves
}

// riding is a file whose violins ride controller 1 as dynamics, later than their first note.
func riding() *smf.File {
	var ride [][]smf.Event
	for i := range int64(8) {
		ride = append(ride, []smf.Event{at(480*i+240, 0xB0, 1, byte(40+2*i))}, note(480*i, 460, 0, byte(60+i), 100))
	}
	return score(named("Violin I", 0, violin1, ride...))
}

// What a file rides stays as it is, and the report says so.
func TestRenderStaysOffWhatIsRidden(t *testing.T) {
	for name, manner := range map[string]perform.Manner{"at once": steady, "in time": inBars} {
		raw := riding()
		shaped, report, err := offline.Render(t.Context(), raw, guessing(t), manner)
		if err != nil {
			t.Fatal(err)
		}
		got, want := movesOf(shaped, 1), movesOf(raw, 1)
		values := func(m [][2]int64) (v []int64) {
			for _, x := range m {
				v = append(v, x[1])
			}
			return v
		}
		if !slices.Equal(values(got), values(want)) {
			t.Errorf("%s: controller 1 is %v, was %v", name, got, want)
		}
		told := perform.Moved{What: "vibrato", Controller: 1, InFile: "kept"}
		if len(report.Parts) != 1 || !slices.Contains(report.Parts[0].Controllers, told) || !slices.Contains(report.Parts[0].Controllers, perform.Moved{What: "level", Controller: 11}) {
			t.Errorf("%s: the report has %+v", name, report.Parts)
		}
		if warned := strings.Join(report.Warnings, "\n"); !strings.Contains(warned, "controller 1 already (Violin I), so the players' vibrato stays off it there") || !strings.Contains(warned, "--controller-map dynamics-on-1") {
			t.Errorf("%s: warns %q", name, warned)
		}
	}
}

// At the end of a file every controller stands where it rests, or where the file left it.
func TestRenderGivesBack(t *testing.T) {
	raw := demo.Score()
	type key struct {
		port    uint16
		channel int
		number  byte
	}
	leaves := func(f *smf.File) map[key]byte {
		last := map[key]byte{}
		for _, e := range timeline(t, f, 0).Events {
			if e.IsChannel() && e.Msg[0]&0xF0 == 0xB0 {
				last[key{e.Port, e.Channel(), e.Msg[1]}] = e.Msg[2]
			}
		}
		return last
	}
	for name, manner := range map[string]perform.Manner{"at once": {GiveBack: true}, "in time": demo.Manner()} {
		shaped, _, err := offline.Render(t.Context(), raw, guessing(t), manner)
		if err != nil {
			t.Fatal(err)
		}
		was, is := leaves(raw), leaves(shaped)
		restored := 0
		for k, v := range is {
			want, said := was[k]
			if !said {
				want = byte(expr.Rest(int(k.number)))
			}
			if k.number >= 98 || k.number == 6 || k.number == 38 {
				continue // parameter numbers
			}
			if v != want {
				t.Errorf("%s: channel %d of port %d is left with controller %d at %d, want %d", name, k.channel+1, k.port+1, k.number, v, want)
			}
			restored++
		}
		if restored < 20 {
			t.Errorf("%s: only %d controllers were moved", name, restored)
		}
	}
}

// A controller map holds for all parts, over what the seating says.
func TestControllerMapForAll(t *testing.T) {
	for name, want := range map[string]struct{ moved, still []byte }{
		"dynamics-on-1":  {[]byte{1}, []byte{11, 74}},
		"dynamics-on-11": {[]byte{11}, []byte{1, 74}},
		"velocity-only":  {nil, []byte{1, 11, 74}},
		"general-midi":   {[]byte{1, 11}, []byte{74}},
	} {
		cast := guessing(t)
		cast.ControllerMap = name
		raw := score(
			named("Violins I", 0, 49, note(0, 1900, 0, 67, 60), note(1920, 1900, 0, 69, 110)),
			named("Trumpet", 1, 57, note(0, 1900, 1, 67, 60), note(1920, 1900, 1, 69, 110)),
			named("Piano", 2, 1, note(0, 1900, 2, 67, 60), note(1920, 1900, 2, 69, 110)),
		)
		shaped, _, err := offline.Render(t.Context(), raw, cast, perform.Manner{Scored: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range want.moved {
			if len(movesOf(shaped, n)) < 4 {
				t.Errorf("%s: controller %d is hardly moved", name, n)
			}
		}
		for _, n := range want.still {
			if m := movesOf(shaped, n); len(m) > 0 {
				t.Errorf("%s: controller %d is moved: %v", name, n, m)
			}
		}
	}
}
