package musicxml

// hand is where the reading of a measure of a part stands.
type hand struct {
	*page
	p      *part
	k      int     // the measure
	base   int64   // ticks in the measure, where the divisions were set last
	since  float64 // divisions since then
	end    int64   // ticks that the measure has so far, as far as notes go
	rested int64   // the same, as far as rests and empty time go
}

// at is where the reading stands, in ticks.
func (h *hand) at() int64 { return h.base + h.in(h.since) }

// in is a number of divisions in ticks.
func (h *hand) in(divisions float64) int64 { return ticks(divisions / h.p.divisions) }

// forward goes on by a number of divisions, which may be negative. The place may lie before the
// measure for as long as nothing is written there: some programs go back too far and forward
// again by as much.
func (h *hand) forward(divisions float64) error {
	h.since += divisions
	if at := h.at(); at > maxMeasure*quarterTicks || at < -maxMeasure*quarterTicks {
		return h.fault("the measure is over %d quarter notes long: %s", maxMeasure, damaged)
	}
	return nil
}

// ground takes what is written before the start of the measure as written at its start.
func (h *hand) ground() {
	if at := h.at(); at < 0 {
		h.warn("the file goes back beyond the start of the measure, by %g quarter notes; that is ignored", -quarters(at))
		h.base, h.since = 0, 0
	}
}
