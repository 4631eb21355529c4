package live

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// gate is a lock that messages take before all who give way to them.
type gate struct {
	sync.Mutex
	coming atomic.Int32 // messages that wait for it
	calm   func() bool  // none does; once, as a method's value costs an allocation a use
}

func (g *gate) init() { g.calm = func() bool { return g.coming.Load() == 0 } }

// looks is how often somebody looks again before they wait by way of the kernel, which takes longer
// than anything else does that is done under the lock as a rule. Ours.
const looks = 2000

// hasten takes the lock for a message.
func (g *gate) hasten() {
	g.coming.Add(1)
	defer g.coming.Add(-1)
	for range looks {
		if g.TryLock() {
			return
		}
	}
	g.Lock()
}

// giveWay lets go of the lock, and takes it again when the messages that wait for it have had it.
func (g *gate) giveWay() {
	g.Unlock()
	for range looks {
		if g.calm() {
			break
		}
		runtime.Gosched()
	}
	g.Lock()
}
