package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"aead.dev/minisign"

	"swellbox/cmd/swellbox/profile"
	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles/pack"
	"swellbox/proxy/ports"
)

// ownKey gives the user a secret key without a password, so that no test waits for
// one to be tried.
func (d *desktop) ownKey() pack.Key {
	d.t.Helper()
	_, secret, err := minisign.GenerateKey(nil)
	if err != nil {
		d.t.Fatal(err)
	}
	text, err := secret.MarshalText()
	if err != nil {
		d.t.Fatal(err)
	}
	k := pack.Key(secret.Public().(minisign.PublicKey).String())
	d.file("user/swellbox/swellbox.key", string(text))
	d.file("user/swellbox/swellbox.pub", string(k.Text()))
	if err := pack.AddPin(filepath.Join(d.dir, "user", "swellbox"), k, ""); err != nil {
		d.t.Fatal(err)
	}
	return k
}

// packHall packs a folder of two profiles and returns the file's name.
func (d *desktop) packHall(version string, flags ...string) string {
	d.t.Helper()
	d.file("hall/firsts.yaml", "swellbox: 1\nname: firsts\nextends: violins\n")
	d.file("hall/seconds.yaml", "swellbox: 1\nname: seconds\nextends: firsts\nplayers: 10\n")
	d.file("hall/piece.yaml", "swellbox: 1\nseats: [{channel: 1, profile: firsts}]\n")
	d.must(append([]string{"profile", "pack", "hall", "--version", version, "--licence", "CC0-1.0", "--author", "Anna Example"}, flags...)...)
	return "hall-" + version + ".swellbox.tar"
}

// asked is a terminal at which somebody types.
type asked struct {
	io.Reader
	passwords []string
}

func (a *asked) ReadPassword() (string, error) {
	p := a.passwords[0]
	a.passwords = a.passwords[1:]
	return p, nil
}

// runAt runs a command line at a terminal.
func (d *desktop) runAt(terminal *asked, args ...string) (out, errs string, err error) {
	var o, e bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: &o, Err: &e}, System: func() ports.System { return d.system }}
	root := rootCommand(p)
	root.SetArgs(args)
	root.SetIn(terminal)
	err = root.ExecuteContext(context.Background())
	return o.String(), e.String(), err
}

func TestPackInstallAndList(t *testing.T) {
	d := atDesktop(t)
	key := d.ownKey()
	file := d.packHall("1.0.0")
	d.must("profile", "pack", "hall", "--version", "1.0.0", "--licence", "CC0-1.0", "--author", "Anna Example") // again: the same bytes
	out := d.must("profile", "install", file)
	for _, want := range []string{"installed: hall 1.0.0 by Anna Example (CC0-1.0): firsts, seconds", "signed with the key " + key.ID() + ", which you trust"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q does not say %q", out, want)
		}
	}
	if out := d.must("profile", "install", file); !strings.HasPrefix(out, "installed already: hall 1.0.0") {
		t.Errorf("the second time it says %q", out)
	}
	t.Setenv("COLUMNS", "400") // a line each
	if out := d.must("profile", "list"); !strings.Contains(out, "firsts") || !strings.Contains(out, "hall 1.0.0") {
		t.Errorf("the list has not what was installed:\n%s", out)
	}

	newer := d.packHall("1.1.0", "-o", "newer.tar")
	if newer == "" || !strings.Contains(d.must("profile", "install", "newer.tar"), "hall 1.1.0") {
		t.Error("the newer version was not installed")
	}
	if out := d.must("profile", "install", "hall@1.0.0"); out != "hall: 1.0.0 plays\n" {
		t.Errorf("choosing says %q", out)
	}
	var all []pack.Installed
	if err := json.Unmarshal([]byte(d.must("profile", "install", "--json")), &all); err != nil {
		t.Fatal(err)
	}
	if len(all) != 2 || !all[0].Chosen || all[1].Current || all[0].KeyID != key.ID() {
		t.Errorf("installed are %+v", all)
	}
	d.must("profile", "install", "hall@newest")
	if out := d.must("profile", "install"); !strings.Contains(out, "1.1.0    newest  Anna Example  "+key.ID()) {
		t.Errorf("installed are\n%s", out)
	}
}

func TestPackOfOwnProfilesByName(t *testing.T) {
	d := atDesktop(t)
	d.file("user/swellbox/profiles/some file.yaml", "swellbox: 1\nname: firsts\nextends: violins\n")
	d.file("user/swellbox/profiles/map.yaml", "swellbox: 1\ncontroller_map: sampler\neveryone: {sampler: {fixed_velocity: 80}}\n")
	out := d.must("profile", "pack", "firsts", "sampler", "--name", "mine", "--version", "0.1.0", "--licence", "none", "--author", "Anna Example", "--json")
	var done profile.Packed
	if err := json.Unmarshal([]byte(out), &done); err != nil {
		t.Fatal(err)
	}
	if done.Documents != 2 || done.Signature != "" || done.File != "mine-0.1.0.swellbox.tar" {
		t.Errorf("packed is %+v", done)
	}
	status, _, errs := d.run("profile", "install", done.File)
	if status != 1 || !strings.Contains(errs, "is not signed, so nobody can say who made it") {
		t.Errorf("without a signature: status %d, %s", status, errs)
	}
	if out := d.must("profile", "install", done.File, "--unsigned"); !strings.Contains(out, "NOT SIGNED: nobody can tell who made it") {
		t.Errorf("installing says %q", out)
	}
}

func TestShareRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		args   string
		status int
		want   string
	}{
		"pack of nothing":          {"profile pack", 2, "expected a folder, a file or the name of a profile"},
		"pack without a version":   {"profile pack hall --licence x --author A", 2, "--version"},
		"pack without a licence":   {"profile pack hall --version 1.0.0 --author A", 2, "--licence"},
		"pack without an author":   {"profile pack hall --version 1.0.0 --licence x", 2, "--author"},
		"pack without a name":      {"profile pack hall hall/firsts.yaml --version 1.0.0 --licence x --author A", 2, "--name"},
		"pack of a version's like": {"profile pack hall --version 1 --licence x --author A", 1, `the version "1"`},
		"pack of what is built in": {"profile pack violins --version 1.0.0 --licence x --author A", 1, "violins is neither"},
		"pack over another":        {"profile pack hall --version 1.0.0 --licence x --author A -o there.tar", 1, "there.tar is there already"},
		"pack signed and not":      {"profile pack hall --version 1.0.0 --licence x --author A --sign x --unsigned", 2, "exclude each other"},
		"pack with no such key":    {"profile pack hall --version 1.0.0 --licence x --author A --sign no.key", 1, "no.key"},
		"pack with a locked key":   {"profile pack hall --version 1.0.0 --licence x --author A --sign locked.key", 1, "--password-file FILE"},
		"install of no file":       {"profile install none.tar", 1, "none.tar"},
		"install of two":           {"profile install a b", 2, "found 2 arguments"},
		"install of no package":    {"profile install there.tar --unsigned", 1, "there.tar: the package"},
		"choice of no package":     {"profile install brass@1.0.0", 1, "no package brass is installed"},
		"choice of no version":     {"profile install brass@new", 1, `the version "new"`},
		"trust in no key":          {"profile trust pin RWQ", 1, "neither a public key nor the file of one"},
		"trust in something else":  {"profile trust pin there.tar", 1, "there.tar"},
		"removal of no key":        {"profile trust remove Anna", 1, `no key that you trust is "Anna"`},
		"trust in words":           {"profile trust me", 2, "no command me"},
		"new key without asking":   {"profile trust new-key", 1, "--password-file FILE"},
		"new key over another":     {"profile trust new-key --home taken --password-file there.tar", 1, "is there already; move it away"},
		"serve on no address":      {"profile serve", 2, "--listen ADDRESS"},
		"serve on any address":     {"profile serve --listen :7717", 1, "name one address of this computer"},
		"pull from nowhere":        {"profile pull", 2, "a host"},
		"pull from no host":        {"profile pull 127.0.0.1:1 winds", 1, "127.0.0.1:1"},
		"pull of no name":          {"profile pull 127.0.0.1:1 ../winds", 1, "cannot be named"},
		"pull of no version":       {"profile pull 127.0.0.1:1 winds@new", 1, `the version "new"`},
	} {
		t.Run(name, func(t *testing.T) {
			d := atDesktop(t)
			d.file("hall/firsts.yaml", "swellbox: 1\nname: firsts\nextends: violins\n")
			d.file("there.tar", "something else")
			d.file("taken/swellbox.key", "mine")
			d.file("locked.key", "untrusted comment: x\nRWRTY0Iy"+strings.Repeat("A", 204)+"\n")
			status, out, errs := d.run(strings.Fields(c.args)...)
			if status != c.status || out != "" {
				t.Errorf("status %d, want %d, printed %q", status, c.status, out)
			}
			if !strings.HasPrefix(errs, "swellbox: ") || strings.Count(errs, "\n") != 1 || !strings.Contains(errs, c.want) {
				t.Errorf("want one line with %q, got %q", c.want, errs)
			}
		})
	}
}

