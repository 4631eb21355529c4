package share

import (
	"context"
	"errors"
	"io"
	"net"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"swellbox/profiles/pack"
)

// Two colleagues, each with a server, take packages from each other.
func TestServeAndPull(t *testing.T) {
	anna, bert := newHouse(t), newHouse(t)
	winds, strings := newPackage(t, "winds", "1.0.0", "Anna Example", 1000), newPackage(t, "strings", "2.1.0", "Bert Example", 1000)
	anna.install(t, newPackage(t, "winds", "0.9.0", "Anna Example", 1000))
	anna.install(t, winds)
	bert.install(t, strings)
	ofAnna, ofBert := anna.serve(t, "127.0.0.2"), bert.serve(t, "127.0.0.3")

	offers, err := List(t.Context(), ofAnna)
	if err != nil || len(offers) != 2 || offers[1].Version != "1.0.0" || offers[1].KeyID != anna.key.Public().ID() {
		t.Fatalf("the list is %+v, %v", offers, err)
	}
	var steps []int64
	res, err := Pull(t.Context(), Request{
		Home: bert.home, Host: ofAnna, Name: "winds", Options: pack.Options{Ask: yes},
		Progress: func(done, total int64) {
			if total != int64(len(winds.Bytes())) {
				t.Errorf("%d bytes are announced, not %d", total, len(winds.Bytes()))
			}
			steps = append(steps, done)
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	wantInstalled(t, bert.home, winds)
	if n := int64(len(winds.Bytes())); res.Transferred != n || !res.Pinned || len(steps) == 0 || steps[len(steps)-1] != n || !slices.IsSorted(steps) {
		t.Errorf("transferred %d of %d bytes, steps %v, %+v", res.Transferred, n, steps, res.Result)
	}
	if _, err := Pull(t.Context(), Request{Home: anna.home, Host: ofBert, Name: "strings", Version: "2.1.0", Options: pack.Options{Trust: bert.key.Public()}}); err != nil {
		t.Fatal(err)
	}
	wantInstalled(t, anna.home, strings)
	if res, err = Pull(t.Context(), Request{Home: anna.home, Host: ofBert, Name: "strings"}); err != nil || !res.Already || res.Transferred != 0 {
		t.Errorf("once more it is %+v, %v", res, err)
	}
	if entries, err := os.ReadDir(filepath.Join(anna.home, partialDir)); err != nil || len(entries) > 0 {
		t.Errorf("kept are %v, %v", entries, err)
	}
	_, err = Pull(t.Context(), Request{Home: bert.home, Host: ofAnna, Name: "winds", Version: "0.9.0"})
	wantError(t, err, "winds 0.9.0 is older than 1.0.0, which is installed")
}

func TestPullRefusesAChangedKey(t *testing.T) {
	anna, thief, user := newHouse(t), newHouse(t), newHouse(t)
	first := newPackage(t, "winds", "1.0.0", "Anna Example", 100)
	anna.install(t, first)
	thief.install(t, newPackage(t, "winds", "1.1.0", "Anna Example", 100))
	if _, err := Pull(t.Context(), Request{Home: user.home, Host: anna.serve(t, "127.0.0.2"), Name: "winds", Options: pack.Options{Ask: yes}}); err != nil {
		t.Fatal(err)
	}
	host := thief.serve(t, "127.0.0.3")
	for _, o := range []pack.Options{{Ask: yes}, {}, {Trust: thief.key.Public()}, {Unsigned: true}} {
		_, err := Pull(t.Context(), Request{Home: user.home, Host: host, Name: "winds", Options: o})
		var changed *pack.ChangedKeyError
		if !errors.As(err, &changed) || changed.Pinned != anna.key.Public() {
			t.Errorf("the error is %v", err)
		}
	}
	wantInstalled(t, user.home, first)
	if folders, err := pack.InstalledFolders(user.home); err != nil || len(folders) != 1 {
		t.Errorf("installed are %q, %v", folders, err)
	}
}

func TestPullTrustsNobodyByItself(t *testing.T) {
	anna, user := newHouse(t), newHouse(t)
	anna.install(t, newPackage(t, "winds", "1.0.0", "Anna Example", 100))
	host := anna.serve(t, "127.0.0.1")
	_, err := Pull(t.Context(), Request{Home: user.home, Host: host, Name: "winds"})
	wantError(t, err, "is not trusted, nothing was installed; compare it with the author's and add --trust "+string(anna.key.Public()))
	_, err = Pull(t.Context(), Request{Home: user.home, Host: host, Name: "winds", Options: pack.Options{Ask: func(pack.Question) (bool, error) { return false, nil }}})
	wantError(t, err, "is not trusted, nothing was installed")
	wantNothing(t, user.home)
}

func TestPullOfWhatIsNotThere(t *testing.T) {
	anna, empty, user := newHouse(t), newHouse(t), newHouse(t)
	anna.install(t, newPackage(t, "winds", "1.0.0", "Anna Example", 100))
	host := anna.serve(t, "127.0.0.1")
	for _, c := range []struct {
		host, name string
		version    pack.Version
		want       string
	}{
		{host, "brass", "", `it has no package "brass"; it has winds`},
		{host, "winds", "2.0.0", "it has the package winds, but not its version 2.0.0"},
		{empty.serve(t, "127.0.0.1"), "winds", "", "it has no packages to give away"},
		{"http://127.0.0.1", "winds", "", "this is no HOST or HOST:PORT"},
	} {
		_, err := Pull(t.Context(), Request{Home: user.home, Host: c.host, Name: c.name, Version: c.version, Options: pack.Options{Ask: yes}})
		wantError(t, err, c.want)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l.Close()
	_, err = Pull(t.Context(), Request{Home: user.home, Host: l.Addr().String(), Name: "winds"})
	wantError(t, err, "connection refused")
	wantNothing(t, user.home)
}

// cutter passes a connection on, and closes it after so many bytes of answer.
type cutter struct {
	net.Listener
	to      string
	after   atomic.Int64 // bytes that one connection may carry
	passed  atomic.Int64 // bytes that went to clients
	passing sync.WaitGroup
}

func newCutter(t *testing.T, to string) *cutter {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	c := &cutter{Listener: l, to: to}
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			in, err := l.Accept()
			if err != nil {
				return
			}
			c.passing.Go(func() { c.pass(in) })
		}
	}()
	return c
}

func (c *cutter) pass(in net.Conn) {
	defer in.Close()
	out, err := net.Dial("tcp", c.to)
	if err != nil {
		return
	}
	defer out.Close()
	go io.Copy(out, in)
	n, _ := io.CopyN(in, out, c.after.Load())
	c.passed.Add(n)
}

// A transfer that is cut goes on where it was, with the rest alone.
func TestCutAndResumed(t *testing.T) {
	const headers = 1000 // more than one answer's header, the list or the signature has, in bytes
	anna, user := newHouse(t), newHouse(t)
	p := newPackage(t, "winds", "1.0.0", "Anna Example", 900_000)
	anna.install(t, p)
	c := newCutter(t, anna.serve(t, "127.0.0.1"))
	r := Request{Home: user.home, Host: c.Addr().String(), Name: "winds", Options: pack.Options{Ask: yes}}
	total := int64(len(p.Bytes()))
	kept := func() int64 {
		info, err := os.Stat(filepath.Join(user.home, partialDir, p.SHA256()))
		if err != nil {
			t.Fatal(err)
		}
		return info.Size()
	}

	c.after.Store(300_000)
	_, err := Pull(t.Context(), r)
	wantError(t, err, "the transfer broke off after")
	wantError(t, err, "the same command goes on from there")
	first := kept()
	if first < 300_000-headers || first > 300_000 {
		t.Fatalf("of 300000 bytes %d were kept", first)
	}
	_, err = Pull(t.Context(), r)
	wantError(t, err, "the transfer broke off after")
	second := kept()
	if second-first < 300_000-headers || second-first > 300_000 {
		t.Fatalf("the second time %d bytes came", second-first)
	}
	if folders, err := pack.InstalledFolders(user.home); err != nil || len(folders) > 0 {
		t.Fatalf("installed are %q, %v", folders, err)
	}

	c.after.Store(1 << 40)
	c.passing.Wait()
	before := c.passed.Load()
	res, err := Pull(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	if res.Transferred != total-second {
		t.Errorf("at last %d bytes came, want the %d that were missing", res.Transferred, total-second)
	}
	c.passing.Wait()
	if wire := c.passed.Load() - before; wire < total-second || wire > total-second+4*headers {
		t.Errorf("at last %d bytes went over the network for %d missing ones", wire, total-second)
	}
	wantInstalled(t, user.home, p)
}

// What is left of a transfer is the same from every server, and if it is not what
// it should be, it is thrown away and the next try is whole.
func TestSpoiledPartial(t *testing.T) {
	anna, user := newHouse(t), newHouse(t)
	p := newPackage(t, "winds", "1.0.0", "Anna Example", 10_000)
	anna.install(t, p)
	host := anna.serve(t, "127.0.0.1")
	dir := filepath.Join(user.home, partialDir)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	r := Request{Home: user.home, Host: host, Name: "winds", Options: pack.Options{Ask: yes}}
	for _, size := range []int{1, 5000, len(p.Bytes()), len(p.Bytes()) + 1} {
		if err := os.WriteFile(filepath.Join(dir, p.SHA256()), make([]byte, size), 0o600); err != nil {
			t.Fatal(err)
		}
		if size <= len(p.Bytes()) {
			_, err := Pull(t.Context(), r)
			wantError(t, err, "is not what was announced, nothing was installed")
		}
	}
	res, err := Pull(t.Context(), r)
	if err != nil || res.Transferred != int64(len(p.Bytes())) {
		t.Fatalf("at last it is %+v, %v", res, err)
	}
	wantInstalled(t, user.home, p)
}

func TestPullEndsWithItsContext(t *testing.T) {
	anna, user := newHouse(t), newHouse(t)
	anna.install(t, newPackage(t, "winds", "1.0.0", "Anna Example", 900_000))
	ctx, cancel := context.WithCancel(t.Context())
	_, err := Pull(ctx, Request{
		Home: user.home, Host: anna.serve(t, "127.0.0.1"), Name: "winds", Options: pack.Options{Ask: yes},
		Progress: func(int64, int64) { cancel() },
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("the error is %v", err)
	}
	wantError(t, err, "the same command goes on from there")
}
