package seqtest

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"
)

// machine runs jobs in a virtual machine: the kernel of this one's distribution
// under full emulation, because hardware acceleration is missing or hangs in most
// places that run tests.
type machine struct {
	qemu    string
	busybox string
	kernel  string            // vmlinuz
	modules string            // the directory of modules.dep
	tools   map[string]string // where the programs of alsa-utils are
}

func (*machine) emulated() bool { return true }

// findMachine finds what a virtual machine is made of, or says what is missing and
// which Debian package has it.
func findMachine() (m *machine, missing []string) {
	if runtime.GOOS != "linux" || runtime.GOARCH != "amd64" {
		return nil, []string{"Linux on amd64: the virtual machine takes programs and libraries from its host"}
	}
	m = &machine{tools: map[string]string{}}
	look := func(program, pkg string) string {
		path, err := exec.LookPath(program) // qemu-system-x86_64, busybox, aconnect, aplaymidi, arecordmidi, aseqdump
		if err != nil {
			missing = append(missing, program+" (package "+pkg+")")
		}
		return path
	}
	m.qemu = look("qemu-system-x86_64", "qemu-system-x86")
	m.busybox = look("busybox", "busybox-static")
	for _, tool := range tools {
		m.tools[tool] = look(tool, "alsa-utils")
	}
	m.kernel, m.modules = findKernel("/boot", "/lib/modules")
	if m.kernel == "" {
		missing = append(missing, "a kernel that we may read, with the modules "+
			strings.Join(modules, ", ")+" (package linux-image-amd64)")
	}
	return m, missing
}

// findKernel finds the last kernel by name that can be read and has the modules we
// need. Debian keeps kernels in /boot, others next to their modules.
func findKernel(boot, lib string) (kernel, dir string) {
	indexes, _ := filepath.Glob(filepath.Join(lib, "*", "modules.dep")) // the pattern is well formed
	for _, index := range slices.Backward(indexes) {
		data, err := os.ReadFile(index)
		if err != nil {
			continue
		}
		if _, err := loadOrder(string(data), modules); err != nil {
			continue
		}
		dir := filepath.Dir(index)
		for _, kernel := range []string{
			filepath.Join(boot, "vmlinuz-"+filepath.Base(dir)),
			filepath.Join(dir, "vmlinuz"),
		} {
			if f, err := os.Open(kernel); err == nil {
				_ = f.Close() // nothing was written
				return kernel, dir
			}
		}
	}
	return "", ""
}

const (
	// bootLimit is what only a hang meets, for a boot that takes five seconds on an idle machine.
	bootLimit = 10 * time.Minute
	// longest is how long a machine lives at most: less than .ci/gotest gives the whole test, so
	// that it is the machine's console that tells of a hang, and no machine outlives its test for long.
	longest = 25 * time.Minute
	// memory is in megabytes. The file system is in memory too, next to its image.
	memory = "512"
	// processors are two, so that a daemon and its player run at once as they would at a desk.
	processors = "2"
)

func (m *machine) run(ctx context.Context, j *staged, dir string) (files map[string][]byte, err error) {
	image, console, sent := filepath.Join(dir, "image"), filepath.Join(dir, "console"), filepath.Join(dir, "sent")
	lifetime := min(bootLimit+j.limit, longest)
	if err := m.writeImage(image, j, lifetime); err != nil {
		return nil, fmt.Errorf("seqtest: make the virtual machine's file system: %w", err)
	}
	// The machine ends itself at lifetime; this is for one that cannot any more.
	ctx, cancel := context.WithTimeout(ctx, lifetime+time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, m.qemu,
		"-accel", "tcg", "-smp", processors, "-m", memory, "-no-reboot", "-nodefaults", "-display", "none", "-monitor", "none",
		"-serial", "file:"+console, "-serial", "file:"+sent,
		"-kernel", m.kernel, "-initrd", image, "-append", "console=ttyS0 quiet panic=-1")
	cmd.WaitDelay = 5 * time.Second
	out, err := cmd.CombinedOutput()
	if err == nil {
		files, err = receive(sent)
	}
	if err != nil {
		log, _ := os.ReadFile(console) // there may be none yet
		return nil, fmt.Errorf("seqtest: virtual machine: %w\n%s\n--- its console ---\n%s", err, out, log)
	}
	return files, nil
}

func (m *machine) writeImage(name string, j *staged, lifetime time.Duration) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	return errors.Join(m.image(newArchive(w), j, int(lifetime.Seconds())), w.Flush(), f.Close())
}

// receive reads what the machine sent through its second serial port.
func receive(name string) (map[string][]byte, error) {
	sent, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	if len(bytes.TrimSpace(sent)) == 0 {
		return nil, errors.New("it ended without sending results")
	}
	return unpack(sent, resultsLimit)
}
