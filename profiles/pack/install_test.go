package pack

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func yes(Question) (bool, error) { return true, nil }

func never(t *testing.T) func(Question) (bool, error) {
	return func(q Question) (bool, error) {
		t.Errorf("asked about %+v", q)
		return false, nil
	}
}

func install(t *testing.T, home string, p *Package, k SecretKey, o Options) *Result {
	t.Helper()
	res, err := Install(home, p.Bytes(), signed(t, p, k), o)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// wantFolders checks which versions play, as NAME/VERSION.
func wantFolders(t *testing.T, home string, want ...string) {
	t.Helper()
	folders, err := InstalledFolders(home)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range folders {
		rel, _ := filepath.Rel(filepath.Join(home, installedDir), f)
		got = append(got, filepath.ToSlash(rel))
	}
	if !slices.Equal(got, want) {
		t.Errorf("installed are %q, want %q", got, want)
	}
}

func TestInstallAsksOnceThenKnows(t *testing.T) {
	home, k := filepath.Join(t.TempDir(), "home"), newKey(t)
	p := newPackage(t, "small-hall", "1.0.0")
	wantFolders(t, home)
	var asked []Question
	res := install(t, home, p, k, Options{Ask: func(q Question) (bool, error) { asked = append(asked, q); return true, nil }})
	if want := (Question{k.Public(), "Anna Example", "small-hall", "1.0.0"}); !slices.Equal(asked, []Question{want}) {
		t.Errorf("asked %+v, want %+v", asked, want)
	}
	if !res.Pinned || res.Already || res.KeyID != k.Public().ID() || !slices.Equal(res.Profiles, []string{"firsts", "seconds"}) {
		t.Errorf("the result is %+v", res)
	}
	for file, content := range p.documents {
		if got, err := os.ReadFile(filepath.Join(res.Folder, file)); err != nil || !bytes.Equal(got, content) {
			t.Errorf("%s was installed as %q, %v", file, got, err)
		}
	}
	want := []string{
		"installed/small-hall/1.0.0/firsts.yaml", "installed/small-hall/1.0.0/package.swellbox.tar",
		"installed/small-hall/1.0.0/package.swellbox.tar.minisig", "installed/small-hall/1.0.0/seconds.yaml",
		"trust/" + k.Public().ID() + ".json",
	}
	if got := tree(t, home); !slices.Equal(got, want) {
		t.Errorf("home holds %q, want %q", got, want)
	}
	pins, err := Pins(home)
	if err != nil || len(pins) != 1 || pins[0].Author != "Anna Example" || !slices.Equal(pins[0].Packages, []string{"small-hall"}) {
		t.Errorf("the pins are %+v, %v", pins, err)
	}

	if res := install(t, home, p, k, Options{Ask: never(t)}); !res.Already || res.Pinned {
		t.Errorf("the second time it is %+v", res)
	}
	install(t, home, newPackage(t, "small-hall", "1.1.0"), k, Options{Ask: never(t)})
	install(t, home, newPackage(t, "large-hall", "0.1.0"), k, Options{Ask: never(t)})
	wantFolders(t, home, "large-hall/0.1.0", "small-hall/1.1.0")
}

func TestInstallWithoutTrust(t *testing.T) {
	k, other, p := newKey(t), newKey(t), newPackage(t, "small-hall", "1.0.0")
	sig := signed(t, p, k)
	for name, c := range map[string]struct {
		sig  []byte
		o    Options
		want string
	}{
		"nobody to ask":    {sig, Options{}, "is not trusted, nothing was installed; compare it with the author's and add --trust " + string(k.Public())},
		"the answer is no": {sig, Options{Ask: func(Question) (bool, error) { return false, nil }}, "is not trusted, nothing was installed"},
		"asking fails":     {sig, Options{Ask: func(Question) (bool, error) { return true, errors.New("no terminal") }}, "no terminal"},
		"another trusted":  {sig, Options{Trust: other.Public()}, "not with " + other.Public().ID() + ", the one given"},
		"not signed":       {nil, Options{Ask: never(t)}, "is not signed, so nobody can say who made it; get its file small-hall-1.0.0.swellbox.tar.minisig"},
		"no key along": {
			[]byte(strings.Replace(string(sig), untrustedComment+string(k.Public()), "x", 1)),
			Options{Ask: never(t)}, "which you do not trust yet and the signature does not bring along",
		},
	} {
		t.Run(name, func(t *testing.T) {
			home := t.TempDir()
			_, err := Install(home, p.Bytes(), c.sig, c.o)
			wantError(t, err, c.want)
			if got := tree(t, home); len(got) > 0 {
				t.Errorf("home holds %q", got)
			}
		})
	}
	t.Run("by the flag", func(t *testing.T) {
		home := t.TempDir()
		if res := install(t, home, p, k, Options{Trust: k.Public()}); !res.Pinned {
			t.Error("the key that the user named is not pinned")
		}
	})
	t.Run("unsigned by the flag", func(t *testing.T) {
		home := t.TempDir()
		res, err := Install(home, p.Bytes(), nil, Options{Unsigned: true})
		if err != nil || res.KeyID != "" {
			t.Errorf("the result is %+v, %v", res, err)
		}
		if pins, err := Pins(home); err != nil || len(pins) > 0 {
			t.Errorf("the pins are %+v, %v", pins, err)
		}
	})
}

func TestInstallRefusesAChangedKey(t *testing.T) {
	home, k, other := t.TempDir(), newKey(t), newKey(t)
	install(t, home, newPackage(t, "small-hall", "1.0.0"), k, Options{Ask: yes})
	before := tree(t, home)
	next := newPackage(t, "small-hall", "1.1.0")
	sameAuthor := newPackage(t, "large-hall", "1.0.0")
	thief, err := New(about("small-hall", "1.1.0", "Bert Example"), sources("firsts"))
	if err != nil {
		t.Fatal(err)
	}
	inName, err := New(about("large-hall", "1.1.0", "anna  EXAMPLE"), sources("firsts"))
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		p    *Package
		sig  []byte
		what string
	}{
		"same package":                {next, signed(t, next, other), "the package small-hall"},
		"same author":                 {sameAuthor, signed(t, sameAuthor, other), "the author Anna Example"},
		"same package, other author":  {thief, signed(t, thief, other), "the package small-hall"},
		"same author in other spaces": {inName, signed(t, inName, other), "the author Anna Example"},
		"signature taken away":        {next, nil, "the package small-hall"},
		"author, signature away":      {sameAuthor, nil, "the author Anna Example"},
	} {
		t.Run(name, func(t *testing.T) {
			// Neither a yes, nor naming the key, nor doing without helps.
			for _, o := range []Options{{Ask: yes}, {Trust: other.Public()}, {Unsigned: true, Ask: yes}} {
				if c.sig == nil {
					o.Trust = ""
				}
				_, err := Install(home, c.p.Bytes(), c.sig, o)
				var changed *ChangedKeyError
				if !errors.As(err, &changed) || changed.Pinned != k.Public() || changed.What != c.what {
					t.Fatalf("the error is %v", err)
				}
				wantError(t, err, "THE KEY HAS CHANGED")
				wantError(t, err, "swellbox profile trust remove "+k.Public().ID())
			}
			if got := tree(t, home); !slices.Equal(got, before) {
				t.Errorf("home holds %q, was %q", got, before)
			}
		})
	}
	byBert, err := New(about("his-hall", "1.0.0", "Bert Example"), sources("firsts"))
	if err != nil {
		t.Fatal(err)
	}
	_, err = Install(home, byBert.Bytes(), signed(t, byBert, k), Options{Ask: yes})
	wantError(t, err, "is trusted for Anna Example, not for Bert Example")

	if _, err := RemovePin(home, "anna example"); err != nil {
		t.Fatal(err)
	}
	install(t, home, next, other, Options{Ask: yes})
	wantFolders(t, home, "small-hall/1.1.0")
}

