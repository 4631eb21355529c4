package perform

import (
	"errors"
	"fmt"

	"swellbox/expr"
	"swellbox/profiles/names"
)

// Caught runs f, and returns what it panicked with, or nil.
func Caught(f func()) (reason any) {
	defer func() { reason = recover() }()
	f()
	return nil
}

// errUnseatable is of a part that is not seated because finding out who plays it failed.
var errUnseatable = errors.New("nobody can be found to play the part")

// Choose seats a part. An error says which profile cannot be had, and why; it is one too should
// finding out who plays it fail.
func (c *Cast) Choose(h names.Hint) (part Part, profile *expr.Profile, err error) {
	if reason := Caught(func() { part, profile, err = c.choose(h) }); reason != nil {
		return Part{}, nil, fmt.Errorf("port %d channel %d: %w: %v; it plays raw", h.Port, h.Channel, errUnseatable, reason)
	}
	return part, profile, err
}
