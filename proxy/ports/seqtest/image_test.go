package seqtest

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestArchive(t *testing.T) {
	var b bytes.Buffer
	a := newArchive(&b)
	a.file("/d/f", 0o755, []byte("hello"))
	a.file("d/f", 0o644, []byte("a second one of the name is left out"))
	if err := a.close(); err != nil {
		t.Fatal(err)
	}
	const zero = "00000000"
	want := "070701" + "00000001" + "000041ed" + zero + zero + "00000001" + zero + // d, a directory, rwxr-xr-x
		zero + zero + zero + zero + zero + "00000002" + zero + "d\x00" +
		"070701" + "00000002" + "000081ed" + zero + zero + "00000001" + zero + // d/f, a file, rwxr-xr-x
		"00000005" + zero + zero + zero + zero + "00000004" + zero + "d/f\x00" + "\x00\x00" + "hello\x00\x00\x00" +
		"070701" + "00000003" + zero + zero + zero + "00000001" + zero +
		zero + zero + zero + zero + zero + "0000000b" + zero + "TRAILER!!!\x00" + "\x00\x00\x00"
	if got := b.String(); got != want {
		t.Errorf("got\n%q\nwant\n%q", got, want)
	}
	if b.Len()%4 != 0 {
		t.Errorf("%d bytes: the next archive would not begin on a multiple of four", b.Len())
	}
}

const depFile = `kernel/sound/core/seq/snd-seq.ko.xz: kernel/sound/core/snd-timer.ko.xz kernel/sound/core/snd.ko.xz kernel/sound/soundcore.ko.xz
kernel/sound/core/snd-timer.ko.xz: kernel/sound/core/snd.ko.xz kernel/sound/soundcore.ko.xz
kernel/sound/core/snd_hrtimer.ko.xz: kernel/sound/core/snd-timer.ko.xz
kernel/sound/core/snd.ko.xz: kernel/sound/soundcore.ko.xz
kernel/sound/soundcore.ko.xz:
kernel/sound/core/seq/snd-seq-dummy.ko.xz: kernel/sound/core/seq/snd-seq.ko.xz
kernel/sound/drivers/snd-virmidi.ko.xz: kernel/sound/core/seq/snd-seq.ko.xz
kernel/net/unrelated.ko.xz:
`

func TestLoadOrder(t *testing.T) {
	files, err := loadOrder(depFile, modules)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range files {
		names = append(names, moduleName(f))
	}
	want := []string{"soundcore", "snd", "snd-timer", "snd-hrtimer", "snd-seq", "snd-seq-dummy", "snd-virmidi"}
	if !slices.Equal(names, want) {
		t.Errorf("got %v, want %v", names, want)
	}
	if _, err := loadOrder(depFile, []string{"snd-none"}); err == nil || !strings.Contains(err.Error(), "snd-none") {
		t.Errorf("a module that is not there: error %v", err)
	}
}

func TestFindKernel(t *testing.T) {
	root := t.TempDir()
	boot, lib := filepath.Join(root, "boot"), filepath.Join(root, "lib")
	if kernel, _ := findKernel(boot, lib); kernel != "" {
		t.Errorf("found %s in an empty directory", kernel)
	}
	for name, data := range map[string]string{
		"boot/vmlinuz-6.1":    "",
		"lib/6.1/modules.dep": depFile,
		"boot/vmlinuz-6.2":    "",
		"lib/6.2/modules.dep": depFile,
		"boot/vmlinuz-6.3":    "",
		"lib/6.3/modules.dep": "kernel/net/unrelated.ko:\n", // made for clouds: it has no sound
		"boot/vmlinuz-6.4":    "",                           // its modules are gone
		"lib/6.5/modules.dep": depFile,                      // its kernel is gone
	} {
		if err := writeFile(filepath.Join(root, name), []byte(data)); err != nil {
			t.Fatal(err)
		}
	}
	kernel, dir := findKernel(boot, lib)
	if filepath.Base(kernel) != "vmlinuz-6.2" || filepath.Base(dir) != "6.2" {
		t.Errorf("found %s with %s, want 6.2", kernel, dir)
	}
	beside := filepath.Join(lib, "6.5", "vmlinuz")
	if err := writeFile(beside, nil); err != nil {
		t.Fatal(err)
	}
	if kernel, _ := findKernel(boot, lib); kernel != beside {
		t.Errorf("found %s, want the one beside its modules", kernel)
	}
}

func TestLibraries(t *testing.T) {
	const out = "\tlinux-vdso.so.1 (0x00007ffd)\n" +
		"\tlibasound.so.2 => /lib/x86_64-linux-gnu/libasound.so.2 (0x00007f4d)\n" +
		"\t/lib64/ld-linux-x86-64.so.2 (0x00007f4e)\n"
	want := []string{"/lib/x86_64-linux-gnu/libasound.so.2", "/lib64/ld-linux-x86-64.so.2"}
	if got := libraries(out); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := libraries("\tnot a dynamic executable\n"); got != nil {
		t.Errorf("a static program has %q", got)
	}
}

func TestReadModuleUnpacks(t *testing.T) {
	if _, err := readModule(filepath.Join(t.TempDir(), "none.ko.gz")); err == nil || !strings.Contains(err.Error(), "unpack") {
		t.Errorf("a packed module that is not there: error %v", err)
	}
}
