package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles/lock"
	"swellbox/profiles/store"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// horn is an own document for the built-in profile.
func horn(players string) string {
	return "swellbox: 1\nname: horn # ours\nextends: horn\nplayers: " + players + "\n"
}

const hornFile = "user/swellbox/profiles/horn.yaml"

// times are what differs from run to run.
var times = regexp.MustCompile(`\d{4}-\d\d-\d\d( at)? \d\d:\d\d:\d\d`)

func untimed(s string) string { return times.ReplaceAllString(s, "TIME") }

func TestHistory(t *testing.T) {
	d := atDesktop(t)
	d.file(hornFile, horn("2"))
	folder := filepath.Join(d.dir, "user/swellbox/profiles")
	if got, want := d.must("profile", "history", "horn"), "horn.yaml, own, in "+folder+"\nwhat the document holds now is not in the history yet; the next change takes it in\n"; got != want {
		t.Errorf("before any change:\n%swant\n%s", got, want)
	}
	d.must("profile", "set", "horn", "players", "3", "--author", "Anna")
	d.must("profile", "set", "horn", "players", "4", "--author", "Bert")
	if got, want := untimed(d.must("profile", "back", "horn", "1", "--author", "Cleo")), "horn.yaml in "+folder+" is again as somebody left it on TIME\n"; got != want {
		t.Errorf("back says %q, want %q", got, want)
	}
	if got := d.read(hornFile); got != horn("2") {
		t.Errorf("the document is\n%s", got)
	}
	want := `horn.yaml, own, in ` + folder + `
1  TIME  somebody  changed outside swellbox
2  TIME  Anna      set players to 3
3  TIME  Bert      set players to 4
4  TIME  Cleo      back to version 1         plays now
`
	if got := untimed(d.must("profile", "history", "horn.yaml", "--check")); got != want {
		t.Errorf("the history is\n%swant\n%s", got, want)
	}
	if got := d.must("profile", "history", "horn", "--show", "3"); got != horn("4") {
		t.Errorf("version 3 is\n%s", got)
	}
	if got := d.must("profile", "back", "horn", "4"); got != "horn.yaml is as in version 4 already\n" {
		t.Errorf("back again says %q", got)
	}
}

// TestHistoryInJSON has the keys that scripts rely on.
func TestHistoryInJSON(t *testing.T) {
	d := atDesktop(t)
	d.file(hornFile, horn("2"))
	d.must("profile", "set", "horn", "players", "3", "--author", "Anna")
	var h struct {
		Document, Folder, Origin string
		Versions                 []store.Version
	}
	if err := json.Unmarshal([]byte(d.must("profile", "history", "horn", "--json")), &h); err != nil {
		t.Fatal(err)
	}
	if h.Document != "horn.yaml" || h.Origin != "own" || len(h.Versions) != 2 || h.Versions[1].Author != "Anna" || !h.Versions[1].Current || h.Versions[0].Hash != store.HashOf([]byte(horn("2"))) {
		t.Errorf("the history is %+v", h)
	}
	var b struct {
		Back      store.Version
		Hash      store.Hash
		Unchanged bool
	}
	if err := json.Unmarshal([]byte(d.must("profile", "back", "horn", "1", "--json")), &b); err != nil {
		t.Fatal(err)
	}
	if b.Back.N != 1 || b.Hash != h.Versions[0].Hash || b.Unchanged {
		t.Errorf("back says %+v", b)
	}
}

// TestBackFromBroken brings a version back when the document cannot be read, or is gone.
func TestBackFromBroken(t *testing.T) {
	d := atDesktop(t)
	d.file(hornFile, horn("2"))
	d.must("profile", "set", "horn", "players", "3")
	d.file(hornFile, "players: [")
	d.must("profile", "back", "horn", "2")
	if got := d.read(hornFile); got != horn("3") {
		t.Errorf("the document is\n%s", got)
	}
	status, _, errs := d.run("profile", "back", "horn", "3")
	if status != 1 || !strings.Contains(errs, "version 3 of horn is broken itself, and nothing is changed") {
		t.Errorf("back to what is broken: %d, %s", status, errs)
	}
	if err := os.Remove(filepath.Join(d.dir, hornFile)); err != nil {
		t.Fatal(err)
	}
	if out := d.must("profile", "history", "horn"); !strings.HasSuffix(out, "the document has been removed; profile back brings a version back\n") {
		t.Errorf("the history of what is gone:\n%s", out)
	}
	d.must("profile", "back", "horn", "1")
	if got := d.read(hornFile); got != horn("2") {
		t.Errorf("the document is\n%s", got)
	}
}

