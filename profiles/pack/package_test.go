package pack

import (
	"archive/tar"
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/quick"

	"swellbox/profiles"
)

// The bytes of a package are the same on every system and with every release of
// the compiler: other bytes would be another hash of the same content.
func TestBytesArePinned(t *testing.T) {
	const want = "d9998d2c8d57e961e224769c191f9c2d70af030d7eb1bcc199c45d2d19f50789"
	if got := newPackage(t, "small-hall", "1.2.0").SHA256(); got != want {
		t.Errorf("the hash of the package is %s, want %s", got, want)
	}
	p, err := New(about("small-hall", "1.2.0", "Anna Example"), []Source{{"b", document("seconds")}, {"a", document("firsts")}})
	if err != nil {
		t.Fatal(err)
	}
	if p.SHA256() != want {
		t.Error("the order in which documents are given, or what their files are called, changes the package")
	}
}

func TestOpenGivesWhatWasPacked(t *testing.T) {
	long := "flöten-" + strings.Repeat("a", 50) // a name that plain tar headers cannot hold
	p, err := New(about("winds", "2.0.0-rc.1", "Anna Example"), sources("firsts", long))
	if err != nil {
		t.Fatal(err)
	}
	q, err := Open(p.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if q.File() != "winds-2.0.0-rc.1.swellbox.tar" || q.Author != "Anna Example" || q.Notes != p.Notes {
		t.Errorf("the manifest came back as %+v", q.Manifest)
	}
	if got, want := q.profiles(), []string{"firsts", long}; !slices.Equal(got, want) {
		t.Errorf("the profiles are %q, want %q", got, want)
	}
	if !bytes.Equal(q.documents[long+".yaml"], document(long)) {
		t.Error("a document came back changed")
	}
}

// controllerMap is how a sampler answers for a profile.
func controllerMap(profile string) []byte {
	return []byte("swellbox: 1\ncontroller_map: hall-strings\nprofiles: {" + profile + ": {sampler: {fixed_velocity: 90}}}\n")
}

func TestControllerMapsArePackedToo(t *testing.T) {
	p, err := New(about("small-hall", "1.0.0", "Anna Example"), append(sources("hall-strings"), Source{"any.yaml", controllerMap("hall-strings")}))
	if err != nil {
		t.Fatal(err)
	}
	q, err := Open(p.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if got := tree(t, placed(t, q)); !slices.Contains(got, "hall-strings.map.yaml") || !slices.Contains(got, "hall-strings.yaml") {
		t.Errorf("installed are %q", got)
	}
}

// placed installs a package without a signature, and is its folder.
func placed(t *testing.T, p *Package) string {
	t.Helper()
	res, err := Install(t.TempDir(), p.Bytes(), nil, Options{Unsigned: true})
	if err != nil {
		t.Fatal(err)
	}
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	if err := lib.AddFolder(res.Folder, profiles.Origin{Kind: profiles.Installed}); err != nil {
		t.Errorf("the library does not take what was installed: %v", err)
	}
	return res.Folder
}

func TestNewRefuses(t *testing.T) {
	ok := about("small-hall", "1.0.0", "Anna Example")
	with := func(change func(*Manifest)) Manifest {
		m := ok
		change(&m)
		return m
	}
	for name, c := range map[string]struct {
		about   Manifest
		sources []Source
		want    string
	}{
		"no documents":        {ok, nil, "0 documents; allowed are 1 to 500"},
		"broken document":     {ok, []Source{{"x.yaml", []byte("swellbox: 1\nname: x\nplayerz: 3\n")}}, `the nearest is "players"`},
		"rests on a stranger": {ok, []Source{{"x.yaml", []byte("swellbox: 1\nname: x\nextends: mine-alone\n")}}, "may be based on what is built in and on itself"},
		"one profile twice":   {ok, append(sources("x"), Source{"copy.yaml", document("x")}), "copy.yaml: what it describes is in x.yaml too"},
		"a seating":           {ok, []Source{{"s.yaml", []byte("swellbox: 1\nseats: [{channel: 1, profile: violins}]\n")}}, "s.yaml is a seating, which belongs to a piece"},
		"map of a stranger":   {ok, []Source{{"m.yaml", controllerMap("stranger")}}, "may be based on what is built in and on itself"},
		"profile of a device": {ok, sources("nul"), "which is a device"},
		"capital in the name": {with(func(m *Manifest) { m.Name = "Hall" }), sources("x"), `cannot be named "Hall"`},
		"way out in the name": {with(func(m *Manifest) { m.Name = "../x" }), sources("x"), `cannot be named "../x"`},
		"device as the name":  {with(func(m *Manifest) { m.Name = "aux" }), sources("x"), "name of a device"},
		"two numbers":         {with(func(m *Manifest) { m.Version = "1.0" }), sources("x"), `the version "1.0" is not like 1.4.0`},
		"no author":           {with(func(m *Manifest) { m.Author = "" }), sources("x"), "the author is"},
		"steering author":     {with(func(m *Manifest) { m.Author = "A\x1b[2J" }), sources("x"), "the author is"},
		"two-line licence":    {with(func(m *Manifest) { m.Licence = "a\nb" }), sources("x"), "the licence is"},
		"turned notes":        {with(func(m *Manifest) { m.Notes = "a\u202eb" }), sources("x"), "cannot be printed"},
		"long notes":          {with(func(m *Manifest) { m.Notes = strings.Repeat("a", notesLimit+1) }), sources("x"), "over 4000 bytes"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := New(c.about, c.sources)
			wantError(t, err, c.want)
		})
	}
}

// hostile are tar files that Open must refuse, with what it must say.
func hostile(t testing.TB) map[string]struct {
	pkg  []byte
	want string
} {
	good := newPackage(t, "small-hall", "1.0.0").Bytes()
	x := file("x.yaml", document("x"))
	m := manifestOf(t, "small-hall", "1.0.0", x)
	special := func(kind byte, name string) entry {
		return entry{tar.Header{Typeflag: kind, Name: name, Linkname: "/etc/hosts", Mode: 0o777}, nil}
	}
	many := make([]entry, documentsLimit+2)
	for i := range many {
		many[i] = file(fmt.Sprintf("x%d.yaml", i), nil)
	}
	swapped := bytes.Replace(good, []byte("players: 4 # of our hall"), []byte("players: 5 # of our hall"), 1)
	lying := m
	lying.content = bytes.Replace(m.content, fmt.Appendf(nil, `"size": %d`, len(x.content)), fmt.Appendf(nil, `"size": %d`, len(x.content)+1), 1)
	capital := m
	capital.content = bytes.Replace(m.content, []byte(`"name"`), []byte(`"Name"`), 1)
	dated := x
	dated.header.ModTime = dated.header.ModTime.AddDate(1, 0, 0)
	sparse := entry{tar.Header{Typeflag: tar.TypeReg, Name: "x.yaml", Mode: 0o644, PAXRecords: map[string]string{"swellbox.x": "1"}, Size: x.header.Size}, x.content}
	wrongName := file("y.yaml", document("x"))
	type c = struct {
		pkg  []byte
		want string
	}
	return map[string]c{
		"empty":              {nil, "no manifest.json"},
		"no tar":             {bytes.Repeat([]byte("no tar "), 200), "damaged, cut short or no package"},
		"cut in a document":  {good[:len(good)-2000], "cut short"},
		"cut at the end":     {good[:len(good)-512], "cut short"},
		"appended":           {append(slices.Clone(good), "more"...), "4 bytes were appended"},
		"appended package":   {append(slices.Clone(good), good...), "were appended"},
		"too large":          {make([]byte, PackageLimit+1), "which none has"},
		"way out":            {tarOf(t, m, file("../x.yaml", nil)), "leads out of its folder"},
		"way out by a turn":  {tarOf(t, m, file("a/../../x.yaml", nil)), "leads out of its folder"},
		"absolute":           {tarOf(t, m, file("/x.yaml", nil)), "absolute"},
		"drive":              {tarOf(t, m, file("c:x.yaml", nil)), "absolute"},
		"backslash":          {tarOf(t, m, file(`..\x.yaml`, nil)), "backslash"},
		"folder in a name":   {tarOf(t, m, file("a/x.yaml", nil)), "lies in a folder"},
		"device name":        {tarOf(t, m, file("con.yaml", nil)), "a device on some systems"},
		"stream name":        {tarOf(t, m, file("violins.yaml:x", nil)), "not a profile's name"},
		"hidden":             {tarOf(t, m, file(".x.yaml", nil)), "not a profile's name"},
		"program":            {tarOf(t, m, file("run.sh", nil)), "not a profile's name"},
		"symbolic link":      {tarOf(t, m, special(tar.TypeSymlink, "x.yaml")), "is a link"},
		"hard link":          {tarOf(t, m, special(tar.TypeLink, "x.yaml")), "is a link"},
		"folder":             {tarOf(t, m, special(tar.TypeDir, "x/")), "is a folder"},
		"device":             {tarOf(t, m, special(tar.TypeChar, "x.yaml")), "is a device"},
		"pipe":               {tarOf(t, m, special(tar.TypeFifo, "x.yaml")), "is a device"},
		"twice":              {tarOf(t, m, x, x), "holds x.yaml twice"},
		"two manifests":      {tarOf(t, m, m, x), "holds manifest.json twice"},
		"case clash":         {tarOf(t, m, file("strings.yaml", nil), file("ſtrings.yaml", nil)), "one file on some systems"},
		"too many":           {tarOf(t, many...), "more than 500 documents"},
		"large document":     {tarOf(t, m, file("x.yaml", make([]byte, profiles.DocumentLimit+1))), "over 1048576 bytes"},
		"large manifest":     {tarOf(t, file(manifestFile, make([]byte, manifestLimit+1))), "over 262144 bytes"},
		"no manifest":        {tarOf(t, x), "no manifest.json"},
		"not in manifest":    {tarOf(t, m, file("stowaway.yaml", document("stowaway")), x), "its manifest does not name"},
		"only in manifest":   {tarOf(t, m), "which is not in the package"},
		"changed document":   {swapped, "not the hash"},
		"lying size":         {tarOf(t, lying, x), "the manifest says"},
		"capital key":        {tarOf(t, capital, x), "not written as swellbox writes it"},
		"named after other":  {tarOf(t, manifestOf(t, "small-hall", "1.0.0", wrongName), wrongName), "y.yaml must be named x.yaml"},
		"of another order":   {tarOf(t, x, m), "another program"},
		"dated":              {tarOf(t, m, dated), "another program"},
		"records of its own": {tarOf(t, m, sparse), "another program"},
	}
}

func TestOpenRefuses(t *testing.T) {
	for name, c := range hostile(t) {
		t.Run(name, func(t *testing.T) {
			_, err := Open(c.pkg)
			wantError(t, err, c.want)
		})
	}
}

// A sparse file says in a few bytes that it has very many.
func TestOpenRefusesASparseFile(t *testing.T) {
	b := tarOf(t, file("x.yaml", nil))
	h := b[:512]
	h[156] = tar.TypeGNUSparse
	copy(h[257:], "ustar  \x00")
	copy(h[386:], "00000000000\x0000000000000\x00") // one piece: at 0, of no bytes
	copy(h[483:], "77777777777\x00")                // real size: 8 GiB
	copy(h[148:], "        ")
	sum := 0
	for _, c := range h {
		sum += int(c)
	}
	copy(h[148:], fmt.Sprintf("%06o\x00 ", sum))
	_, err := Open(b)
	wantError(t, err, "allowed are plain files")
}

func TestVersionOrder(t *testing.T) {
	// The example of Semantic Versioning 2.0.0, 11, and around it.
	order := []Version{
		"0.9.9", "1.0.0-0", "1.0.0-alpha", "1.0.0-alpha.1", "1.0.0-alpha.beta", "1.0.0-beta", "1.0.0-beta.2",
		"1.0.0-beta.11", "1.0.0-rc.1", "1.0.0", "1.0.1", "1.2.0", "1.10.0", "2.0.0", "999999999.0.0",
	}
	for i, v := range order {
		if _, err := ParseVersion(string(v)); err != nil {
			t.Error(err)
		}
		for j, w := range order {
			want := 0
			if i < j {
				want = -1
			} else if i > j {
				want = 1
			}
			if got := v.Compare(w); got != want {
				t.Errorf("%s against %s is %d, want %d", v, w, got, want)
			}
		}
	}
	for _, s := range []string{"", "1", "1.0", "1.0.0.0", "v1.0.0", "01.0.0", "1.0.0-", "1.0.0-01", "1.0.0-RC", "1.0.0+b", "-1.0.0", "1.0.1000000000", "1.0.0-" + strings.Repeat("a", 40), "1.0.0/..", "..", "1.0.0 "} {
		if v, err := ParseVersion(s); err == nil {
			t.Errorf("%q is taken for the version %s", s, v)
		}
	}
	symmetric := func(a, b uint16, pre bool) bool {
		v, w := Version(fmt.Sprintf("1.%d.0", a)), Version(fmt.Sprintf("1.%d.0", b))
		if pre {
			v += "-rc.1"
		}
		return v.Compare(w) == -w.Compare(v)
	}
	if err := quick.Check(symmetric, nil); err != nil {
		t.Error(err)
	}
}
