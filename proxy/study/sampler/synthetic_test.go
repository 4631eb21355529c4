package sampler

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
)

// voice is a sampler's sound of which all is known.
type voice struct {
	gainDB         float64
	keyDB          float64 // for each octave over the middle key
	attack         time.Duration
	ownCents       float64
	ownHz          float64
	cents, hz      float64 // of controller 1 at 127
	decay          float64 // dB a second while a key is down
	release        float64 // dB a second after it
	ignoresDynamic bool
}

var voices = []voice{
	{gainDB: -6, keyDB: 3, attack: 60 * time.Millisecond, ownCents: 20, ownHz: 5.5, cents: 80, hz: 8.2, release: 150},
	{gainDB: -12, keyDB: -2, attack: 2 * time.Millisecond, decay: 12, release: 200},
}

// take is how it is recorded.
type take struct {
	rate      int
	offset    time.Duration // silence before the probe
	drift     float64       // of the recorder's clock
	noiseDB   float64       // re full scale; 0: none
	dc        float64
	dead      bool          // a second channel that holds nothing
	tail      time.Duration // reverberation time
	clip      float64       // gain into full scale; 0: none
	bandLimit float64       // Hz; 0: none
}

func subjects(t testing.TB) []Subject {
	t.Helper()
	lib, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	var all []Subject
	for i, name := range []string{"flute", "piano"} {
		p, err := lib.Resolve(name)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, Subject{Name: name, Channel: i, ProfileName: name, Profile: p, Players: 1, Low: 60, High: 84})
	}
	return all
}

// record plays a probe with voices and records it.
func record(p *Plan, voices []voice, how take) *Recording {
	rate := float64(how.rate) * (1 + how.drift)
	length := int((p.Length + how.offset + 200*time.Millisecond).Seconds() * rate)
	x := make([]float32, length)
	for i := range p.notes {
		n := &p.notes[i]
		p.sound(x, n, &voices[n.subject], rate, how.offset.Seconds())
	}
	if how.tail > 0 {
		reverberate(x, how.tail.Seconds()*rate)
	}
	if how.bandLimit > 0 {
		a := float32(1 - math.Exp(-2*math.Pi*how.bandLimit/rate))
		low, lower := float32(0), float32(0)
		for i := range x {
			low += a * (x[i] - low)
			lower += a * (low - lower)
			x[i] = lower
		}
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range x {
		if how.noiseDB != 0 {
			x[i] += float32(rng.NormFloat64() * math.Pow(10, how.noiseDB/20))
		}
		x[i] += float32(how.dc)
		if how.clip > 0 {
			x[i] = min(max(x[i]*float32(how.clip), -1), 1)
		}
	}
	r := &Recording{Rate: how.rate, Channels: [][]float32{x}}
	if how.dead {
		r.Channels = append(r.Channels, make([]float32, length))
	}
	return r
}

// sound adds one note. Controllers are looked up as they stand at each millisecond.
func (p *Plan) sound(x []float32, n *note, v *voice, rate, offset float64) {
	from := n.at.Seconds() + offset
	held := n.length.Seconds()
	until := held + 60/max(v.release, 20)
	db := v.gainDB + law(float64(n.velocity)) + v.keyDB*(float64(n.key)-72)/12
	f := 440 * math.Exp2((float64(n.key)-69)/12)
	phase, level, cents := 0.0, 0.0, 0.0
	step := int(rate / 1000)
	for i := 0; float64(i)/rate < until; i++ {
		at := float64(i) / rate
		if i%step == 0 {
			now := time.Duration((n.at.Seconds() + at) * float64(time.Second))
			dyn := law(float64(p.standing(n.subject, expression, now, 127)))
			if v.ignoresDynamic {
				dyn = 0
			}
			vol := law(float64(p.standing(n.subject, expr.CCVolume, now, 100))) - law(100)
			gain := db + dyn + vol - v.decay*min(at, held)
			if at > held {
				gain -= v.release * (at - held)
			}
			level = math.Pow(10, gain/20) * min(at/max(v.attack.Seconds(), 1e-4), 1)
			depth := float64(p.standing(n.subject, modulation, now, 0)) / 127 * v.cents
			cents = v.ownCents/2*math.Sin(2*math.Pi*v.ownHz*at) + depth/2*math.Sin(2*math.Pi*v.hz*at) + 200*p.bend(n.subject, now)
		}
		phase += f * math.Exp2(cents/1200) / rate
		if k := int((from+at)*rate + 0.5); k >= 0 && k < len(x) {
			x[k] += float32(level * (math.Sin(2*math.Pi*phase) + 0.5*math.Sin(4*math.Pi*phase) + 0.25*math.Sin(6*math.Pi*phase)))
		}
	}
}

// standing is where a controller stands at a time.
func (p *Plan) standing(subject, number int, now time.Duration, value int) int {
	for i := range p.messages {
		m := &p.messages[i]
		if m.subject == subject && m.data[0]&0xF0 == 0xB0 && int(m.data[1]) == number && m.at <= now {
			value = int(m.data[2])
		}
	}
	return value
}

func (p *Plan) bend(subject int, now time.Duration) (share float64) {
	for i := range p.messages {
		m := &p.messages[i]
		if m.subject == subject && m.data[0]&0xF0 == 0xE0 && m.at <= now {
			share = (float64(int(m.data[1])|int(m.data[2])<<7) - 8192) / 8192
		}
	}
	return share
}

// reverberate adds what parallel combs make of a sound, 12 dB under it.
func reverberate(x []float32, frames float64) {
	dry := append([]float32(nil), x...)
	for _, delay := range []float64{0.0297, 0.0371, 0.0411, 0.0437, 0.0533, 0.0617} {
		d := int(delay / 1.5 * frames)
		d = min(max(d, 500), 4000)
		g := float32(math.Pow(10, -3*float64(d)/frames))
		line := make([]float32, d)
		for i, s := range dry {
			out := line[i%d]
			line[i%d] = s*0.05 + out*g
			x[i] += out
		}
	}
}
