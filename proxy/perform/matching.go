package perform

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/expr/meter"
)

// matching tells by how much the raw performance is louder than the shaped one, over all that
// has been played: modelled as ITU-R BS.1770 measures a recording. Each sounding note has the
// power that its sampler gives it by velocity and controllers, weighted by the standard's
// filter; powers add up over notes and parts, are averaged over 400 ms four times in that, and the
// passages that the standard's gate leaves out count for nothing.
//
// What it cannot know is the sampler's own spectrum and room: these are alike on both sides.
type matching struct {
	sides   [2]listened     // raw as it came in, and shaped
	weights []*[128]float64 // port*16+channel: by key, power of a note at full; nil if nobody is seated
	colours *colours
	at      time.Duration
	started bool
}

// listened is one side as it is heard.
type listened struct {
	meter  *meter.Meter
	last   [windowSteps]float64 // powers of the latest steps
	step   int
	counts [gateBins]uint32  // of windows, by their level in dB
	sums   [gateBins]float64 // of their powers
}

// The windows and gates of ITU-R BS.1770-5, Annex 1 (from a secondary copy).
const (
	matchStep   = 100 * time.Millisecond
	windowSteps = 4   // 400 ms
	softestDB   = -90 // dB re one note at full: under the standard's absolute gate of -70 LKFS with room for a soft sampler; ours
	gateBins    = 130 // up to 40 dB, many notes at full
	relativeDB  = -10
)

// leastHeard is how many windows over the gate it takes for a loudness. Ours: a second and a half.
const leastHeard = 15

func newMatching(ports int, known *colours) *matching {
	m := &matching{weights: make([]*[128]float64, ports*16), colours: known}
	for i := range m.sides {
		m.sides[i].meter = meter.New(ports)
	}
	return m
}

// seat tells who plays a channel. A sampler's presets are taken to be about equally loud on a meter, a section's
// and a soloist's alike, as [habits.OrchestraWeight] takes them to be; where a recording has shown how loud one
// is, it is that.
func (m *matching) seat(port, channel int, p *expr.Profile) {
	for i := range m.sides {
		m.sides[i].meter.Seat(port, channel, p)
	}
	if p == nil {
		return
	}
	weights := keyWeight
	if measured := p.Sampler.Measured; measured != nil {
		db := measured.LevelDB + m.colours.of(p.Instrument)
		for key := range weights {
			weights[key] *= math.Pow(10, (db+measured.KeyDB[key])/10)
		}
	}
	m.weights[port*16+channel] = &weights
}

// take follows an event of the engine, and reports whether time has gone on by a step.
func (m *matching) take(e *expr.Event) (stepped bool) {
	if !m.started {
		m.started, m.at = true, e.At
	}
	// A long rest counts no more than its first windows: the gate would leave the others out.
	if rest := e.At - m.at - 2*windowSteps*matchStep; rest > 0 && m.silent() {
		m.at += rest
	}
	for e.At-m.at >= matchStep {
		m.at += matchStep
		stepped = true
		for i := range m.sides {
			m.sides[i].hear(m.weights)
		}
	}
	for i, side := range [...]expr.Side{expr.Raw, expr.Shaped} {
		if e.Side&side != 0 {
			m.sides[i].meter.Take(e)
		}
	}
	return stepped
}

func (m *matching) silent() bool {
	return m.sides[0].power(m.weights) == 0 && m.sides[1].power(m.weights) == 0
}

// louderDB is by how much the raw side is louder, and false until enough has been heard.
func (m *matching) louderDB() (db float64, ok bool) {
	raw, okRaw := m.sides[0].loudness()
	shaped, okShaped := m.sides[1].loudness()
	return raw - shaped, okRaw && okShaped
}

// power is what sounds now, re one note at full.
func (l *listened) power(weights []*[128]float64) (sum float64) {
	for i, of := range weights {
		port, channel := i/16, i%16
		if _, sounds := l.meter.Level(port, channel); !sounds || of == nil {
			continue
		}
		for key := range uint8(128) {
			if db, ok := l.meter.KeyLevel(port, channel, key); ok {
				sum += math.Pow(10, db/10) * of[key]
			}
		}
	}
	return sum
}

// hear takes one step of what sounds now.
func (l *listened) hear(weights []*[128]float64) {
	l.last[l.step%windowSteps] = l.power(weights)
	l.step++
	if l.step < windowSteps {
		return
	}
	mean := 0.0
	for _, p := range l.last {
		mean += p / windowSteps
	}
	if bin := int(math.Floor(10*math.Log10(mean))) - softestDB; mean > 0 && bin >= 0 {
		bin = min(bin, gateBins-1)
		l.counts[bin]++
		l.sums[bin] += mean
	}
}

// loudness is the gated mean, dB.
func (l *listened) loudness() (db float64, ok bool) {
	mean, _ := l.mean(0)
	mean, n := l.mean(int(math.Floor(10*math.Log10(mean)+relativeDB)) - softestDB)
	return 10 * math.Log10(mean), n >= leastHeard
}

// mean is the mean power of the windows from a bin up, and how many they are.
func (l *listened) mean(from int) (power float64, n uint32) {
	for bin := max(from, 0); bin < gateBins; bin++ {
		power += l.sums[bin]
		n += l.counts[bin]
	}
	return power / float64(max(n, 1)), n
}

// keyWeight is what the standard's filter makes of the power of a note: of a tone whose partials
// fall by 6 dB an octave, as a bowed string's do on the whole. Ours.
var keyWeight = func() (weights [128]float64) {
	const partials, highest = 16, 16000
	for key := range weights {
		hz, sum, all := acoustics.KeyPitch(float64(key)).Hz(), 0.0, 0.0
		for n := 1.0; n <= partials && n*hz < highest; n++ {
			power := 1 / (n * n)
			all += power
			sum += power * math.Pow(10, acoustics.KWeightDB(n*hz)/10)
		}
		weights[key] = sum / all
	}
	return weights
}()
