package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// target is a system to build for, with its MIDI ports, which take its own C++ compiler.
type target struct {
	os, arch string
	cc, cxx  string
	header   string // without it there are no ports
	ldflags  string
}

func (t target) String() string { return t.os + ", " + t.arch }

func (t target) program() string {
	if t.os == "windows" {
		return "swellbox.exe"
	}
	return "swellbox"
}

// Of macOS nothing can be built with ports away from a Mac.
var targets = []target{
	{"linux", "amd64", "x86_64-linux-gnu-gcc", "x86_64-linux-gnu-g++", "alsa/asoundlib.h", "-static-libstdc++ -static-libgcc"},
	{"linux", "arm64", "aarch64-linux-gnu-gcc", "aarch64-linux-gnu-g++", "alsa/asoundlib.h", "-static-libstdc++ -static-libgcc"},
	{"windows", "amd64", "x86_64-w64-mingw32-gcc", "x86_64-w64-mingw32-g++", "windows.h", "-static"},
}

// missing says why a target cannot be built here, nothing if it can.
func (t target) missing() string {
	for _, c := range []string{t.cc, t.cxx} {
		if _, err := exec.LookPath(c); err != nil {
			return c + " is not installed"
		}
	}
	c := exec.Command(t.cxx, "-E", "-x", "c++", "-")
	c.Stdin = strings.NewReader("#include <" + t.header + ">\n")
	if err := c.Run(); err != nil {
		return fmt.Sprintf("%s does not find <%s>", t.cxx, t.header)
	}
	return ""
}

// build builds the program, and reads it.
func (v version) build(t target, work string) ([]byte, error) {
	root, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	// What a program is asked for with --version; a build elsewhere has it from .ci/build.
	revision := "-X 'swellbox/cmd/swellbox/program.revision=" + v.revision + "'"
	path := filepath.Join(work, t.os+"-"+t.arch, t.program())
	// The C++ compiler would write the folder of the module cache and of the checkout into the program.
	cache, err := exec.Command("go", "env", "GOMODCACHE").Output()
	if err != nil {
		return nil, fmt.Errorf("go env: %w", err)
	}
	flags := fmt.Sprintf("-O2 -g0 -ffile-prefix-map=%s=. -ffile-prefix-map=%s=mod", root, strings.TrimSpace(string(cache)))
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=false",
		"-ldflags", fmt.Sprintf("-s -w -buildid= %s -linkmode external -extldflags '%s -Wl,--build-id=none'", revision, t.ldflags),
		"-o", path, "./cmd/swellbox")
	if t.os == "windows" { // its linker has no build id, but a time
		c.Args[5] = strings.Replace(c.Args[5], "-Wl,--build-id=none", "-Wl,--no-insert-timestamp", 1)
	}
	c.Env = append(os.Environ(), "CGO_ENABLED=1", "GOOS="+t.os, "GOARCH="+t.arch, "CC="+t.cc, "CXX="+t.cxx,
		"CGO_CFLAGS="+flags, "CGO_CXXFLAGS="+flags, "GOFLAGS=")
	if b, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("cannot build for %s: %w\n%s", t, err, b)
	}
	return os.ReadFile(path)
}

// common is what the archives of all systems hold: texts, licences, manual pages, completions and the score to try.
func (v version) common(work string) ([]entry, error) {
	var all []entry
	for _, name := range []string{"README.md", "LICENSE"} {
		b, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		all = append(all, entry{name, b, 0o644})
	}
	licences, err := licences()
	if err != nil {
		return nil, err
	}
	all = append(all, licences...)

	program := filepath.Join(work, "here")
	if b, err := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-o", program, "./cmd/swellbox").CombinedOutput(); err != nil {
		return nil, fmt.Errorf("cannot build for this machine: %w\n%s", err, b)
	}
	output := func(args ...string) ([]byte, error) {
		c := exec.Command(program, args...)
		c.Env = []string{"HOME=" + work, "PATH=" + os.Getenv("PATH"), "TERM=dumb"}
		var errs bytes.Buffer
		c.Stderr = &errs
		b, err := c.Output()
		if err != nil {
			return nil, fmt.Errorf("swellbox %s: %w\n%s", strings.Join(args, " "), err, errs.Bytes())
		}
		return b, nil
	}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		b, err := output("completion", shell)
		if err != nil {
			return nil, err
		}
		all = append(all, entry{"completions/swellbox." + shell, b, 0o644})
	}
	pages, demo := filepath.Join(work, "man"), filepath.Join(work, "demo")
	if err := os.MkdirAll(pages, 0o755); err != nil {
		return nil, err
	}
	if _, err := output("man", pages); err != nil {
		return nil, err
	}
	if _, err := output("demo", "--out", demo); err != nil {
		return nil, err
	}
	found, err := filepath.Glob(filepath.Join(pages, "*.1"))
	if err != nil || len(found) == 0 {
		return nil, fmt.Errorf("swellbox man wrote no page: %w", err)
	}
	for _, path := range found {
		if err := add(&all, "man/"+filepath.Base(path), path); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{"raw.mid", "shaped.mid"} {
		if err := add(&all, "demo/"+name, filepath.Join(demo, name)); err != nil {
			return nil, err
		}
	}
	return all, nil
}

func add(all *[]entry, name, path string) error {
	b, err := os.ReadFile(path)
	if err == nil {
		*all = append(*all, entry{name, b, 0o644})
	}
	return err
}
