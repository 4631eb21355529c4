package expr

import (
	"time"
)

// Two notes that start within a chord's time are one chord; two that sound together
// for no longer than an overlap are joined under a slur, as is one that starts within
// a joint's time of the other's end. Ours, not published.
const (
	ChordTime   = 50 * time.Millisecond
	OverlapTime = 100 * time.Millisecond
	JointTime   = time.Millisecond
)
