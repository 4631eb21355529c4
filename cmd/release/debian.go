package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strconv"
	"strings"
)

// debian packs what an archive holds where Debian's policy wants it. It gives the file's name,
// nothing where dpkg-deb is not installed.
func (v version) debian(t target, all []entry, work, out string) (string, error) {
	if _, err := exec.LookPath("dpkg-deb"); err != nil {
		fmt.Println("release: no Debian package, as dpkg-deb is not installed")
		return "", nil
	}
	root := filepath.Join(work, "debian-"+t.arch)
	var size int
	for _, e := range all {
		name, data := placed(e.name), e.data
		if strings.HasSuffix(name, ".gz") {
			var err error
			if data, err = zippedPage(data); err != nil {
				return "", err
			}
		}
		size += len(data)
		if err := write(filepath.Join(root, name), data, e.mode); err != nil {
			return "", err
		}
	}
	// Without it nobody has ports, but what works on files does; libc of the oldest supported Debian.
	control := fmt.Sprintf(`Package: swellbox
Version: %s
Architecture: %s
Maintainer: the swellbox project <swellbox@invalid>
Installed-Size: %d
Depends: libc6 (>= 2.36), libasound2 | libasound2t64
Section: sound
Priority: optional
Description: plays each part as a player would, in real time
 swellbox stands between a notation program's MIDI output and the sampler. It
 turns flat playback into a performance: expression for velocities, vibrato
 for strings, the weight of brass, phrasing, pedal and an honest balance, and
 compares it with the raw playback at a touch.
`, debianVersion(v.name), t.arch, (size+1023)/1024)
	if err := write(filepath.Join(root, "DEBIAN/control"), []byte(control), 0o644); err != nil {
		return "", err
	}
	name := fmt.Sprintf("swellbox_%s_%s.deb", debianVersion(v.name), t.arch)
	c := exec.Command("dpkg-deb", "--root-owner-group", "--build", root, filepath.Join(out, name))
	c.Env = append(os.Environ(), "SOURCE_DATE_EPOCH="+strconv.FormatInt(v.at.Unix(), 10))
	if b, err := c.CombinedOutput(); err != nil {
		return "", fmt.Errorf("dpkg-deb: %w\n%s", err, b)
	}
	return name, nil
}

// debianVersion is a version in Debian's form, in which a hyphen begins the packager's own part.
func debianVersion(v string) string { return strings.ReplaceAll(v, "-", "+") }

// placed is where Debian's policy has a file of an archive.
func placed(name string) string {
	folder, file := path.Split(name)
	switch {
	case file == "swellbox":
		return "usr/bin/swellbox"
	case folder == "man/":
		return "usr/share/man/man1/" + file + ".gz"
	case name == "completions/swellbox.bash":
		return "usr/share/bash-completion/completions/swellbox"
	case name == "completions/swellbox.zsh":
		return "usr/share/zsh/vendor-completions/_swellbox"
	case name == "completions/swellbox.fish":
		return "usr/share/fish/vendor_completions.d/swellbox.fish"
	case name == "LICENSE":
		return "usr/share/doc/swellbox/copyright"
	}
	return "usr/share/doc/swellbox/" + name
}

// zippedPage compresses a manual page, without a time.
func zippedPage(data []byte) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	err = z.Close()
	return b.Bytes(), err
}

func write(path string, data []byte, mode fs.FileMode) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(path, data, mode); err != nil {
		return err
	}
	return os.Chmod(path, mode) // whatever the umask
}