func TestInstallRefusesHostilePackages(t *testing.T) {
	k := newKey(t)
	home := t.TempDir()
	if err := AddPin(home, k.Public(), "Anna Example"); err != nil {
		t.Fatal(err)
	}
	before := tree(t, home)
	for name, c := range hostile(t) {
		t.Run(name, func(t *testing.T) {
			_, err := Install(home, c.pkg, signBytes(c.pkg, "small-hall", "1.0.0", k), Options{})
			wantError(t, err, c.want)
			_, err = Install(home, c.pkg, nil, Options{Unsigned: true})
			wantError(t, err, c.want)
			if got := tree(t, home); !slices.Equal(got, before) {
				t.Errorf("home holds %q", got)
			}
		})
	}
}

func TestInstallRefusesWrongSignatures(t *testing.T) {
	home, k, other := t.TempDir(), newKey(t), newKey(t)
	if err := AddPin(home, k.Public(), ""); err != nil {
		t.Fatal(err)
	}
	before := tree(t, home)
	p, older := newPackage(t, "small-hall", "1.1.0"), newPackage(t, "small-hall", "1.0.0")
	posing := strings.Replace(string(signed(t, p, k)), "small-hall 1.1.0", "small-hall 9.9.9", 1)
	for name, c := range map[string]struct {
		sig  []byte
		want string
	}{
		"of another version":          {signed(t, older, k), "the signature is wrong"},
		"over these, for another":     {signBytes(p.Bytes(), "large-hall", "1.1.0", k), "is for the package large-hall 1.1.0, but this is small-hall 1.1.0"},
		"over these, other version":   {signBytes(p.Bytes(), "small-hall", "1.2.0", k), "is for the package small-hall 1.2.0, but this is small-hall 1.1.0"},
		"trusted comment changed":     {[]byte(posing), "the signature is wrong"},
		"by another key":              {signed(t, p, other), "is not trusted"},
		"damaged":                     {[]byte("untrusted comment: x\nAAAA\ntrusted comment: y\nAAAA\n"), "the signature is damaged"},
		"empty":                       {[]byte{}, "the signature is damaged"},
		"by a key of the pinned name": {signBytes(p.Bytes()[1:], "small-hall", "1.1.0", k), "the signature is wrong"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Install(home, p.Bytes(), c.sig, Options{Unsigned: true})
			wantError(t, err, c.want)
			if got := tree(t, home); !slices.Equal(got, before) {
				t.Errorf("home holds %q", got)
			}
		})
	}
}

