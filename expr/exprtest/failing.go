package exprtest

import "swellbox/expr"

// Failing is a trial in which one kind of knowledge fails from a use of it on, as long as it is to.
type Failing struct {
	Kind  expr.Knowledge
	After int // uses that go well
	Uses  int // so far
	Mends bool
}

// Try is the trial: it panics with "a wrong turn".
func (f *Failing) Try(of expr.Knowledge) {
	if of != f.Kind {
		return
	}
	if f.Uses++; f.Uses > f.After && !f.Mends {
		panic("a wrong turn")
	}
}

// Failed reports whether it has.
func (f *Failing) Failed() bool { return f.Uses > f.After }
