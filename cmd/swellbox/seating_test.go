package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/profiles"
	instruments "swellbox/profiles/names"
	"swellbox/proxy/formats/smf"
)

// staff is one track of a test's score, and what is to be found of it.
type staff struct {
	name     string
	program  byte // from 0; 0 for none, as that is also what nobody chose
	key      byte
	profile  string
	players  int
	doubtful bool
}

// orchestra has names in five languages, on two ports.
var orchestra = []staff{
	{"Kl. Flöte", 0, 84, "piccolo", 1, false},
	{"2 Flautas", 0, 76, "flute", 2, false},
	{"Oboi", 0, 72, "oboe", 2, true}, // a plural without a number
	{"Klarinetten (B) 1.2.", 0, 70, "clarinet", 2, false},
	{"Bassons 1 et 2", 0, 50, "bassoon", 2, false},
	{"Horns 1-4", 0, 60, "horn", 4, false},
	{"Trp. (B) 1.2.3.", 0, 67, "trumpet", 3, false},
	{"Posaune 1.2.", 0, 55, "trombone", 2, false},
	{"Pauken", 0, 45, "timpani", 1, false},
	{"Caja", 0, 60, "percussion", 1, false},
	{"2 Arpas", 0, 60, "harp", 2, false},
	{"Solo S.", 0, 70, "solo-voice", 1, true},
	{"1. Solovioline", 0, 80, "violin", 1, false},
	{"Violin I div. a", 0, 76, "violins-1", 6, false},
	{"Violin I div. b", 0, 72, "violins-1", 6, false},
	{"Violons 2", 40, 70, "violins-2", 10, false},
	{"Altos", 0, 62, "violas", 8, true},
	{"Violonchelos", 0, 50, "cellos", 6, false},
	{"Contrabbassi", 0, 40, "double-basses", 5, false},
}

// score writes a file of staves, 16 to a port.
func (d *desktop) score(name string, staves []staff) {
	d.t.Helper()
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{{End: 960}}}
	for i, s := range staves {
		channel := byte(i % 16)
		events := []smf.Event{
			{Data: append([]byte{0xFF, smf.MetaTrackName}, s.name...)},
			{Data: []byte{0xFF, 0x21, byte(i / 16)}},
		}
		if s.program > 0 {
			events = append(events, smf.Event{Data: []byte{0xC0 | channel, s.program}})
		}
		events = append(events, smf.Event{Data: []byte{0x90 | channel, s.key, 80}}, smf.Event{Tick: 900, Data: []byte{0x80 | channel, s.key, 0}})
		f.Tracks = append(f.Tracks, smf.Track{End: 960, Events: events})
	}
	if err := smf.WriteFile(filepath.Join(d.dir, name), f); err != nil {
		d.t.Fatal(err)
	}
}

type toldPart struct {
	Name, Profile, Why, Doubt string
	Players                   int
	PlayersBy                 string `json:"players_by"`
}

func (d *desktop) rendered(args ...string) []toldPart {
	d.t.Helper()
	var report struct{ Parts []toldPart }
	if err := json.Unmarshal([]byte(d.must(append([]string{"render", "-o", "out.mid", "--json"}, args...)...)), &report); err != nil {
		d.t.Fatal(err)
	}
	return report.Parts
}

