// Command cgo shows that a program linked with shared libraries, libasound among
// them, runs where seqtest takes it.
package main

/*
#cgo LDFLAGS: -lasound
#include <alsa/asoundlib.h>

static int open_close(void) {
	snd_seq_t *seq;
	int err = snd_seq_open(&seq, "default", SND_SEQ_OPEN_DUPLEX, 0);
	if (err < 0)
		return err;
	int id = snd_seq_client_id(seq);
	snd_seq_close(seq);
	return id;
}
*/
import "C"

import (
	"fmt"
	"os"
)

func main() {
	id := int(C.open_close())
	fmt.Println("client", id)
	if id < 0 {
		os.Exit(1)
	}
}