// A person at a terminal is asked once; a yes is kept, anything else is a no.
func TestTrustIsAsked(t *testing.T) {
	author := atDesktop(t)
	key := author.ownKey()
	author.packHall("1.0.0")
	home := filepath.Join(author.dir, "other")
	file := "hall-1.0.0.swellbox.tar"
	for _, answer := range []string{"", "\n", "no\n", "yess\n"} {
		_, errs, err := author.runAt(&asked{Reader: strings.NewReader(answer)}, "profile", "install", file, "--home", home)
		if err == nil || !strings.Contains(err.Error(), "is not trusted, nothing was installed") {
			t.Errorf("after %q: %v", answer, err)
		}
		if !strings.Contains(errs, string(key)) || !strings.Contains(errs, "Anna Example") {
			t.Errorf("the question is %q", errs)
		}
	}
	out, _, err := author.runAt(&asked{Reader: strings.NewReader("Yes\n")}, "profile", "install", file, "--home", home)
	if err != nil || !strings.Contains(out, "which you trust from now on") {
		t.Errorf("after yes: %q, %v", out, err)
	}
	if out := author.must("profile", "trust", "--home", home); !strings.Contains(out, key.ID()+"  Anna Example  hall") {
		t.Errorf("trusted are\n%s", out)
	}
	author.must("profile", "trust", "remove", "Anna Example", "--home", home)
	if out := author.must("profile", "trust", "list", "--home", home, "--json"); strings.TrimSpace(out) != "[]" {
		t.Errorf("trusted are still %s", out)
	}
	author.must("profile", "trust", "pin", filepath.Join("user", "swellbox", "swellbox.pub"), "--of", "Anna Example", "--home", home)
	if status, _, errs := author.run("profile", "trust", "pin", string(key), "--of", "Bert Example", "--home", home); status != 1 || !strings.Contains(errs, "not for Bert Example") {
		t.Errorf("another author of the key: status %d, %s", status, errs)
	}
}

func TestPasswords(t *testing.T) {
	d := atDesktop(t)
	_, errs, err := d.runAt(&asked{passwords: []string{"one", "two"}}, "profile", "trust", "new-key")
	if err == nil || !strings.Contains(err.Error(), "the passwords differ; no key was made") || strings.Contains(errs, "one\n") {
		t.Errorf("two passwords: %q, %v", errs, err)
	}
	_, _, err = d.runAt(&asked{passwords: []string{"", ""}}, "profile", "trust", "new-key")
	if err == nil || !strings.Contains(err.Error(), "the password is empty") {
		t.Errorf("no password: %v", err)
	}
	if exists(t, filepath.Join(d.dir, "user", "swellbox", "swellbox.key")) {
		t.Error("there is a key all the same")
	}
}

// serve runs the command, returns the line that says where it listens, and ends it
// with the test, as Ctrl-C does.
func (d *desktop) serve(args ...string) string {
	d.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	r, w := io.Pipe()
	var errs bytes.Buffer
	p := &program.Program{Output: tell.Output{Out: w, Err: &errs}, System: func() ports.System { return d.system }}
	done := make(chan int, 1)
	go func() {
		done <- run(ctx, p, append([]string{"profile", "serve"}, args...))
		w.Close()
	}()
	line := ""
	s := bufio.NewScanner(r)
	for s.Scan() && !strings.HasPrefix(line, "take them with") {
		line = s.Text()
		if strings.HasPrefix(line, "take them with") {
			break
		}
	}
	d.t.Cleanup(func() {
		cancel()
		if status := <-done; status != 0 {
			d.t.Errorf("ended with the status %d: %s", status, errs.String())
		}
	})
	return line
}

func TestServeAndPull(t *testing.T) {
	d := atDesktop(t)
	key := d.ownKey()
	d.must("profile", "install", d.packHall("1.0.0"))
	line := d.serve("--listen", "127.0.0.1:0")
	host := strings.TrimSuffix(strings.TrimPrefix(line, "take them with: swellbox profile pull "), " NAME; Ctrl-C ends")
	if !strings.HasPrefix(host, "127.0.0.1:") {
		t.Fatalf("it says %q", line)
	}
	if out := d.must("profile", "pull", host, "--home", "other"); !strings.Contains(out, "hall  1.0.0  Anna Example  CC0-1.0  key "+key.ID()) {
		t.Errorf("it gives away\n%s", out)
	}
	if status, _, errs := d.run("profile", "pull", host, "hall", "--home", "other"); status != 1 || !strings.Contains(errs, "add --trust "+string(key)) {
		t.Errorf("without trust: status %d, %s", status, errs)
	}
	out := d.must("profile", "pull", host, "hall@1.0.0", "--home", "other", "--trust", string(key), "--json")
	var got struct {
		Name        string
		Pinned      bool
		Transferred int
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || got.Name != "hall" || !got.Pinned || got.Transferred == 0 {
		t.Errorf("pulled is %s, %v", out, err)
	}
	t.Setenv("COLUMNS", "400") // a line each
	if out := d.must("profile", "list", "--home", "other"); !strings.Contains(out, "hall 1.0.0") {
		t.Errorf("the list has not what was pulled:\n%s", out)
	}
}

func TestTransferTellsHowFarItIs(t *testing.T) {
	var out bytes.Buffer
	now := time.Unix(0, 0)
	tell := profile.Transfer(&out, func() time.Time { return now })
	for i := range 5 {
		tell(int64(i)<<20, 4<<20)
		now = now.Add(600 * time.Millisecond)
	}
	if got := out.String(); got != "2048 of 4096 KiB, 50 %\n4096 of 4096 KiB, 100 %\n" {
		t.Errorf("it tells %q", got)
	}
}