// The guessed seating says in comments what is doubtful and why, is read again as it stands,
// and beside the piece it is found by itself.
func TestSeating(t *testing.T) {
	d := atDesktop(t)
	d.score("piece.mid", orchestra)
	guessed := d.rendered("piece.mid")
	for i, s := range orchestra {
		p := guessed[i]
		if p.Name != s.name || p.Profile != s.profile || p.Players != s.players || p.PlayersBy == "" || (p.Doubt != "" || p.PlayersBy == instruments.ByPlural) != s.doubtful {
			t.Errorf("%+v, want %+v", p, s)
		}
	}
	wantContains(t, d.must("render", "piece.mid", "-o", "out.mid"), "Solo S. as solo-voice, for its place in the score; Altos as violas, for its place in the score", "swellbox seating piece.mid -o piece.seating.yaml")
	wantContains(t, d.must("render", "piece.mid", "-o", "out.mid", "--details"), "Altos is played as violas", "swellbox seating piece.mid -o piece.seating.yaml")
	listed := d.must("seating", "piece.mid", "-o", "seating.yaml")
	wantContains(t, listed, "doubtful: Altos is played as violas by the name \"Altos\", as it stands between \"Violons 2\" and \"Violonchelos\"", "it may also be", "Oboi counts as 2 players, being a plural without a number", "written to seating.yaml")
	text := d.read("seating.yaml")
	wantContains(t, text, "piece: piece.mid", "# DOUBTFUL: violas, by the name", "# sure: piccolo, by the track name \"Kl. Flöte\"", "players, half of a divided section", "port: 2", "part: 2 Flautas")
	seating, err := profiles.ReadSeating("seating.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if len(seating.Seats) != len(orchestra) || seating.Piece != "piece.mid" {
		t.Errorf("%d seats of %q, want %d", len(seating.Seats), seating.Piece, len(orchestra))
	}
	if status, _, errs := d.run("seating", "piece.mid", "-o", "seating.yaml"); status != 1 || !strings.Contains(errs, "may hold your corrections") || d.read("seating.yaml") != text {
		t.Errorf("written twice: status %d, %s", status, errs)
	}

	corrected := strings.Replace(text, "profile: violas", "profile: choir-altos", 1)
	d.file("seating.yaml", corrected)
	status, out, errs := d.run("render", "piece.mid", "-o", "out.mid")
	if status != 0 || !strings.Contains(errs, "seated by seating.yaml, which lies beside the piece") || strings.Contains(out, "doubtful") {
		t.Errorf("status %d, %s%s", status, errs, out)
	}
	for i, p := range d.rendered("piece.mid") {
		want := orchestra[i].profile
		if orchestra[i].name == "Altos" {
			want = "choir-altos"
		}
		if p.Profile != want || p.Players != orchestra[i].players || p.Why != "the seating" || p.PlayersBy != "seating" || p.Doubt != "" {
			t.Errorf("seated: %+v, want %s", p, want)
		}
	}
	if p := d.rendered("piece.mid", "--seating", "none"); !slices.Equal(p, guessed) {
		t.Errorf("without the seating: %+v, want as before", p)
	}

	// It is of this piece, and the piece's own name goes before.
	if err := os.Rename("piece.mid", "other.mid"); err != nil {
		t.Fatal(err)
	}
	status, out, errs = d.run("balance", "other.mid", "--json")
	if status != 0 || !strings.Contains(errs, "seating.yaml is the seating of piece.mid, and is not used for other.mid") || !strings.Contains(out, "Altos is played as violas") {
		t.Errorf("another piece: status %d, %s", status, errs)
	}
	d.file("other.seating.yaml", corrected)
	if _, _, errs = d.run("balance", "other.mid", "--json"); !strings.Contains(errs, "seated by other.seating.yaml") {
		t.Errorf("%s", errs)
	}
	d.file("other.seating.yaml", "swellbox: 1\nseats: [{channel: 1, profile: piccolos}]\n")
	if status, _, errs = d.run("render", "other.mid", "-o", "out.mid"); status != 1 || !strings.Contains(errs, `other.seating.yaml:2:31: seats[1].profile: no profile is named "piccolos"`) {
		t.Errorf("a broken seating: status %d, %s", status, errs)
	}
}

// A channel that becomes another instrument has a seat for each of its programs.
func TestSeatingFollowsPrograms(t *testing.T) {
	d := atDesktop(t)
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: 480}, Tracks: []smf.Track{{End: 2000, Events: []smf.Event{
		{Data: []byte{0xC0, 73}}, {Data: []byte{0x90, 76, 80}}, {Tick: 400, Data: []byte{0x80, 76, 0}},
		{Tick: 480, Data: []byte{0xC0, 72}}, {Tick: 480, Data: []byte{0x90, 90, 80}}, {Tick: 900, Data: []byte{0x80, 90, 0}},
	}}}}
	if err := smf.WriteFile("doubling.mid", f); err != nil {
		t.Fatal(err)
	}
	before := d.must("balance", "doubling.mid", "--json", "--seating", "none")
	d.must("seating", "doubling.mid", "-o", "doubling.seating.yaml")
	wantContains(t, d.read("doubling.seating.yaml"), "program: 74 profile: flute", "program: 73 profile: piccolo")
	after := d.must("balance", "doubling.mid", "--json")
	if strings.ReplaceAll(after, `"players_by": "seating"`, `"players_by": "one player"`) != before {
		t.Errorf("seated as guessed, the balance is\n%s\nand was\n%s", after, before)
	}
}

// wantContains looks for words, however the lines are broken.
func wantContains(t *testing.T, text string, wants ...string) {
	t.Helper()
	text = strings.Join(strings.Fields(text), " ")
	for _, want := range wants {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}