// TestHistoryOfStudio finds the document that wins, and the other when it is asked for.
func TestHistoryOfStudio(t *testing.T) {
	d := atDesktop(t)
	d.file(hornFile, horn("2"))
	d.file("studio/cors.yml", horn("8"))
	d.must("profile", "set", "horn", "players", "6", "--studio", "studio", "--prefer", "studio", "--author", "Anna")
	if got := d.read("studio/cors.yml"); got != horn("6") || d.read(hornFile) != horn("2") {
		t.Errorf("the studio's document is\n%s", got)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--prefer", "studio"}, "cors.yml, studio, in studio\n"},
		{[]string{"--in", "studio"}, "cors.yml, studio, in studio\n"},
		{nil, "horn.yaml, own, in "},
	} {
		if got := d.must(append([]string{"profile", "history", "horn", "--studio", "studio"}, c.args...)...); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q: %s", c.args, got)
		}
	}
}

func TestNoHistory(t *testing.T) {
	d := atDesktop(t)
	d.file(hornFile, horn("2"))
	for _, c := range []struct {
		args   string
		status int
		want   string
	}{
		{"history oboe", 1, "oboe is built-in and has no history here; what you change of it has one"},
		{"history hron", 1, `no profile is named "hron", the nearest is "horn"`},
		{"history", 2, "the name of a profile"},
		{"history horn --in nowhere", 1, "nowhere is none of the folders of profiles"},
		{"history horn --show 1", 1, "horn.yaml has no version 1; it has 0"},
		{"back horn 2", 1, "horn.yaml has no version 2; it has 0"},
		{"back horn x", 2, `"x" is no number of a version`},
		{"back ../horn.yaml 1", 1, "cannot be named"},
		{"history horn --studio gone --prefer studio", 0, ""},
	} {
		status, _, errs := d.run(append([]string{"profile"}, strings.Fields(c.args)...)...)
		if status != c.status || !strings.Contains(errs, c.want) {
			t.Errorf("%s: status %d, %s", c.args, status, errs)
		}
	}
}

// TestLock holds what a piece is played from, and changes only when it is asked for.
func TestLock(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	d.file(hornFile, horn("2"))
	seating := d.file("seating.yaml", "swellbox: 1\nensemble: {headroom_db: 9}\nseats:\n  - {part: First, channel: 1, profile: violin}\n")
	out := strings.Join(strings.Fields(d.must("profile", "lock", "raw.mid", "--seating", seating)), " ")
	for _, want := range []string{"First violin Horn in F horn", "horn own " + string(store.HashOf([]byte(horn("2")))[:12]), "plain built-in", "play the piece with --locked swellbox.lock"} {
		if !strings.Contains(out, want) {
			t.Errorf("the lock lacks %q:\n%s", want, out)
		}
	}
	p := &program.Program{Output: tell.Output{Out: os.Stdout, Err: os.Stderr}, Settings: settings.Settings{}}
	cast, err := p.LockedCast("swellbox.lock")
	if err != nil {
		t.Fatal(err)
	}
	own, err := cast.Library.Resolve("horn")
	if err != nil || own.Players != 2 {
		t.Errorf("the locked horn is %+v, %v", own, err)
	}
	if cast.Ensemble().HeadroomDB != 9 {
		t.Errorf("the locked ensemble is %+v", cast.Ensemble())
	}
	for i, seat := range []string{"violin", "horn"} {
		if cast.Seating.Seats[i].Profile != seat {
			t.Errorf("seat %d is %+v", i+1, cast.Seating.Seats[i])
		}
	}

	d.must("profile", "lock", "raw.mid", "--seating", seating) // nothing new
	d.file(hornFile, horn("5"))
	status, _, errs := d.run("profile", "lock", "raw.mid", "--seating", seating)
	if status != 1 || !strings.Contains(errs, "swellbox.lock is there and says something else; give -o another name, or --replace") {
		t.Errorf("status %d, %s", status, errs)
	}
	var said struct {
		Parts []struct {
			Name, Profile string
			Port, Channel int
		}
		Documents []struct{ Name, File, Hash string }
	}
	if err := json.Unmarshal([]byte(d.must("profile", "lock", "raw.mid", "--replace", "--json")), &said); err != nil {
		t.Fatal(err)
	}
	if len(said.Parts) != 2 || said.Parts[1].Profile != "horn" || said.Parts[1].Port != 1 || len(said.Documents) < 4 {
		t.Errorf("the lock is %+v", said)
	}
	l, err := lock.Read("swellbox.lock")
	if err != nil || len(l.Documents) != len(said.Documents) {
		t.Errorf("%+v, %v", l, err)
	}
}

