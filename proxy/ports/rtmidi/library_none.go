//go:build !cgo || !(linux || darwin || windows)

package rtmidi

import "errors"

func newLibrary() (library, error) {
	return nil, errors.New("this build has no MIDI ports, as it was made without cgo: render, demo and balance need none; for live, build it with CGO_ENABLED=1 and a C++ compiler")
}
