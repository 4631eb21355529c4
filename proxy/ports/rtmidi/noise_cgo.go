//go:build cgo && (linux || darwin || windows)

package rtmidi

/*
#cgo CXXFLAGS: -std=c++11
#cgo linux LDFLAGS: -lasound -Wl,--wrap=perror
#include <stddef.h>
#include "noise.h"
*/
import "C"
import "sync"

// catchNoise has what the libraries print come to said, for the whole process.
var catchNoise = sync.OnceFunc(func() { C.swellbox_catch_noise() })

//export swellboxDriverSaid
func swellboxDriverSaid(text *C.char, length C.size_t) {
	said.add(C.GoStringN(text, C.int(length)))
}
