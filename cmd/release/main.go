// Command release makes what is published of a version, into a folder:
//
//	go run ./cmd/release [-out FOLDER] [-key FILE]
//
// For each system that has its compiler here an archive with the program, README, licences of all
// it is built from, a bill of materials (SPDX), manual pages, completions and the demonstration
// score; a Debian package where dpkg-deb is; and SHA256SUMS over them, signed in minisign's
// format as packs are, if there is a key. "make release" runs it.
//
// The same checkout gives the same bytes: nothing of the clock, the machine or the folder goes in.
package main

import (
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"aead.dev/minisign"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintf(os.Stderr, "release: %v\n", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	flags := flag.NewFlagSet("release", flag.ContinueOnError)
	out := flags.String("out", "build/release", "`folder` to write into; it must be empty or not there")
	keyFile := flags.String("key", "", "secret key `file` in minisign's format to sign the checksums with; its password is asked for in RELEASE_PASSWORD")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if list, err := os.ReadDir(*out); err == nil && len(list) > 0 {
		return fmt.Errorf("%s is not empty; remove it, or name another folder with -out", *out)
	}
	if err := os.MkdirAll(*out, 0o755); err != nil {
		return err
	}
	v, err := versionOf()
	if err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "swellbox-release")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	files, err := v.make(work, *out)
	if err != nil {
		return err
	}
	return sums(*out, files, *keyFile)
}

// version is what is published.
type version struct {
	name, revision string
	at             time.Time // of the commit
}

// versionOf asks git: the tag, or how far after which, and the commit.
func versionOf() (version, error) {
	git := func(args ...string) (string, error) {
		b, err := exec.Command("git", args...).Output()
		if err != nil {
			return "", fmt.Errorf("git %s: %w; a release is made of a checkout", strings.Join(args, " "), err)
		}
		return strings.TrimSpace(string(b)), nil
	}
	changed, err := git("status", "--porcelain")
	if err != nil {
		return version{}, err
	}
	if changed != "" {
		return version{}, errors.New("the checkout has changes; commit them first, as a release is made of a commit")
	}
	revision, err := git("rev-parse", "HEAD")
	if err != nil {
		return version{}, err
	}
	stamp, err := git("log", "-1", "--format=%ct")
	if err != nil {
		return version{}, err
	}
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil {
		return version{}, fmt.Errorf("git gave %q for the commit's time", stamp)
	}
	at := time.Unix(seconds, 0).UTC()
	name, err := git("describe", "--tags", "--match", "v*", "--abbrev=7")
	if err != nil { // no tag yet
		name = "v0.0." + at.Format("20060102") + "-" + revision[:7]
	}
	return version{strings.TrimPrefix(name, "v"), revision, at}, nil
}

// make writes all that is published, and gives its names.
func (v version) make(work, out string) ([]string, error) {
	common, err := v.common(work)
	if err != nil {
		return nil, err
	}
	var files []string
	for _, t := range targets {
		if why := t.missing(); why != "" {
			fmt.Printf("release: no archive for %s: %s\n", t, why)
			continue
		}
		fmt.Printf("== %s\n", t)
		program, err := v.build(t, work)
		if err != nil {
			return nil, err
		}
		all := append(slices.Clone(common), entry{t.program(), program, 0o755})
		bill, err := v.bill(t, program)
		if err != nil {
			return nil, err
		}
		all = append(all, entry{"sbom.spdx.json", bill, 0o644})
		name := fmt.Sprintf("swellbox-%s-%s-%s", v.name, t.os, t.arch)
		file, data := name+".tar.gz", []byte(nil)
		if t.os == "windows" {
			file = name + ".zip"
			data, err = zipped(name, all, v.at)
		} else {
			data, err = tarred(name, all, v.at)
		}
		if err != nil {
			return nil, err
		}
		if err := os.WriteFile(filepath.Join(out, file), data, 0o644); err != nil {
			return nil, err
		}
		files = append(files, file)
		if t.os != "linux" {
			continue
		}
		deb, err := v.debian(t, all, work, out)
		if err != nil {
			return nil, err
		}
		if deb != "" {
			files = append(files, deb)
		}
	}
	if len(files) == 0 {
		return nil, errors.New("no system has its compiler here; run .ci/deps cross")
	}
	return files, nil
}

// sums writes SHA256SUMS, and signs it if there is a key.
func sums(out string, files []string, keyFile string) error {
	slices.Sort(files)
	var b strings.Builder
	for _, name := range files {
		data, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			return err
		}
		fmt.Fprintf(&b, "%x  %s\n", sha256.Sum256(data), name)
	}
	path := filepath.Join(out, "SHA256SUMS")
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		return err
	}
	fmt.Print(b.String())
	if keyFile == "" {
		fmt.Println("release: SHA256SUMS is not signed, as no -key was given")
		return nil
	}
	key, err := minisign.PrivateKeyFromFile(os.Getenv("RELEASE_PASSWORD"), keyFile)
	if err != nil {
		return fmt.Errorf("%s: no secret key of minisign's form that RELEASE_PASSWORD opens: %w", keyFile, err)
	}
	return os.WriteFile(path+".minisig", minisign.Sign(key, []byte(b.String())), 0o644)
}
