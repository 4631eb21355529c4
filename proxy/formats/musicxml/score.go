package musicxml

// score is what a file has written: what is read into it is played out of it.
type score struct {
	titles   []string // of the work and of its movement, as far as they differ
	parts    []*part  // in the order of the part list
	frames   frames   // the measures, as far as they are common to the parts
	warnings []string
}

// frame is the measure of an index, made if need be.
func (r *score) frame(k int) *frame {
	for len(r.frames) <= k {
		r.frames = append(r.frames, frame{})
	}
	return &r.frames[k]
}
