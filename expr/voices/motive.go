package voices

// motive is the shape of a line's last four notes: three intervals and, between them,
// the ratios of their lengths. Intervals are taken by their size in steps of a scale,
// fourths and fifths as one, so that an answer on another degree has its subject's
// shape. The oldest move is lowest.
type motive uint32

const (
	motiveNotes  = 4
	intervalBits = 4
	moveBits     = intervalBits + 3
	leadIn       = motive(7) << intervalBits // the ratio to what came before the motive
)

// add takes in one move of the line.
func (m *motive) add(interval, ratio int) {
	*m = *m>>moveBits | motive(ratio<<intervalBits|intervalClass(interval))<<(2*moveBits)
}

// plain reports whether all moves are the same, as in scales and repeated notes, which
// nobody imitates.
func (m motive) plain() bool {
	const interval = 1<<intervalBits - 1
	return m&interval == m>>moveBits&interval && m&interval == m>>(2*moveBits)
}

// intervalClass is an interval in steps of a scale, with its direction: 0..15.
func intervalClass(semitones int) int {
	sizes := [...]int{0, 1, 1, 2, 2, 3, 3, 3, 4, 4, 5, 5, 6}
	size := 7
	if far := max(semitones, -semitones); far < len(sizes) {
		size = sizes[far]
	}
	if semitones < 0 {
		return 8 + size
	}
	return size
}

// said is a motive that was heard: of which part, and when.
type said struct {
	shape motive
	part  int32
	at    float64 // paces
}

// memoir holds the latest motives, in a table that forgets what collides.
type memoir []said

func newMemoir(bits int) memoir {
	m := make(memoir, 1<<bits)
	m.reset()
	return m
}

func (m memoir) reset() {
	for i := range m {
		m[i].part = nobody
	}
}

// nobody is no part or voice.
const nobody = -1

func (m memoir) slot(shape motive) *said {
	const golden = 0x9E3779B97F4A7C15 // 2^64 over the golden ratio: Fibonacci hashing (Knuth, from memory)
	return &m[uint64(shape)*golden>>32&uint64(len(m)-1)]
}

// Imitation follows its motive by more than a doubling's time and before it is forgotten.
const (
	soonestEcho = 1.5 // paces
	latestEcho  = 96  // paces
)

// echoes reports whether a motive that a part ends now was another's lately.
func (m memoir) echoes(l *line, part int) bool {
	if l.since < motiveNotes || l.shape.plain() {
		return false
	}
	shape := l.shape &^ leadIn
	s := m.slot(shape)
	ago := l.last - s.at
	return s.part != nobody && s.shape == shape && int(s.part) != part && ago >= soonestEcho && ago <= latestEcho
}

// keep remembers the motive that a part ends now.
func (m memoir) keep(l *line, part int) {
	if l.since >= motiveNotes && !l.shape.plain() {
		shape := l.shape &^ leadIn
		*m.slot(shape) = said{shape, int32(part), l.last}
	}
}
