package live

import (
	"time"

	"swellbox/expr"
	"swellbox/proxy/perform"
)

// Gauges read a running daemon often, for who watches: what sounds of each part on both sides.
// One look holds the daemon's lock for some microseconds and allocates nothing once there are no
// new parts. A Gauges is for one goroutine.
type Gauges struct {
	d     *Daemon
	watch *perform.Watch

	At       time.Duration // of the look, since the daemon's start
	Parts    []GaugedPart  // in the order of Status.Parts
	Place    *Position     // where the piece is, if that is known
	Sure     float64       // probability of Place, 0 to 1
	Tune     int           // who has the tune, index in Parts; -1: nobody knows
	TuneSure float64       // how much that part stands out, 0 to 1
	NotesIn  uint64
	Matched  bool // the raw side is lowered to be as loud as the other
}

// GaugedPart is one part of [Gauges].
type GaugedPart struct {
	perform.Gauge
	Side    expr.Side
	Profile *expr.Profile // it is only to be read; nil where it cannot be had
	Players int
}

// NewGauges begins to read a daemon.
func NewGauges(d *Daemon) *Gauges {
	g := &Gauges{d: d, Tune: -1}
	d.performance.locked(func() { g.watch = perform.NewWatch(d.performance.stage) })
	return g
}

// Look reads anew.
func (g *Gauges) Look() {
	d, p := g.d, g.d.performance
	g.NotesIn = p.notesIn.Load()
	g.Place, g.Sure = nil, 0
	if player := d.player.Load(); player != nil {
		if at, ok := player.Position(); ok {
			g.Place, g.Sure = &at, 1
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	g.At = p.now()
	g.Matched = g.watch.Matched()
	g.Tune, g.TuneSure = g.watch.Tune()
	if g.Place == nil {
		g.follow()
	}
	for len(g.Parts) < len(p.stage.Parts) {
		g.Parts = append(g.Parts, GaugedPart{})
	}
	g.Parts = g.Parts[:len(p.stage.Parts)]
	for i := range g.Parts {
		part, of := &g.Parts[i], &p.stage.Parts[i]
		g.watch.Read(i, &part.Gauge)
		part.Side, part.Players = p.stage.Side(of.Port, of.Channel), of.Players
		part.Profile = g.watch.Profile(i)
	}
}

// follow looks where the score is that is followed. The performance's lock is held.
func (g *Gauges) follow() {
	p := g.d.performance
	piece := &p.finder.piece
	if piece.score == nil || piece.follower == nil {
		return
	}
	defer p.finder.unfollow()
	if where, ok := piece.at(p.now()-p.delay(), p.now()); ok {
		g.Place, g.Sure = &Position{Bar: where.Bar, Beat: where.Beat}, where.Sure
	}
}

// SetSeat has a part, by its index, be so many dB louder in the hall than on its usual seat. It may
// be called from any goroutine; an index that is nobody's is passed over.
func (g *Gauges) SetSeat(part int, db float64) {
	orders{g.d.performance}.setSeat(g.watch, part, db)
}

// Match lowers the raw side by as much as it is louder, or ends that. It may be called from any
// goroutine.
func (g *Gauges) Match(on bool) {
	orders{g.d.performance}.match(g.watch, on)
}
