//go:build !linux

package store

import (
	"errors"
	"os"
)

// exchange would let two files change places; this system cannot.
func exchange(*os.Root, string, string) error { return errors.ErrUnsupported }
