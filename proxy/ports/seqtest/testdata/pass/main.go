// Command pass passes messages on from its virtual port "pass in" to its "pass out" until TERM, and does
// nothing else: in C++ alone, with the daemon's own build of RtMidi. The daemon's latency is held
// against it.
package main

/*
#cgo LDFLAGS: -Wl,--unresolved-symbols=ignore-all
void pass(void);
*/
import "C"

import (
	"fmt"
	"os"
	"os/signal"
	"syscall"

	_ "swellbox/proxy/ports/rtmidi" // the library is linked by it
)

func main() {
	end := make(chan os.Signal, 1)
	signal.Notify(end, os.Interrupt, syscall.SIGTERM)
	C.pass()
	fmt.Println("passing")
	<-end
}
