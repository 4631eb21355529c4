package evidence

import (
	"testing"
	"time"

	"swellbox/proxy/perform"
)

// pedalling is when the foot moves under chords that follow each other.
func pedalling(t *testing.T) []finding {
	var shares, lifts, presses []float64
	for _, ioi := range []time.Duration{500, 1000, 2000} {
		share, lift, press := footwork(t, ioi*time.Millisecond)
		shares, lifts, presses = append(shares, share), append(lifts, lift), append(presses, press)
	}
	return []finding{
		{
			what: "chords, each another harmony, at which the foot changes", unit: "%", low: 95, high: 100, got: both(shares...),
			published: "all: legato pedalling", source: "Repp 1997", want: reach,
			why: "The foot does what the feet of pianists were measured to do with such notes (package pedalling), and now and then that is to stay.",
		},
		{
			what: "lift after the chord's onset, chords 0.5 to 2 s apart", unit: "ms", low: 50, high: 120, got: both(lifts...),
			source: "from memory, not sure", want: reach,
			why: "In 439 performances of 190 pieces 59 % of lifts come within 50 ms of an onset; the foot lifts as they do, and is down again 139 ms later in the median.",
		},
		{
			what: "down again after the lift", unit: "ms", low: 100, high: 250, got: both(presses...),
			source: "from memory, not sure", want: within,
		},
		{
			what: "growth of both delays where the chords are four times as slow", digits: 1, low: 1.1, high: 3.9,
			got: both(lifts[2]/lifts[0], presses[2]/presses[0]), published: "more than 1, less than 4",
			source: "Repp 1997: later in slower music, less than in proportion", want: reach,
			why: "As above.",
		},
	}
}

// footwork is the percentage of chords at which the foot changes, the mean time from their
// first onset to the lift, and from there until it is down again, in ms.
func footwork(t *testing.T, ioi time.Duration) (share, lift, press float64) {
	t.Helper()
	s := newStudy(t, "piano")
	const count = 25
	for i := range count {
		for _, key := range [][]int{{48, 64, 67, 72}, {43, 62, 67, 71}, {45, 60, 64, 72}, {41, 60, 65, 69}}[i%4] {
			s.note(0, time.Duration(i)*ioi, ioi, key, 0)
		}
	}
	all, out := s.perform(t, manner{Manner: perform.Manner{Lookahead: ahead, Seed: 1}})
	onset := func(i int) time.Duration { return min(all[4*i].on, all[4*i+1].on, all[4*i+2].on, all[4*i+3].on) }
	var lifts, presses []float64
	for i := 1; i < count-1; i++ {
		var up time.Duration
		for k := range out {
			e := &out[k]
			if e.At < onset(i) || e.At >= onset(i+1) || e.Msg[0] != 0xB0 || e.Msg[1] != 64 {
				continue
			}
			if e.Msg[2] == 0 {
				up = e.At
				lifts = append(lifts, ms(up-onset(i)))
			} else if up > 0 {
				presses = append(presses, ms(e.At-up))
			}
		}
	}
	return 100 * float64(len(lifts)) / (count - 2), mean(lifts), mean(presses)
}
