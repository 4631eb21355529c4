package control

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/user"
	"path/filepath"
	"strings"

	"github.com/Microsoft/go-winio"
)

// Microsoft's documentation of CreateNamedPipe: where the names of pipes are.
const pipes = `\\.\pipe\`

// listen makes a named pipe that only its user and the system can open. A pipe goes with its
// process, so none is ever left over.
func listen(path string) (net.Listener, error) {
	if !isPipe(path) {
		return nil, fmt.Errorf(`on Windows swellbox is controlled through a named pipe, and %s is none; name one with --control, such as %sswellbox`, path, pipes)
	}
	if opens(path) {
		return nil, running(path)
	}
	me, err := user.Current()
	if err != nil {
		return nil, fmt.Errorf("whose the control pipe is to be cannot be found out: %w", err)
	}
	// A protected list of rights: all for the system and for this user, none for anybody else.
	l, err := winio.ListenPipe(path, &winio.PipeConfig{SecurityDescriptor: "D:P(A;;GA;;;SY)(A;;GA;;;" + me.Uid + ")"})
	if err != nil {
		return nil, fmt.Errorf("the control pipe cannot be made: %w; name another with --control", err)
	}
	// Under wine the first to open it gets the handle that only keeps the name, on which nobody
	// answers; elsewhere this is a call without a request.
	go opens(path)
	return l, nil
}

// opens reports whether there is a pipe that opens, and lets go of it.
func opens(path string) bool {
	c, err := winio.DialPipe(path, nil)
	if err != nil {
		return false
	}
	c.Close()
	return true
}

func isPipe(path string) bool {
	return len(path) > len(pipes) && strings.EqualFold(path[:len(pipes)], pipes)
}

// Folder is where a daemon that listens there keeps what is its own: a pipe has no folder, so in
// the user's cache, which is closed to other users by the rights it inherits.
func Folder(string) (string, error) {
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("no folder to keep what belongs to a running swellbox is known: %w", err)
	}
	return filepath.Join(dir, "swellbox", "run"), nil
}

// dial connects to what listens there.
func dial(ctx context.Context, path string) (net.Conn, error) {
	return winio.DialPipeContext(ctx, path)
}

// DefaultPath is where a daemon listens unless told otherwise: a pipe of the user's own.
func DefaultPath() (string, error) {
	me, err := user.Current()
	if err != nil {
		return "", fmt.Errorf("no place for the control pipe is known: %w; name one with --control", err)
	}
	name := me.Username
	if i := strings.LastIndexByte(name, '\\'); i >= 0 {
		name = name[i+1:] // without the domain
	}
	return pipes + "swellbox-" + name, nil
}
