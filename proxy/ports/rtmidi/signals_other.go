//go:build !linux

package rtmidi

// unsignalled calls f: elsewhere the system's own threads read, and no signal comes to them.
func unsignalled(f func() error) error { return f() }

func holdSignals() {}
