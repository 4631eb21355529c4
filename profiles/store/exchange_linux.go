package store

import (
	"errors"
	"fmt"
	"os"
	"path"

	"golang.org/x/sys/unix"
)

// exchange lets two files change places, so that neither is ever without a name.
// The error wraps [errors.ErrUnsupported] where the file system cannot do that.
func exchange(root *os.Root, a, b string) error {
	dirA, err := root.Open(path.Dir(a))
	if err != nil {
		return err
	}
	defer dirA.Close()
	dirB, err := root.Open(path.Dir(b))
	if err != nil {
		return err
	}
	defer dirB.Close()
	err = unix.Renameat2(int(dirA.Fd()), path.Base(a), int(dirB.Fd()), path.Base(b), unix.RENAME_EXCHANGE)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) {
		return fmt.Errorf("exchange two files: %w", errors.ErrUnsupported)
	}
	return err
}
