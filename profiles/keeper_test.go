package profiles

import (
	"os"
	"path/filepath"
	"testing"
)

func TestKeeper(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "own")
	file := filepath.Join(dir, "fiddle.yaml")
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	const sound = "swellbox: 1\nname: fiddle\nextends: violin\nplayers: "
	var k Keeper
	players := func(wantError bool) int {
		t.Helper()
		l, err := NewLibrary()
		if err != nil {
			t.Fatal(err)
		}
		if err := k.AddFolder(l, dir, Origin{Kind: Own, Label: dir}); (err != nil) != wantError {
			t.Fatalf("error %v, wanted one: %v", err, wantError)
		}
		if _, ok := l.Lookup("fiddle"); !ok {
			return 0
		}
		p, err := l.Resolve("fiddle")
		if err != nil {
			t.Fatal(err)
		}
		return p.Players
	}
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for i, step := range []struct {
		do        func()
		want      int
		wantError bool
	}{
		{func() {}, 0, false},
		{func() { write("swellbox: 1\nname: fid: dle") }, 0, true},
		{func() { write(sound + "3\n") }, 3, false},
		{func() { write(sound + "many\n") }, 3, true},
		{func() { write("") }, 3, true},
		{func() { write(sound + "4\n") }, 4, false},
		{func() {
			if err := os.Rename(dir, dir+"-away"); err != nil {
				t.Fatal(err)
			}
		}, 4, true},
		{func() {
			if err := os.Rename(dir+"-away", dir); err != nil {
				t.Fatal(err)
			}
		}, 4, false},
		{func() {
			if err := os.Remove(file); err != nil {
				t.Fatal(err)
			}
		}, 0, false},
		{func() { write(sound + "many\n") }, 0, true},
	} {
		step.do()
		if got := players(step.wantError); got != step.want {
			t.Errorf("step %d: %d players, want %d", i+1, got, step.want)
		}
	}
}

// A document that was read once goes from library to library, while others read it.
func TestKeptDocumentsAreNotWrittenTo(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "mine.yaml"), []byte("swellbox: 1\nname: mine\nextends: violins\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	var k Keeper
	libraries := make([]*Library, 2)
	read := make(chan Origin)
	for i := range libraries {
		l, err := NewLibrary()
		if err != nil {
			t.Fatal(err)
		}
		libraries[i] = l
		if i > 0 {
			go func() {
				d, _ := libraries[0].Lookup("mine")
				read <- d.Origin
			}()
		}
		if err := k.AddFolder(l, dir, Origin{Kind: Own, Label: "here"}); err != nil {
			t.Fatal(err)
		}
	}
	if o := <-read; o.Kind != Own {
		t.Errorf("the origin is %v", o)
	}
	other, err := NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	if err := k.AddFolder(other, dir, Origin{Kind: Studio}); err != nil {
		t.Fatal(err)
	}
	a, _ := libraries[0].Lookup("mine")
	if b, _ := other.Lookup("mine"); a.Origin.Kind != Own || b.Origin.Kind != Studio {
		t.Errorf("the origins are %v and %v", a.Origin, b.Origin)
	}
}
