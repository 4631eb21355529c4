package console

import (
	"time"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
)

// Played is what a console watches and steers.
type Played interface {
	Status() live.Status
	Switch(side expr.Side, parts []string) error
	SetPlace(place expr.Place, parts []string) error
	SetLookahead(l time.Duration) error
	SetLoop(l live.Loop) error
	Panic()
	Recast(c *perform.Cast) (changed []perform.Part, err error)
}

// Config is what a console is made with.
type Config struct {
	Played    Played
	Gauges    *live.Gauges                  // of the same daemon; the console's alone from then on
	Ensemble  profiles.Ensemble             // in whose hall the parts stand
	Workshop  Workshop                      // nil: profiles cannot be adjusted
	Cast      func() (*perform.Cast, error) // as the documents say now
	Simulated bool                          // no sampler is there: nothing is heard
	Port      int                           // to listen on; if it is taken, or 0, any
	PassFile  string                        // keeps the pass over restarts, in a folder that only its owner may enter; empty: it is not kept
}
