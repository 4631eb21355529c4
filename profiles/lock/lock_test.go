package lock

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swellbox/profiles"
	"swellbox/profiles/names"
)

// house is a library with documents that hide others, extend what they hide, and
// lie in files of every sort.
func house(t testing.TB) *profiles.Library {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	add := func(kind profiles.OriginKind, label, file, text string) {
		f, err := profiles.ParseAny(file, []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if f.Profile != nil {
			f.Profile.Origin = profiles.Origin{Kind: kind, Label: label}
			err = lib.Add(f.Profile)
		} else {
			f.ControllerMap.Origin = profiles.Origin{Kind: kind, Label: label}
			err = lib.AddControllerMap(f.ControllerMap)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	add(profiles.Installed, "north 2.1", "/home/anna/installed/strings.yaml", "swellbox: 1\r\nname: strings\r\nextends: strings\r\nsustain:\r\n  swell_db: 2\r\n")
	add(profiles.Studio, "/mnt/studio", "/mnt/studio/strings.yaml", "swellbox: 1\nname: strings # ours\nextends: strings\nvibrato:\n  rate_low_hz: 5\n\n\n")
	add(profiles.Own, "/home/anna/profiles", "/home/anna/profiles/solo.yaml", "# für uns\nswellbox: 1\nname: solo\nextends: violins\nplayers: 1\nvariants:\n  - name: plucked\n    extends: pizzicato-strings\n    keyswitch: 24")
	add(profiles.Own, "", "bank.yaml", "swellbox: 1\ncontroller_map: bank\neveryone:\n  sampler:\n    level:\n      controller: 21\n")
	return lib
}

func seating(t testing.TB, text string) *profiles.Seating {
	t.Helper()
	s, err := profiles.ParseSeating("seating.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

const concert = `swellbox: 1
ensemble: {headroom_db: 7.5, ceiling_db: 1, room: chamber, row: 0}
seats:
  - {part: "Solo: first", channel: 1, profile: solo, controller_map: bank}
  - {track: "yes", program: 12, profile: trumpet, players: 3}
`

func locked(t testing.TB) *Lock {
	t.Helper()
	l, err := Make(Build{Version: "v1.2.3", Revision: "abc123", Changed: true, Libraries: []Library{{"example.org/one", "v0.1.0"}, {"example.org/two", "v2.0.0"}}}, house(t), seating(t, concert), []Part{
		{Name: "Solo: first", Port: 1, Channel: 1, Profile: "solo", Seated: true},
		{Name: "Violas \x01\xff", Port: 1, Channel: 3, Profile: "violas"},
	})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestSoundsTheSame resolves every part from the lock alone, to the same profile.
func TestSoundsTheSame(t *testing.T) {
	l := locked(t)
	b, err := l.Encode()
	if err != nil {
		t.Fatal(err)
	}
	again, err := Parse("swellbox.lock", b)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(l, again) {
		t.Errorf("the lock became\n%+v\nfrom\n%+v", again, l)
	}
	whole := house(t)
	lib, err := again.Library()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ profile, controllerMap string }{{"solo", "bank"}, {"solo", ""}, {"trumpet", ""}, {"violas", ""}, {"violas", "bank"}} {
		want, err := whole.ResolveFor(c.profile, c.controllerMap)
		if err != nil {
			t.Fatal(err)
		}
		got, err := lib.ResolveFor(c.profile, c.controllerMap)
		if err != nil {
			t.Errorf("%v: %v", c, err)
		} else if !reflect.DeepEqual(got, want) {
			t.Errorf("%v is another profile:\n%+v\nwant\n%+v", c, got, want)
		}
	}
	if _, ok := lib.Lookup("oboe"); ok {
		t.Error("the lock holds what the piece does not use")
	}
	if d, ok := lib.Lookup("strings"); !ok || d.Origin.Kind != profiles.Studio || len(lib.Layers("strings")) != 3 {
		t.Errorf("strings is %+v", d)
	}
	s, err := again.Seats()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Check(lib); err != nil {
		t.Error(err)
	}
	if want := (profiles.Ensemble{HeadroomDB: 7.5, CeilingDB: 1, Room: "chamber", Row: 0}); s.Ensemble != want {
		t.Errorf("the ensemble is %+v", s.Ensemble)
	}
	for _, c := range []struct {
		hint names.Hint
		want profiles.Seat
	}{
		{names.Hint{Port: 2, Channel: 1}, profiles.Seat{Part: "Solo: first", Channel: 1, Profile: "solo", ControllerMap: "bank"}},
		{names.Hint{Port: 1, Channel: 3, Track: "anything"}, profiles.Seat{Part: "Violas", Port: 1, Channel: 3, Profile: "violas"}},
		{names.Hint{Port: 1, Channel: 4, Track: "YES", Program: 12, HasProgram: true}, profiles.Seat{Track: "yes", Program: 12, Profile: "trumpet", Players: 3}},
	} {
		if seat, ok := s.For(c.hint); !ok || seat != c.want {
			t.Errorf("%+v sits on %+v, want %+v", c.hint, seat, c.want)
		}
	}
}

// TestAllBuiltIn locks the whole orchestra, with room to spare.
func TestAllBuiltIn(t *testing.T) {
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	var parts []Part
	for i, name := range lib.Names() {
		parts = append(parts, Part{Name: name, Port: 1 + i/16, Channel: 1 + i%16, Profile: name})
	}
	l, err := Make(Build{}, lib, nil, parts)
	if err != nil {
		t.Fatal(err)
	}
	b, err := l.Encode()
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d profiles take %d bytes", len(parts), len(b))
	if len(b) > Limit/20 { // half of it is what instruments are called
		t.Errorf("%d profiles take %d bytes", len(parts), len(b))
	}
	other, err := l.Library()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range lib.Names() {
		want, err := lib.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := other.Resolve(name); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s is another profile: %v", name, err)
		}
	}
}

// TestFile is the lock as people see it, and says nothing of the machine it was made on.
func TestFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "swellbox.lock")
	if err := locked(t).Write(path); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text := string(b)
	for _, want := range []string{
		"# Locks a piece", "\nswellbox_lock: 1\nprogram: v1.2.3\nrevision: abc123, changed since\nlibraries:\n  example.org/one: v0.1.0\n  example.org/two: v2.0.0\nseating:\n  sha256: ", "\n      # für uns\n", "label: north 2.1", "file: plain.yaml",
		`content: "swellbox: 1\r\nname: strings\r\n`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the lock lacks %q:\n%s", want, text)
		}
	}
	for _, not := range []string{"/home", "/mnt", "anna"} {
		if strings.Contains(text, not) {
			t.Errorf("the lock names %s", not)
		}
	}
	if l, err := Read(path); err != nil || !reflect.DeepEqual(l, locked(t)) {
		t.Errorf("read %+v, %v", l, err)
	}
	again, err := locked(t).Encode()
	if err != nil || !bytes.Equal(again, b) {
		t.Errorf("the same lock has other bytes, %v", err)
	}
	if _, err := Read(filepath.Join(t.TempDir(), "none")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the error is %v", err)
	}
}

func TestNothingToLock(t *testing.T) {
	lib := house(t)
	for _, c := range []struct {
		name    string
		seating *profiles.Seating
		parts   []Part
		want    string
	}{
		{"no parts", nil, nil, "there is nothing to lock"},
		{"no such profile", nil, []Part{{Port: 1, Channel: 1, Profile: "violas-x"}}, `no profile is named "violas-x"`},
		{"no such map", seating(t, "swellbox: 1\nseats:\n  - {channel: 1, profile: oboe, controller_map: none}\n"), nil, `no controller map is named "none"`},
		{"no such channel", nil, []Part{{Port: 1, Channel: 17, Profile: "violas"}}, "allowed is"},
	} {
		if l, err := Make(Build{}, lib, c.seating, c.parts); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, %v", c.name, l, err)
		}
	}
}