func TestVersionsSideBySide(t *testing.T) {
	home, k := t.TempDir(), newKey(t)
	o := Options{Ask: yes}
	install(t, home, newPackage(t, "small-hall", "1.9.0"), k, o)
	install(t, home, newPackage(t, "small-hall", "1.10.0"), k, o)
	wantFolders(t, home, "small-hall/1.10.0")

	older := newPackage(t, "small-hall", "1.8.0")
	_, err := Install(home, older.Bytes(), signed(t, older, k), o)
	wantError(t, err, "small-hall 1.8.0 is older than 1.10.0, which is installed; if you want it, add --allow-older")
	install(t, home, older, k, Options{AllowOlder: true})
	wantFolders(t, home, "small-hall/1.10.0")

	if err := Choose(home, "small-hall", "1.8.0"); err != nil {
		t.Fatal(err)
	}
	wantFolders(t, home, "small-hall/1.8.0")
	install(t, home, newPackage(t, "small-hall", "2.0.0"), k, o)
	wantFolders(t, home, "small-hall/1.8.0")
	wantError(t, Choose(home, "small-hall", "3.0.0"), "small-hall 3.0.0 is not installed, these versions are: 1.8.0, 1.9.0, 1.10.0, 2.0.0")
	wantError(t, Choose(home, "../x", ""), "cannot be named")
	wantError(t, Choose(home, "large-hall", ""), "no package large-hall is installed")
	for range 2 { // the second time there is nothing to undo
		if err := Choose(home, "small-hall", ""); err != nil {
			t.Fatal(err)
		}
	}
	wantFolders(t, home, "small-hall/2.0.0")

	again, err := New(about("small-hall", "2.0.0", "Anna Example"), sources("firsts"))
	if err != nil {
		t.Fatal(err)
	}
	_, err = Install(home, again.Bytes(), signed(t, again, k), o)
	wantError(t, err, "another package small-hall 2.0.0 is installed already")
}

func TestChosenVersionThatIsGone(t *testing.T) {
	home, k := t.TempDir(), newKey(t)
	install(t, home, newPackage(t, "small-hall", "1.0.0"), k, Options{Ask: yes})
	write(t, filepath.Join(home, "installed", "small-hall"), chosenFile, []byte("0.9.0\n"))
	folders, err := InstalledFolders(home)
	wantError(t, err, `the chosen version "0.9.0" of small-hall is not installed, the newest plays`)
	if len(folders) != 1 || filepath.Base(folders[0]) != "1.0.0" {
		t.Errorf("the folders are %q", folders)
	}
}

func TestListSaysWhatWasChanged(t *testing.T) {
	home, k := t.TempDir(), newKey(t)
	install(t, home, newPackage(t, "small-hall", "1.0.0"), k, Options{Ask: yes})
	res, err := Install(home, newPackageOf(t, "large-hall", "Bert Example").Bytes(), nil, Options{Unsigned: true})
	if err != nil {
		t.Fatal(err)
	}
	write(t, res.Folder, "firsts.yaml", []byte("swellbox: 1\nname: firsts\n"))
	all, err := List(home)
	if err != nil || len(all) != 2 {
		t.Fatalf("the list is %+v, %v", all, err)
	}
	if a := all[0]; a.Name != "large-hall" || a.KeyID != "" || !slices.Equal(a.Changed, []string{"firsts.yaml"}) || !a.Current {
		t.Errorf("the unsigned one is %+v", a)
	}
	if a := all[1]; a.Name != "small-hall" || a.KeyID != k.Public().ID() || len(a.Changed) > 0 || a.Problem != "" {
		t.Errorf("the signed one is %+v", a)
	}
	write(t, res.Folder, keptFile, nil)
	if all, err := List(home); err != nil || all[0].Problem == "" {
		t.Errorf("a damaged package is listed as %+v, %v", all, err)
	}
}

