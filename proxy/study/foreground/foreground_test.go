package foreground

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/profiles"
	"swellbox/proxy/perform"
)

// written is a movement of our own: a flute sings over a held viola, doubled by an oboe an octave under it in
// the second half.
func written(t *testing.T) string {
	t.Helper()
	const quarters = 64
	dir := filepath.Join(t.TempDir(), "Own_Op.1_1")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	tune := []string{"C6", "D6", "E6", "G6", "F6", "D6", "E6", "B5"}
	under := func(s string) string { return s[:1] + string(s[1]-1) }
	rows := []string{"qstamp,tstamp,measure,beat,Flute 1,Oboe 1,Viola"}
	places := []string{"score_qstamp,qstamp,measure,beat,take"}
	parts := map[string][]string{}
	for q := range quarters {
		flute, oboe, viola := tune[q%len(tune)], "r", "C4"
		if q >= quarters/2 {
			oboe = under(flute)
		}
		for name, note := range map[string]string{"P1": flute, "P2": oboe, "P3": viola} {
			parts[name] = append(parts[name], note)
		}
		n := func(x int) string { return strings.TrimSpace(strings.Join([]string{itoa(x), "0"}, ".")) }
		rows = append(rows, strings.Join([]string{n(q), n(q), itoa(q/4 + 1), n(q%4 + 1), flute, oboe, viola}, ","))
		places = append(places, strings.Join([]string{n(q), n(q), itoa(q/4 + 1), n(q%4 + 1), n(q)}, ","))
	}
	xml := `<?xml version="1.0"?><score-partwise version="4.0"><part-list>`
	for i, name := range []string{"Flute 1", "Oboe 1", "Viola"} {
		xml += `<score-part id="P` + itoa(i+1) + `"><part-name>` + name + `</part-name></score-part>`
	}
	xml += `</part-list>`
	for i := range 3 {
		id := "P" + itoa(i+1)
		xml += `<part id="` + id + `">`
		for q, note := range parts[id] {
			if q%4 == 0 {
				xml += `<measure number="` + itoa(q/4+1) + `">`
				if q == 0 {
					xml += `<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>`
				}
			}
			if note == "r" {
				xml += `<note><rest/><duration>1</duration></note>`
			} else {
				xml += `<note><pitch><step>` + note[:1] + `</step><octave>` + note[1:] + `</octave></pitch><duration>1</duration></note>`
			}
			if q%4 == 3 {
				xml += `</measure>`
			}
		}
		xml += `</part>`
	}
	xml += `</score-partwise>`
	for name, text := range map[string]string{
		"score.csv":       strings.Join(rows, "\n"),
		"alignment.csv":   strings.Join(places, "\n"),
		"annotations.csv": "qstamp,measure,beat,measure_fraction,label,part,part_num,instrument\n0.0,1,1.0,0.0,a,Fl 1,0,Fl\n32.0,9,1.0,0.0,b,Fl 1,0,Fl\n48.0,13,1.0,0.0,b,Fl 1,0,Fl\n",
		"relations.csv":   "qstamp_start,qstamp_end,Flute 1,Oboe 1,Viola\n0.0,32.0,Main Part,,\n32.0,64.0,Main Part,P8(Main),\n",
		"score.mxl":       xml,
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}

func read(t *testing.T) (*Movement, *perform.Cast) {
	t.Helper()
	m, err := Read(written(t))
	if err != nil {
		t.Fatal(err)
	}
	if m.File == nil {
		t.Fatal("the score is not the tables'")
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return m, &perform.Cast{Library: lib}
}

func TestMovement(t *testing.T) {
	m, cast := read(t)
	d, err := m.Doublings()
	if err != nil || d != (Doublings{Listed: 1, Found: 1, Both: 1}) {
		t.Errorf("doublings %+v, %v; want the one", d, err)
	}
	f, err := m.Front(t.Context(), cast)
	if err != nil || f.Beats < 0.9 && f.Places > 0 {
		t.Errorf("a flute over a held viola: %+v, %v", f, err)
	}
	all := m.Passages()
	if len(all) < 2 || all[0].To-all[0].From > mostQuarters || !all[0].Main[0] || all[0].Main[1] || !all[len(all)-1].Main[1] {
		t.Errorf("passages %+v", all)
	}
}

// A fault changes what it says and nothing else, and never the movement itself.
func TestPlant(t *testing.T) {
	m, _ := read(t)
	p := m.Passages()[0]
	velocities := func(part int, of *Movement, change Fault, want func(was, is tone) bool) {
		t.Helper()
		before := &planting{Movement: of, file: of.File, from: 0, to: 1 << 40}
		f := of.Plant(change, p)
		if f == nil {
			t.Fatalf("%s: it cannot be planted", change)
		}
		after := &planting{Movement: of, file: f, from: 0, to: 1 << 40}
		was, is := before.tones(part), after.tones(part)
		if len(was) != len(is) {
			t.Fatalf("%s: %d notes, were %d", change, len(is), len(was))
		}
		changed := 0
		for i := range is {
			inside := was[i].from < int64(p.To)*6720
			switch {
			case !inside && is[i] != was[i]:
				t.Errorf("%s: a note outside of the passage is %+v, was %+v", change, is[i], was[i])
			case inside && !want(was[i], is[i]):
				t.Errorf("%s: %+v became %+v", change, was[i], is[i])
			case is[i] != was[i]:
				changed++
			}
		}
		if changed == 0 {
			t.Errorf("%s: nothing has changed", change)
		}
	}
	velocities(0, m, OctaveDown, func(was, is tone) bool { return is.key == was.key-12 })
	velocities(0, m, TwoSofter, func(was, is tone) bool { return is.velocity == was.velocity-twoMarks })
	velocities(0, m, LowFlute, func(was, is tone) bool { return is.key >= lowFlute && is.key < lowFlute+12 && is.key%12 == was.key%12 })
	if f := m.Plant(OneHorn, p); f != nil {
		t.Error("a horn was taken from a flute's tune")
	}
	if f := m.Plant(BrassDouble, p); f != nil {
		t.Error("brass plays that is not there")
	}
	f := m.Plant(Tremolo, p)
	after := &planting{Movement: m, file: f, from: 0, to: int64(p.To) * 6720}
	if n := len(after.tones(2)); n != 4*(p.To-p.From) {
		t.Errorf("the viola strikes %d notes in %d quarters", n, p.To-p.From)
	}
}

func TestAbove(t *testing.T) {
	if a := Above([]float64{3, 2}, []float64{1, 2}); a != 0.875 {
		t.Errorf("%g, want 0.875: three pairs of four, and half of the equal one", a)
	}
}
