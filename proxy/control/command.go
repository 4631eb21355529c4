package control

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"swellbox/proxy/live"
)

// Command is one command of the API. The path of its request is its name, and the command line
// has a command of that name.
type Command struct {
	Name    string
	Aliases []string // names that it once had, and has on the command line still
	Short   string   // one line, for the list of commands
	Long    string   // for its own help; empty if one line says it all
	Takes   Arguments

	// Said is what people are told when it is done; nil for a command whose answer is the whole
	// status.
	Said func(s *live.Status) string

	method  string                                      // of HTTP
	request func(args []string) (any, error)            // from the command line; nil: there is none
	act     func(d Controlled, request io.Reader) error // nil: it only asks
}

// Arguments is what follows a command's name on the command line: nothing, or what is set here.
type Arguments struct {
	Usage  string   // as the help has it: "raw|shaped [PART…]"
	One    string   // what the only argument is: "one number of milliseconds"
	Choice []string // the words of which the first argument is one
	Parts  bool     // names of parts may follow
}

// Controlled is what a control server steers. A command asks for what else it needs by an
// interface of its own, beside which it says that a daemon has it.
type Controlled interface {
	Status() live.Status
}

// Do has a daemon do what a request in JSON asks, in process, and gives the status after it.
func (c *Command) Do(d Controlled, request io.Reader) (s live.Status, err error) {
	if c.act != nil {
		if err := c.act(d, request); err != nil {
			return s, err
		}
	}
	return d.Status(), nil
}

// Request is the request that arguments of the command line make, or nil where the command has
// none. An error says which argument is wrong.
func (c *Command) Request(args []string) (any, error) {
	if c.request == nil {
		return nil, nil
	}
	return c.request(args)
}

// asking is a command that has nothing done.
func asking(c Command) Command {
	c.method = "GET"
	return c
}

// ordering is a command without a request. D is what it needs of a daemon.
func ordering[D any](c Command, do func(d D) error) Command {
	c.method = "POST"
	c.act = func(d Controlled, _ io.Reader) error {
		able, ok := d.(D)
		if !ok {
			return c.beyond()
		}
		return do(able)
	}
	return c
}

// steering is a command with a request, which typed makes of arguments. D is what it needs of a
// daemon.
func steering[D, R any](c Command, typed func(args []string) (*R, error), do func(d D, req *R) error) Command {
	c.method = "POST"
	c.request = func(args []string) (any, error) { return typed(args) }
	c.act = func(d Controlled, request io.Reader) error {
		able, ok := d.(D)
		if !ok {
			return c.beyond()
		}
		var req R
		if err := Decode(request, &req); err != nil {
			return fmt.Errorf("the request cannot be read: %w", err)
		}
		return do(able, &req)
	}
	return c
}

func (c *Command) beyond() error {
	return fmt.Errorf("what is running cannot %s; start swellbox live or play", c.Name)
}

// Decode reads one JSON value of known fields with nothing behind it.
func Decode(r io.Reader, to any) error {
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	if err := dec.Decode(to); err != nil {
		return err
	}
	if _, err := dec.Token(); err != io.EOF {
		return cmp.Or(err, errors.New("something follows its end"))
	}
	return nil
}

// named is that of some values whose name it is; what is an error names the words.
func named[T fmt.Stringer](name, words string, all ...T) (found T, err error) {
	i := slices.IndexFunc(all, func(v T) bool { return v.String() == name })
	if i < 0 {
		return found, fmt.Errorf("expected %s, found %q", words, name)
	}
	return all[i], nil
}
