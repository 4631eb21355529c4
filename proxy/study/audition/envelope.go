package audition

import "math"

// envelope is how a sound begins and ends: a raised cosine up, an exponential
// down from wherever it is.
type envelope struct {
	age, attack float64 // frames
	fall        float64 // factor reached by the release
	release     float64 // frames of the release's time constant; 0 while held
	was         float64 // the value at the end of the last stretch
}

const (
	// gone is the share of its level at which a released sound ends: 80 dB down.
	gone = 1e-4
	// chokeMs is the time constant of all sound off: silent within 15 ms, no click.
	chokeMs = 1.5
)

func newEnvelope(attackMs float64) envelope {
	return envelope{attack: attackMs * SampleRate / 1000, fall: 1}
}

// advance goes n frames on and gives the value at the start and at the end of
// them. The last stretch of a sound ends on 0.
func (e *envelope) advance(n int) (from, to float64) {
	from = e.was
	e.age += float64(n)
	if e.release > 0 {
		e.fall *= math.Exp(-float64(n) / e.release)
	}
	if e.fall < gone {
		e.fall = 0
	}
	to = e.fall
	if e.age < e.attack {
		to *= (1 - math.Cos(math.Pi*e.age/e.attack)) / 2
	}
	e.was = to
	return from, to
}

// end starts the release; a shorter one may still take its place.
func (e *envelope) end(ms float64) {
	frames := ms * SampleRate / 1000
	if e.release == 0 || frames < e.release {
		e.release = frames
	}
}

// decay is the factor that frames bring to what loses 60 dB in t60 seconds.
func decay(t60, frames float64) float64 { return math.Pow(10, -3*frames/(t60*SampleRate)) }

func (e *envelope) done() bool { return e.fall == 0 }
