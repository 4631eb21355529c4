package following

const (
	maxPorts  = 64            // whose channels are told apart
	strangers = maxPorts * 16 // stands for the channels of all other ports, of which nothing is learnt
	maxSeats  = 8             // parts that are remembered of a channel

	// How much it counts, in notes, that the score has a part on the same port and
	// channel, and that any part may be anywhere. Ours, not published.
	addressNotes  = 1.8
	anywhereNotes = 1.2

	// A channel's parts count as learnt from so many sure notes on.
	learntNotes = 6
	// Older notes count less than this many newer, so that a new setting is learnt.
	memoryNotes = 64
)

// seat is a part and how many notes of a channel were its.
type seat struct {
	part  uint16
	notes float32
}

// channel is what has been learnt of a live channel: which parts play on it.
type channel struct {
	seats  [maxSeats]seat
	total  float32 // of the seats' notes
	learnt float32 // sure notes, up to learntNotes
	met    bool
}

// meet gives a channel the parts that the score has there.
func (c *channel) meet(x *index, port uint16, number uint8) {
	c.met = true
	parts := x.address[address(port, number)]
	if len(parts) > maxSeats {
		return // it says next to nothing
	}
	for i, p := range parts {
		c.seats[i] = seat{p, addressNotes / float32(len(parts))}
		c.total = addressNotes
	}
}

// plays is the probability that a note of the channel is the part's.
func (c *channel) plays(x *index, part uint16) float64 {
	n := float64(0)
	for i := range c.seats {
		if c.seats[i].part == part {
			n += float64(c.seats[i].notes)
		}
	}
	return (n + anywhereNotes*x.share[part]) / (float64(c.total) + anywhereNotes)
}

// learn notes that a note of the channel was the part's, or was with some probability.
// Of more parts than there are seats, those are kept that play most.
func (c *channel) learn(part uint16, sure float32) {
	c.learnt = min(c.learnt+sure, learntNotes)
	at, least := -1, 0
	for i := range c.seats {
		if c.seats[i].part == part && c.seats[i].notes > 0 {
			at = i
		}
		if c.seats[i].notes < c.seats[least].notes {
			least = i
		}
	}
	if at < 0 {
		at = least
		if c.seats[at].notes > sure {
			c.seats[at].notes -= sure
			c.total -= sure
			return
		}
		c.total -= c.seats[at].notes
		c.seats[at] = seat{part: part}
	}
	c.seats[at].notes += sure
	c.total += sure
	if c.total > memoryNotes {
		c.total = 0
		for i := range c.seats {
			c.seats[i].notes /= 2
			c.total += c.seats[i].notes
		}
	}
}

// leastSeat is the share of a channel's notes from which a part is looked for there.
const leastSeat = 0.12

// sits reports whether seat i counts.
func (c *channel) sits(i int) bool {
	return c.seats[i].notes > 0 && c.seats[i].notes >= leastSeat*c.total
}
