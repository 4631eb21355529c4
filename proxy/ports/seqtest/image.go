package seqtest

import (
	"bytes"
	_ "embed"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

//go:embed init.sh
var initScript []byte

// modules are what the sequencer of the virtual machine is made of; loadOrder adds what these need.
// snd-hrtimer is the clock that Debian's kernel gives its queues (CONFIG_SND_SEQ_HRTIMER_DEFAULT).
var modules = []string{"snd-hrtimer", "snd-seq", "snd-seq-dummy", "snd-virmidi"}

// image writes the first file system of the virtual machine: busybox, the
// sequencer, the programs that scripts use, and the job below /job.
func (m *machine) image(a *archive, j *staged, lifetime int) error {
	a.file("init", 0o755, initScript)
	a.file("lifetime", 0o644, fmt.Appendln(nil, lifetime))
	if err := addModules(a, m.modules); err != nil {
		return err
	}
	if err := addProgram(a, "bin/busybox", m.busybox); err != nil {
		return err
	}
	for _, tool := range tools {
		if err := addProgram(a, "usr/bin/"+tool, m.tools[tool]); err != nil {
			return err
		}
	}
	if err := addTree(a, alsaShare); err != nil {
		return err
	}
	for name, data := range j.files {
		a.file("job/"+name, 0o644, data)
	}
	for name, from := range j.binaries {
		if err := addProgram(a, "job/"+name, from); err != nil {
			return err
		}
	}
	return a.close()
}

// addModules adds the kernel modules, and /modules, their paths in the order of loading.
func addModules(a *archive, dir string) error {
	index, err := os.ReadFile(filepath.Join(dir, "modules.dep"))
	if err != nil {
		return err
	}
	order, err := loadOrder(string(index), modules)
	if err != nil {
		return fmt.Errorf("%s/modules.dep: %w", dir, err)
	}
	var list bytes.Buffer
	for _, file := range order {
		data, err := readModule(filepath.Join(dir, file))
		if err != nil {
			return err
		}
		name := "lib/modules/" + moduleName(file) + ".ko"
		a.file(name, 0o644, data)
		fmt.Fprintln(&list, "/"+name)
	}
	a.file("modules", 0o644, list.Bytes())
	return nil
}

// loadOrder puts the named modules and all that they need into an order in which
// each comes after what it needs. index is a modules.dep: lines of "file: files it needs".
func loadOrder(index string, names []string) ([]string, error) {
	needs := map[string][]string{} // by file
	files := map[string]string{}   // by module name
	for line := range strings.Lines(index) {
		file, rest, ok := strings.Cut(line, ":")
		if ok {
			needs[file] = strings.Fields(rest)
			files[moduleName(file)] = file
		}
	}
	var order []string
	seen := map[string]bool{}
	var add func(file string)
	add = func(file string) {
		if seen[file] {
			return
		}
		seen[file] = true
		for _, need := range needs[file] {
			add(need)
		}
		order = append(order, file)
	}
	for _, name := range names {
		file, ok := files[name]
		if !ok {
			return nil, fmt.Errorf("no module %s", name)
		}
		add(file)
	}
	return order, nil
}

// moduleName is the name that a kernel uses for a module file: kernel/sound/snd-seq.ko.xz is snd-seq.
// Distributions write some names with an underscore; both mean the same to the kernel.
func moduleName(file string) string {
	name, _, _ := strings.Cut(filepath.Base(file), ".ko")
	return strings.ReplaceAll(name, "_", "-")
}

// unpackers are the programs that write an unpacked module to standard output,
// by the ending that distributions give to packed ones.
var unpackers = map[string]string{".gz": "gzip", ".xz": "xz", ".zst": "zstd"}

func readModule(file string) ([]byte, error) {
	tool, packed := unpackers[filepath.Ext(file)]
	if !packed {
		return os.ReadFile(file)
	}
	data, err := exec.Command(tool, "-dc", file).Output()
	if err != nil {
		return nil, fmt.Errorf("unpack %s with %s: %w", file, tool, err)
	}
	return data, nil
}

// addProgram adds a program, and the shared libraries that ldd names at the paths
// where the loader will look for them.
func addProgram(a *archive, name, from string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	a.file(name, 0o755, data)
	out, err := exec.Command("ldd", from).CombinedOutput()
	if err != nil && !bytes.Contains(out, []byte("not a dynamic executable")) {
		return fmt.Errorf("ldd %s: %w: %s", from, err, out)
	}
	if bytes.Contains(out, []byte("not found")) {
		return fmt.Errorf("%s misses shared libraries:\n%s", from, out)
	}
	for _, library := range libraries(string(out)) {
		data, err := os.ReadFile(library)
		if err != nil {
			return err
		}
		a.file(library, 0o755, data)
	}
	return nil
}

// A line of ldd is "name => /path (address)", or "/path (address)" for the loader,
// or "linux-vdso.so.1 (address)" for what the kernel brings itself.
var lddLine = regexp.MustCompile(`(?m)^\s+(?:\S+ => )?(/\S+) \(0x`)

func libraries(ldd string) []string {
	var paths []string
	for _, match := range lddLine.FindAllStringSubmatch(ldd, -1) {
		paths = append(paths, match[1])
	}
	return paths
}

// alsaShare is the configuration that libasound reads when it opens a sequencer.
const alsaShare = "/usr/share/alsa"

// soundCardsOnly are directories of alsaShare that describe sound cards: two
// megabytes that no sequencer reads.
var soundCardsOnly = []string{"init", "topology", "ucm", "ucm2"}

func addTree(a *archive, root string) error {
	return filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && slices.Contains(soundCardsOnly, d.Name()):
			return fs.SkipDir
		case !d.Type().IsRegular():
			return nil
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		a.file(name, 0o644, data)
		return nil
	})
}