// TestLockedRender renders a piece next year, with other profiles and no seating, to
// the same bytes.
func TestLockedRender(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	d.file(hornFile, horn("2"))
	seating := d.file("seating.yaml", "swellbox: 1\nensemble: {headroom_db: 9}\nseats:\n  - {channel: 1, profile: violin, players: 2}\n")
	raw, err := smf.ReadFile("raw.mid")
	if err != nil {
		t.Fatal(err)
	}
	render := func(cast *perform.Cast, err error) string {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		shaped, _, err := offline.Render(t.Context(), raw, cast, perform.Manner{})
		if err != nil {
			t.Fatal(err)
		}
		b, err := shaped.Append(nil)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	s := d.settled("--seating", seating)
	then := render(s.Cast())
	d.must("profile", "lock", "raw.mid", "--seating", seating)
	d.file(hornFile, "swellbox: 1\nname: horn\nextends: horn\nbloom: {amount: 2, swell_db: 6}\n")
	d.file("user/swellbox/profiles/strings.yaml", "swellbox: 1\nname: strings\nextends: strings\nvibrato: {amount: 0}\n")
	s = d.settled()
	if now := render(s.Cast()); now == then {
		t.Error("the other profiles change nothing, so this test shows nothing")
	}
	p := &program.Program{Output: tell.Output{Out: os.Stdout, Err: os.Stderr}}
	if again := render(p.LockedCast("swellbox.lock")); again != then {
		t.Error("the locked piece sounds different")
	}
}

// The hall of the seating and the controller map of the command line are locked too.
func TestLockHoldsHallAndControllerMap(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	seating := d.file("seating.yaml", "swellbox: 1\nensemble: {room: chamber, row: 0}\nseats:\n  - {channel: 1, profile: violin, controller_map: dynamics-on-11}\n")
	flags := []string{"--seating", seating, "--controller-map", "dynamics-on-1"}
	d.must(append([]string{"render", "raw.mid", "-o", "then.mid"}, flags...)...)
	d.must(append([]string{"profile", "lock", "raw.mid"}, flags...)...)
	for name, args := range map[string][]string{"other-hall.mid": {"--controller-map", "dynamics-on-1", "--seating", "none"}, "other-map.mid": {"--seating", seating}} {
		if d.must(append([]string{"render", "raw.mid", "-o", name}, args...)...); d.read(name) == d.read("then.mid") {
			t.Errorf("%s is the same, so this test shows nothing", name)
		}
	}
	d.must("render", "raw.mid", "-o", "now.mid", "--locked", "swellbox.lock", "--seating", "none")
	if d.read("now.mid") != d.read("then.mid") {
		t.Error("the locked piece sounds different")
	}
	status, _, errs := d.run("render", "raw.mid", "-o", "other.mid", "--locked", "swellbox.lock", "--controller-map", "velocity-only")
	if status != 0 || !strings.Contains(errs, "the controller map velocity-only is left out") || d.read("other.mid") != d.read("then.mid") {
		t.Errorf("by another controller map: status %d, %s", status, errs)
	}
}

// A lock of former times, whose documents have the keys of those, is read with a warning that
// says how to have the present ones.
func TestLockWithOldNames(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	d.file("own/old.yaml", "swellbox: 1\nplayer_map: old\neveryone: {player: {level: {controller: 7}}}\n")
	d.file("seating.yaml", "swellbox: 1\nseats:\n  - {channel: 1, profile: violin, controller_map: old}\n")
	d.must("profile", "lock", "raw.mid", "--profiles", "own")
	l, err := lock.Read("swellbox.lock")
	if err != nil {
		t.Fatal(err)
	}
	const now, then = "controller_map: old", "player_map: old" // of the seat
	was := lock.Member{Content: []byte(strings.Replace(string(l.Seating.Content), now, then, 1))}
	d.file("old.lock", strings.Replace(strings.Replace(d.read("swellbox.lock"), now, then, 1), l.Seating.Hash(), was.Hash(), 1))
	status, _, errs := d.run("render", "raw.mid", "-o", "shaped.mid", "--locked", "old.lock")
	for _, want := range []string{`old.lock holds documents with old names`, `swellbox profile lock RAW.mid --replace`, `locked seating.yaml`, `locked old.yaml`, `this key is now called "controller_map"`} {
		if status != 0 || !strings.Contains(errs, want) {
			t.Errorf("no %q: status %d, %s", want, status, errs)
		}
	}
}

func TestNoLock(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	d.file("broken.lock", "swellbox_lock: 1\n")
	p := &program.Program{Output: tell.Output{Out: os.Stdout, Err: os.Stderr}}
	for path, want := range map[string]string{"none.lock": "cannot read the lock", "broken.lock": "broken.lock:1:1: documents: the key is missing"} {
		if _, err := p.LockedCast(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", path, err)
		}
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"raw.mid", "-o", "raw.mid"}, "would be overwritten by its lock"},
		{[]string{"none.mid"}, "none.mid"},
		{[]string{"raw.mid", "-o", "no/such/folder.lock"}, "cannot write no/such/folder.lock"},
	} {
		status, _, errs := d.run(append([]string{"profile", "lock"}, c.args...)...)
		if status != 1 || !strings.Contains(errs, c.want) {
			t.Errorf("%q: status %d, %s", c.args, status, errs)
		}
	}
}