// What was installed unsigned and comes again with a signature is signed from then on.
func TestSignatureComesLater(t *testing.T) {
	home, k, p := t.TempDir(), newKey(t), newPackage(t, "small-hall", "1.0.0")
	if _, err := Install(home, p.Bytes(), nil, Options{Unsigned: true}); err != nil {
		t.Fatal(err)
	}
	if offers, err := Offers(home); err != nil || len(offers) > 0 {
		t.Errorf("offered unsigned are %+v, %v", offers, err)
	}
	if res := install(t, home, p, k, Options{Ask: yes}); !res.Already || !res.Pinned {
		t.Errorf("the result is %+v", res)
	}
	offers, err := Offers(home)
	if err != nil || len(offers) != 1 || offers[0].KeyID != k.Public().ID() || offers[0].Check() != nil {
		t.Errorf("offered are %+v, %v", offers, err)
	}
}

func newPackageOf(t *testing.T, name, author string) *Package {
	t.Helper()
	p, err := New(about(name, "1.0.0", author), sources("firsts"))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// No link in home leads an installation out of it.
func TestInstallDoesNotFollowLinksOut(t *testing.T) {
	home, outside, k := t.TempDir(), t.TempDir(), newKey(t)
	if err := os.Symlink(outside, filepath.Join(home, "installed")); err != nil {
		t.Skip("this system makes no links:", err)
	}
	p := newPackage(t, "small-hall", "1.0.0")
	if _, err := Install(home, p.Bytes(), signed(t, p, k), Options{Ask: yes}); err == nil {
		t.Error("it was installed")
	}
	if got := tree(t, outside); len(got) > 0 {
		t.Errorf("outside of home there is %q", got)
	}
}

func TestPins(t *testing.T) {
	home, k, other := t.TempDir(), newKey(t).Public(), newKey(t).Public()
	if err := AddPin(home, k, "Anna Example"); err != nil {
		t.Fatal(err)
	}
	for _, author := range []string{"", "Anna Example"} { // once more is no error
		if err := AddPin(home, k, author); err != nil {
			t.Error(err)
		}
	}
	wantError(t, AddPin(home, other, "anna example"), "THE KEY HAS CHANGED")
	wantError(t, AddPin(home, k, "Bert Example"), "is trusted for Anna Example, not for Bert Example")
	wantError(t, AddPin(home, other, "two\nlines"), "the author is")
	wantError(t, AddPin(home, "RWxx", ""), "is not a public key")
	info, err := os.Stat(filepath.Join(home, "trust", k.ID()+".json"))
	if err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("the pin is %v, %v", info, err)
	}
	_, err = RemovePin(home, other.ID())
	wantError(t, err, "no key that you trust is")
	if p, err := RemovePin(home, strings.ToLower(k.ID())); err != nil || p.Key != k {
		t.Errorf("removed was %+v, %v", p, err)
	}
	if pins, err := Pins(home); err != nil || len(pins) > 0 {
		t.Errorf("the pins are %+v, %v", pins, err)
	}
}

// A pin that cannot be read must not make its key look like a new one.
func TestDamagedPinStopsEverything(t *testing.T) {
	for name, text := range map[string]string{
		"empty": "", "other key": `{"key":"` + string(newKey(t).Public()) + `","author":"x","packages":[]}`, "unknown word": `{"kez":""}`, "large": strings.Repeat(" ", pinLimit+1),
	} {
		t.Run(name, func(t *testing.T) {
			home, k := t.TempDir(), newKey(t)
			p := newPackage(t, "small-hall", "1.0.0")
			install(t, home, p, k, Options{Ask: yes})
			write(t, filepath.Join(home, "trust"), k.Public().ID()+".json", []byte(text))
			next := newPackage(t, "small-hall", "1.1.0")
			_, err := Install(home, next.Bytes(), signed(t, next, newKey(t)), Options{Ask: yes})
			wantError(t, err, "is damaged")
			wantFolders(t, home, "small-hall/1.0.0")
		})
	}
}
