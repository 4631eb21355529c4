//go:build !linux || !(386 || amd64 || arm || arm64 || loong64 || riscv64)

package rtmidi

// enlarge does nothing: where there is no ALSA there is no pool, and few processors
// number its calls in another way.
func enlarge(int) {}