// TestAnyText comes back byte for byte from a lock.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOf(rapid.OneOf(
			rapid.SampledFrom([]string{"a: 1\n", "\n", " ", "\t", "\r\n", "\r", "#", "# x\n", "\ufeff", "\u0085", "\u2028", "\x01", "\x7f", "\\", "\"", "'", "- ", "...\n", "---\n", "|", "%", "\U0001F3BB", "\ufffd", "\ufffe"}),
			rapid.String(),
		)).Draw(t, "text"), "")
		text = strings.ToValidUTF8(text, "")
		text = strings.ReplaceAll(text, "\x00", "")
		l := &Lock{Program: Build{Version: "x"}, Seating: Member{Name: "seating", File: "seating.yaml", Content: []byte(text)},
			Documents: []Member{{Name: "a", File: "b", Content: []byte(text)}}}
		b, err := l.Encode()
		if err != nil {
			t.Fatal(err)
		}
		again, err := Parse("swellbox.lock", b)
		if err != nil {
			t.Fatalf("%v in\n%s", err, b)
		}
		if string(again.Documents[0].Content) != text || string(again.Seating.Content) != text {
			t.Fatalf("%q became %q", text, again.Documents[0].Content)
		}
	})
}

// spoilt are locks with one thing wrong, and what is said of it.
func spoilt(t testing.TB) []struct{ text, want string } {
	b, err := locked(t).Encode()
	if err != nil {
		t.Fatal(err)
	}
	good := string(b)
	swap := func(old, with string) string {
		if !strings.Contains(good, old) {
			t.Fatalf("the lock lacks %q", old)
		}
		return strings.Replace(good, old, with, 1)
	}
	const version = "swellbox_lock: 1"
	return []struct{ text, want string }{
		{"", `x.lock: the file is empty; a lock begins with "swellbox_lock: 1"`},
		{"\n# nothing\n", "the file is empty"},
		{"a", "wanted keys with values"},
		{"\xff", "not text in UTF-8"},
		{"x: 1\na: b: c\n", "x.lock:2: not readable as YAML"},
		{strings.Repeat("[", 100_000), "not readable as YAML"},
		{strings.Repeat("- ", 5000), "nested deeper than 4 levels"},
		{"a: &a [x, x]\nb: [*a, *a]\n", "x.lock:1:4: an anchor, an alias or a tag is not allowed"},
		{good + "---\na: 1\n", "a second document begins here"},
		{swap(version, "swellbox_lock: 2"), "swellbox_lock: found \"2\", this program reads 1"},
		{swap(version, version+"\n"+version), "the key is given twice"},
		{swap(version, "swellbox_lok: 1"), `the key "swellbox_lok" is not known; allowed are swellbox_lock, program, revision, libraries, seating, documents`},
		{swap("program: v1.2.3\n", ""), "program: the key is missing"},
		{swap("program: v1.2.3\n", "program: [1]\n"), "program: wanted text"},
		{swap("libraries:\n", "libraries: 3\nlibrary:\n"), "libraries: wanted the names of at most 200 libraries"},
		{swap("example.org/one: v0.1.0", "example.org/one: [1]"), "libraries.example.org/one: wanted text"},
		{swap("players: 1\n", "players: 2\n"), "the document has been changed since it was locked: its hash is "},
		{swap("headroom_db: 7.5", "headroom_db: 9"), "seating.content: the document has been changed"},
		{swap("origin: studio", "origin: heaven"), `origin: found "heaven", allowed are built-in, installed, studio, own`},
		{good[:len(good)/2], "x.lock:"},
		{strings.Repeat(" ", Limit+1), "the file is too long, allowed are 2097152 bytes"},
		{"swellbox_lock: 1\nprogram: x\nseating: 3\ndocuments: 4\n", "documents: wanted a list of at most 1000 documents"},
		{"swellbox_lock: 1\ndocuments:\n" + strings.Repeat("  - 1\n", documentsLimit+1), "wanted a list of at most 1000"},
	}
}

