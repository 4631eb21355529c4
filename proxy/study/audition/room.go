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

// oldest is the sample that the next put takes the place of.
func (d *delay) oldest() float32 { return d.buf[d.at] }

func (d *delay) put(x float32) {
	d.buf[d.at] = x
	if d.at++; d.at == len(d.buf) {
		d.at = 0
	}
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
	for j := range left {
		in := r.pre.oldest()
		r.pre.put((left[j]+right[j])/2 + nearSilence)
		var out [8]float32
		sum := float32(0)
		for i := range out {
			x := r.lines[i].oldest() * r.keep[i]
			x += roomDarken * (r.dark[i] - x)
			r.dark[i] = x
			out[i] = x
			sum += x
		}
		// A Householder reflection: each line gets itself less a quarter of all.
		sum /= 4
		for i := range out {
			r.lines[i].put(in + out[i] - sum)
		}
		left[j] += roomWet * (out[0] - out[2] + out[4] - out[6])
		right[j] += roomWet * (out[1] - out[3] + out[5] - out[7])
	}
}
