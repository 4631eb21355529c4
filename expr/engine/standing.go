package engine

import "swellbox/expr"

// Standing is how a channel stands to the others.
type Standing struct {
	Place  expr.Place
	SeatDB float64 // louder in the hall than on its usual seat, at most [MaxSeatDB] either way; in a studio nobody has a seat
}

// MaxSeatDB is by how much another seat may change the level of a part. Ours: on a stage it is some dB.
const MaxSeatDB = 12
