package rtmidi

import (
	"fmt"
	"strings"
)

// maxWords is how much of the library's own text an error of ours repeats, bytes.
const maxWords = 120

// driverSaid makes an error of the library fit to be read. Its text comes from
// memory that has already been freed, so that it may be anything: what is not
// printable ASCII is dropped, and so is what is left if that is too little to be words.
func driverSaid(err error) error {
	text := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return -1
		}
		return r
	}, err.Error())
	text = strings.TrimSpace(text[:min(len(text), maxWords)])
	if len(text) < 8 {
		return fmt.Errorf("the driver gives no reason")
	}
	return fmt.Errorf("the driver says %q", text)
}
