package audition

// The room is one, small and the same for every take: eight delays that feed
// each other without loss but for their decay and a darkening on the way
// round. All figures are ours.
const (
	roomT60     = 1.4  // s
	roomWet     = 0.18 // amplitude of what comes back, per line
	roomDarken  = 0.35 // share of the last value in the one-pole low-pass of each line
	roomPreMs   = 18
	nearSilence = 1e-18 // keeps the delays clear of denormal numbers, which are slow
)

// roomDelays are frames without a common divisor, 29 to 60 ms.
var roomDelays = [8]int{1399, 1553, 1733, 1931, 2143, 2371, 2617, 2903}

type room struct {
	lines [8]delay
	pre   delay
	keep  [8]float32
	dark  [8]float32
}

// delay is a ring of samples.
type delay struct {
	buf []float32
	at  int
}

// roomBlock is how many frames go through the room at once: no more than any delay has.
const roomBlock = 512

// block is so many samples or fewer.
type block [roomBlock]float32

// oldest are the first n samples that the next put takes the place of.
func (d *delay) oldest(n int) (x block) {
	m := copy(x[:n], d.buf[d.at:])
	copy(x[m:n], d.buf)
	return x
}

func (d *delay) put(x []float32) {
	m := copy(d.buf[d.at:], x)
	copy(d.buf, x[m:])
	d.at = (d.at + len(x)) % len(d.buf)
}

func newRoom() *room {
	r := &room{pre: delay{buf: make([]float32, roomPreMs*SampleRate/1000)}}
	for i, n := range roomDelays {
		r.lines[i].buf = make([]float32, n)
		r.keep[i] = float32(decay(roomT60, float64(n)))
	}
	return r
}

// add adds the room's answer to both channels, in place.
func (r *room) add(left, right []float32) {
	for len(left) > 0 {
		n := min(len(left), roomBlock)
		r.answer(left[:n], right[:n])
		left, right = left[n:], right[n:]
	}
}

// answer is add for a block at most.
func (r *room) answer(left, right []float32) {
	n := len(left)
	var dry, sum block
	var out [8]block
	for j := range n {
		dry[j] = (left[j]+right[j])/2 + nearSilence
	}
	in := r.pre.oldest(n)
	r.pre.put(dry[:n])
	for i := range out {
		x, keep, dark := r.lines[i].oldest(n), r.keep[i], r.dark[i]
		for j := range n {
			y := x[j] * keep
			y += roomDarken * (dark - y)
			dark = y
			out[i][j] = y
			sum[j] += y
		}
		r.dark[i] = dark
	}
	// A Householder reflection: each line gets itself less a quarter of all.
	for i := range out {
		var back block
		for j := range n {
			back[j] = in[j] + out[i][j] - sum[j]/4
		}
		r.lines[i].put(back[:n])
	}
	for j := range n {
		left[j] += roomWet * (out[0][j] - out[2][j] + out[4][j] - out[6][j])
		right[j] += roomWet * (out[1][j] - out[3][j] + out[5][j] - out[7][j])
	}
}
