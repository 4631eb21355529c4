package tell

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/url"
	"os"
	"strings"
	"syscall"
)

// Plainly is what an error says, in words that need no programmer: what the system and
// the network call by their own names is said as a sentence would.
func Plainly(err error) string {
	text := err.Error()
	for _, r := range rawParts(err) {
		text = strings.Replace(text, r.text, r.words, 1)
	}
	if strings.HasSuffix(text, " is not there") {
		text += "; look at how it is spelt, and in which folder"
	}
	return text
}

// rawPart is a part of an error's text, and what it is to be called.
type rawPart struct{ text, words string }

// rawParts are those in an error, the outermost first.
func rawParts(err error) []rawPart {
	if words, ok := inPlainWords(err); ok {
		return []rawPart{{err.Error(), words}}
	}
	switch e := err.(type) {
	case interface{ Unwrap() error }:
		if inner := e.Unwrap(); inner != nil {
			return rawParts(inner)
		}
	case interface{ Unwrap() []error }:
		var all []rawPart
		for _, inner := range e.Unwrap() {
			all = append(all, rawParts(inner)...)
		}
		return all
	}
	return nil
}

// inPlainWords knows the errors of the system and the network.
func inPlainWords(err error) (string, bool) {
	switch e := err.(type) {
	case *fs.PathError:
		return e.Path + " " + trouble(e.Err), true
	case *os.LinkError:
		return e.New + " " + trouble(e.Err), true
	case *os.SyscallError:
		return "it " + trouble(e.Err), true
	case syscall.Errno:
		return "it " + trouble(e), true
	case *url.Error:
		if words, ok := inPlainWords(e.Err); ok {
			return words, true
		}
		return e.Err.Error(), true
	case *net.DNSError:
		return fmt.Sprintf("no computer is named %s here", e.Name), true
	case *net.OpError:
		return unreachable(e), true
	}
	if err == context.DeadlineExceeded {
		return "there was no answer in time", true
	}
	return "", false
}

// unreachable says why a computer in the network cannot be spoken to.
func unreachable(e *net.OpError) string {
	var name *net.DNSError
	where := "the other computer"
	if e.Addr != nil {
		where = e.Addr.String()
	}
	switch {
	case errors.As(e, &name):
		return fmt.Sprintf("no computer is named %s here", name.Name)
	case e.Timeout():
		return where + " does not answer"
	case errors.Is(e, syscall.EADDRINUSE):
		return where + " is in use by another program"
	case errors.Is(e, syscall.EADDRNOTAVAIL):
		return where + " is no address of this computer"
	case errors.Is(e, syscall.ECONNREFUSED):
		return "nobody listens at " + where
	}
	var number syscall.Errno
	if errors.As(e, &number) {
		return where + " " + trouble(number)
	}
	return where + " cannot be reached"
}

// trouble is what a cause means for what it is said of.
func trouble(err error) string {
	for _, t := range []struct {
		err   error
		words string
	}{
		{fs.ErrNotExist, "is not there"},
		{fs.ErrPermission, "is closed to you (no permission)"},
		{fs.ErrExist, "is there already"},
		{syscall.EISDIR, "is a folder"},
		{syscall.ENOTDIR, "is no folder, or lies in what is none"},
		{syscall.ENOSPC, "has no room: the disk is full"},
		{syscall.EROFS, "is on a disk that cannot be written to"},
		{syscall.ENAMETOOLONG, "has too long a name"},
		{syscall.EIO, "cannot be read: the disk reports a fault"},
		{syscall.ECONNREFUSED, "does not answer"},
		{syscall.EADDRINUSE, "is in use by another program"},
	} {
		if errors.Is(err, t.err) {
			return t.words
		}
	}
	return "cannot be used (" + err.Error() + ")"
}