func TestSpoilt(t *testing.T) {
	for i, c := range spoilt(t) {
		_, err := Parse("x.lock", []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%d (%.60q): %v; want %q", i, c.text, err, c.want)
		}
		if ps, ok := errors.AsType[profiles.Problems](err); !ok || len(ps) > problemsLimit {
			t.Errorf("%d: the error is a %T of %d", i, err, len(ps))
		}
	}
}

// TestForged has hashes that are right on documents that are not.
func TestForged(t *testing.T) {
	for _, change := range []func(*Lock){
		func(l *Lock) { l.Documents[0].Name = "other" },
		func(l *Lock) { l.Documents[0].Content = []byte("swellbox: 1\nseats:\n  - {channel: 1, profile: x}\n") },
		func(l *Lock) { l.Documents[0].Content = []byte("nonsense") },
	} {
		l := locked(t)
		change(l)
		if lib, err := l.Library(); err == nil || !strings.Contains(err.Error(), "locked ") {
			t.Errorf("a library of %v, %v", lib, err)
		}
	}
	l := locked(t)
	l.Seating.Content = []byte("swellbox: 1\n")
	if _, err := l.Seats(); err == nil || !strings.Contains(err.Error(), "locked seating.yaml") {
		t.Errorf("the error is %v", err)
	}
}

// FuzzRead takes any bytes for a lock: what is taken is within the limits, its
// hashes hold, and it comes back the same when it is written again.
func FuzzRead(f *testing.F) {
	b, err := locked(f).Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	n := 0
	for _, c := range spoilt(f) {
		if len(c.text) < 1<<16 {
			f.Add([]byte(c.text))
			n++
		}
	}
	if n < 15 {
		f.Fatalf("only %d seeds", n)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		l, err := Parse("x.lock", b)
		if err != nil {
			if ps, ok := errors.AsType[profiles.Problems](err); !ok || len(ps) == 0 || len(ps) > problemsLimit || strings.Contains(ps[0].Text, "\n") {
				t.Errorf("the error is %q", err)
			}
			return
		}
		if len(l.Documents) > documentsLimit {
			t.Errorf("%d documents", len(l.Documents))
		}
		for _, m := range append(l.Documents, l.Seating) {
			if !bytes.Contains(b, []byte(m.Hash())) && !bytes.Contains(b, []byte("\\")) {
				t.Errorf("the hash %s is not in the lock", m.Hash())
			}
		}
		out, err := l.Encode()
		if err != nil {
			t.Fatal(err)
		}
		again, err := Parse("x.lock", out)
		if err != nil || fmt.Sprintf("%+v", again) != fmt.Sprintf("%+v", l) {
			t.Errorf("%+v became %+v, %v", l, again, err)
		}
		if lib, err := l.Library(); err == nil && lib == nil {
			t.Error("no library")
		}
	})
}
