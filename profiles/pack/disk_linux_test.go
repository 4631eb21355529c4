package pack

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// disk mounts a disk of that many KiB in memory.
func disk(t *testing.T, kib int) string {
	t.Helper()
	dir := t.TempDir()
	err := syscall.Mount("swellbox-test", dir, "tmpfs", 0, fmt.Sprintf("size=%dk", kib))
	if errors.Is(err, os.ErrPermission) {
		t.Skip("mounting a disk takes root")
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, 0); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// large is a package of two hundred documents.
func large(t testing.TB, version string) *Package {
	t.Helper()
	names := make([]string, 200)
	for i := range names {
		names[i] = fmt.Sprintf("desk-%d", i)
	}
	p, err := New(about("all-desks", version, "Anna Example"), sources(names...))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// installedWhole checks that a package is installed with all its documents.
func installedWhole(t *testing.T, home string, p *Package) {
	t.Helper()
	all, err := List(home)
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range all {
		if i.Name == p.Name && i.Version == p.Version {
			if i.Problem != "" || len(i.Changed) > 0 {
				t.Errorf("half of it is installed: %+v", i)
			}
			return
		}
	}
	t.Errorf("%s %s is not installed", p.Name, p.Version)
}

func TestFullDisk(t *testing.T) {
	home, k := disk(t, 512), newKey(t)
	small := newPackage(t, "small-hall", "1.0.0")
	install(t, home, small, k, Options{Ask: yes})
	p := large(t, "1.0.0")
	_, err := Install(home, p.Bytes(), signed(t, p, k), Options{})
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatalf("the error is %v, want one of a full disk", err)
	}
	wantError(t, err, "cannot install all-desks 1.0.0, nothing was installed")
	wantFolders(t, home, "small-hall/1.0.0")
	installedWhole(t, home, small)
	for _, f := range tree(t, home) {
		if strings.Contains(f, temporary) {
			t.Errorf("%s was left behind", f)
		}
	}
}

func TestReadOnlyDisk(t *testing.T) {
	home, k := disk(t, 512), newKey(t)
	p := newPackage(t, "small-hall", "1.0.0")
	install(t, home, p, k, Options{Ask: yes})
	before := tree(t, home)
	if err := syscall.Mount("", home, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	for _, next := range []*Package{newPackage(t, "small-hall", "1.1.0"), newPackage(t, "large-hall", "1.0.0")} {
		if _, err := Install(home, next.Bytes(), signed(t, next, k), Options{}); !errors.Is(err, syscall.EROFS) {
			t.Errorf("the error is %v, want one of a disk that is read only", err)
		}
	}
	if res := install(t, home, p, k, Options{}); !res.Already {
		t.Error("what is installed is not known any more")
	}
	if got := tree(t, home); !slices.Equal(got, before) {
		t.Errorf("home holds %q, was %q", got, before)
	}
}

// TestMain lets a test run an installation in a process that it can kill.
func TestMain(m *testing.M) {
	if home := os.Getenv("SWELLBOX_TEST_INSTALL"); home != "" {
		pkg, err := os.ReadFile(filepath.Join(home, "in.tar"))
		if err == nil {
			_, err = Install(home, pkg, nil, Options{Unsigned: true})
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// An installation that is killed while it writes has installed nothing, and the
// next one is as if it had never been.
func TestKilledInstallation(t *testing.T) { killInstallations(t, 5) }

func TestSoakKilledInstallations(t *testing.T) {
	if os.Getenv("SWELLBOX_SOAK") == "" {
		t.Skip("make soak kills more of them")
	}
	killInstallations(t, 100)
}

func killInstallations(t *testing.T, times int) {
	t.Helper()
	home, p := t.TempDir(), large(t, "1.0.0")
	write(t, home, "in.tar", p.Bytes())
	killed := 0
	for range times {
		c := exec.Command(os.Args[0])
		c.Env = append(os.Environ(), "SWELLBOX_TEST_INSTALL="+home)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		done := make(chan error, 1)
		go func() { done <- c.Wait() }()
		if waitForDocuments(home, done) {
			if err := c.Process.Kill(); err != nil {
				t.Log(err) // it ended just now
			}
			<-done
		}
		if folders, err := InstalledFolders(home); err != nil {
			t.Fatal(err)
		} else if len(folders) > 0 {
			break // it was quicker than the test
		}
		killed++
	}
	if killed == 0 {
		t.Skip("no installation was slow enough to be killed")
	}
	if _, err := Install(home, p.Bytes(), nil, Options{Unsigned: true}); err != nil {
		folders, _ := InstalledFolders(home)
		t.Fatalf("after %d killed installations: %v; there are %q", killed, err, folders)
	}
	installedWhole(t, home, p)
}

// waitForDocuments waits until an installation has begun to write documents, and
// is false if it ended before.
func waitForDocuments(home string, done chan error) bool {
	seen := len(halfWritten(home))
	for {
		select {
		case err := <-done:
			done <- err
			return false
		default:
		}
		if len(halfWritten(home)) > seen {
			return true
		}
	}
}

func halfWritten(home string) []string {
	found, _ := filepath.Glob(filepath.Join(home, installedDir, temporary+"*", "*.yaml"))
	return found
}

// What a killed installation left behind goes with the first one a day later.
func TestClearStale(t *testing.T) {
	home := t.TempDir()
	old, young := filepath.Join(home, installedDir, temporary+"old"), filepath.Join(home, installedDir, temporary+"young")
	for _, dir := range []string{old, young} {
		if err := os.MkdirAll(dir, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	info, err := os.Stat(young)
	if err != nil {
		t.Fatal(err)
	}
	past := info.ModTime().Add(-2 * staleAfter)
	if err := os.Chtimes(old, past, past); err != nil {
		t.Fatal(err)
	}
	if _, err := Install(home, newPackage(t, "small-hall", "1.0.0").Bytes(), nil, Options{Unsigned: true}); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(old); !os.IsNotExist(err) {
		t.Errorf("the old one is still there: %v", err)
	}
	if _, err := os.Stat(young); err != nil {
		t.Errorf("one that may be at work was removed: %v", err)
	}
}
