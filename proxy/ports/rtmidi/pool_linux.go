//go:build linux && (386 || amd64 || arm || arm64 || loong64 || riscv64)

package rtmidi

import (
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"unsafe"
)

// inputPool is the size of an input's pool in cells, the most that the kernel allows
// (SNDRV_SEQ_MAX_CLIENT_EVENTS in sound/core/seq/seq_clientmgr.h, from memory).
const inputPool = 2000

// setClientPool is SNDRV_SEQ_IOCTL_SET_CLIENT_POOL of sound/asequencer.h,
// _IOW('S', 0x4C, struct snd_seq_client_pool), as most processors number it.
const setClientPool = 1<<30 | unsafe.Sizeof(clientPool{})<<16 | 'S'<<8 | 0x4C

// clientPool is struct snd_seq_client_pool. Zeros change nothing.
type clientPool struct {
	client                            int32
	outputPool, inputPool             int32
	outputRoom, outputFree, inputFree int32
	_                                 [64]byte
}

// enlarge gives a client of ours the largest input pool. The 200 cells that it has from
// the start are filled by the set-up of a score for some twenty channels, all sent
// at once, and when one event finds no room, the kernel drops the whole pool (snd_seq_read,
// from memory; measured). It also throws away what waits in a pool that gets another size
// (snd_seq_fifo_resize, from memory; measured), so that this is done before the port is open. The library keeps its handle to itself, so all of
// the process's are tried: the kernel obeys on the client's own only.
func enlarge(client int) {
	const handles = "/proc/self/fd"
	entries, err := os.ReadDir(handles)
	if err != nil {
		return // as it was, the pool serves most music
	}
	for _, e := range entries {
		fd, err := strconv.Atoi(e.Name())
		if err != nil {
			continue
		}
		if to, err := os.Readlink(filepath.Join(handles, e.Name())); err != nil || to != sequencerDevice {
			continue
		}
		pool := clientPool{client: int32(client), inputPool: inputPool}
		_, _, errno := syscall.Syscall(syscall.SYS_IOCTL, uintptr(fd), setClientPool, uintptr(unsafe.Pointer(&pool)))
		if errno == 0 {
			return
		}
	}
}
