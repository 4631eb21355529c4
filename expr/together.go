package expr

import "swellbox/expr/thresholds"

// Two notes that start within a chord's time are one chord; two that sound together
// for no longer than an overlap are joined under a slur, as is one that starts within
// a joint's time of the other's end.
const (
	ChordTime   = thresholds.Chord
	OverlapTime = thresholds.Overlap
	JointTime   = thresholds.Joint
)
