package timing

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// Beat is how an ensemble takes one beat of a piece.
type Beat struct {
	At    time.Duration // where it begins, in written time
	Log   float64       // log of how long it lasts re the written time, at quantity 1
	Inner float64       // the same without the slowing to the end of the piece
}

// flow is a tempo that is known beat by beat: a smooth line through the beats as they are played,
// which never turns back (F. Fritsch and R. Carlson, "Monotone piecewise cubic interpolation",
// SIAM J. Numer. Anal. 17, 1980).
type flow struct {
	at     []time.Duration // written
	played []float64       // ns
	slope  []float64       // of played by written time
	bound  float64         // of each shift, ns
}

// Unheld is the bound from which on a [Flow] is played as it is: nobody keeps the beat.
const Unheld = time.Minute

// tightest is the most of its bound that a held flow may come to by itself. Ours: the rest
// is for the players about it.
const tightest = 0.8

// Flow makes the warp of a tempo that is known beat by beat, of quantity k from 0 for none to 2.
// Where nobody else keeps the beat, which a bound of a minute or more says, each beat lasts as
// it is said to, and the piece keeps its tempo, so that only its end makes it longer; else what is borrowed is paid back within about
// payback, no moment is shifted by more than bound, and the slowing to the end is left to a [Ritard].
//
// last is the onset of the last note. Beats that are not in the order of time are left out.
func Flow(beats []Beat, last time.Duration, k float64, bound time.Duration) *Warp {
	k = quantity(k)
	held := bound < Unheld
	f := &flow{bound: math.Inf(1)}
	if held {
		f.bound = float64(bound)
	}
	var shifts []float64
	shift, mean := 0.0, 0.0
	if !held {
		mean = meanOf(beats, last, k)
	}
	for i, b := range beats {
		if n := len(f.at); n > 0 && b.At <= f.at[n-1] {
			continue
		}
		end := last
		if i+1 < len(beats) {
			end = beats[i+1].At
		}
		f.at, shifts = append(f.at, b.At), append(shifts, shift)
		length := float64(max(end-b.At, 1))
		if held {
			shift = shift*math.Exp(-length/float64(flowPayback)) + (math.Exp(k*b.Inner)-1)*length
		} else {
			shift += (math.Exp(k*b.Log)/mean - 1) * length
		}
		if i == len(beats)-1 && end > b.At {
			f.at, shifts = append(f.at, end), append(shifts, shift)
		}
	}
	if len(f.at) < 2 || k == 0 || bound <= 0 {
		return &Warp{}
	}
	most := 0.0
	for i, s := range shifts {
		if held {
			s = tightest * float64(bound) * math.Tanh(s/(tightest*float64(bound)))
		}
		most = max(most, math.Abs(s))
		f.played = append(f.played, float64(f.at[i])+s)
	}
	f.smooth()
	if held {
		return &Warp{flow: f, most: bound}
	}
	return &Warp{flow: f, most: time.Duration(math.Ceil(most))}
}

// meanOf is how long a piece lasts, without the slowing to its end, re its written time.
func meanOf(beats []Beat, last time.Duration, k float64) float64 {
	written, played := 0.0, 0.0
	for i, b := range beats {
		end := last
		if i+1 < len(beats) {
			end = beats[i+1].At
		}
		length := float64(max(end-b.At, 0))
		written += length
		played += length * math.Exp(k*b.Inner)
	}
	if written == 0 {
		return 1
	}
	return played / written
}

// flowPayback is within what time a held flow is paid back to a part of 1/e. Ours, about a bar or two.
const flowPayback = 4 * time.Second

// steepestFlow is the most that a beat may be hurried, and slack holds the slopes at its ends, so
// that within it too two moments come closer by less than half: in the middle of a step s
// between slopes a and b the line goes on by (6s-a-b)/4.
const (
	steepestFlow = 0.6
	slack        = 1.03
)

// smooth has the line go on no faster than it may, and finds its slopes.
func (f *flow) smooth() {
	n := len(f.at)
	step := make([]float64, n-1)
	for i := range step {
		h := float64(f.at[i+1] - f.at[i])
		f.played[i+1] = max(f.played[i+1], f.played[i]+steepestFlow*h)
		step[i] = (f.played[i+1] - f.played[i]) / h
	}
	f.slope = make([]float64, n)
	f.slope[0], f.slope[n-1] = step[0], step[n-2]
	for i := 1; i < n-1; i++ {
		a, b := step[i-1], step[i]
		x, y := float64(f.at[i]-f.at[i-1]), float64(f.at[i+1]-f.at[i])
		f.slope[i] = 3 * (x + y) / ((2*y+x)/a + (y+2*x)/b) // harmonic: between the two, and nearer the slower
		f.slope[i] = min(f.slope[i], 3*a-slack, 3*b-slack)
	}
}

// where is the step that t is in, how long it is, and how far t is in it.
func (f *flow) where(t time.Duration) (i int, h, x float64) {
	i, found := slices.BinarySearchFunc(f.at, t, func(a, b time.Duration) int { return cmp.Compare(a, b) })
	if !found {
		i--
	}
	i = min(max(i, 0), len(f.at)-2)
	h = float64(f.at[i+1] - f.at[i])
	return i, h, float64(t-f.at[i]) / h
}

// shift is the shift at t, ns. Before the first beat and after the last it goes on as there, and
// within the bound everywhere: the line may bow out between two beats.
func (f *flow) shift(t time.Duration) float64 {
	return min(max(f.free(t), -f.bound), f.bound)
}

// free is the same without the bound.
func (f *flow) free(t time.Duration) float64 {
	i, h, x := f.where(t)
	switch {
	case x < 0:
		return 0
	case x > 1:
		return f.played[i+1] + f.slope[i+1]*float64(t-f.at[i+1]) - float64(t)
	}
	y, z := f.played[i], f.played[i+1]
	s := y + h*x*((1-x)*(1-x)*f.slope[i]-x*(1-x)*f.slope[i+1]) + (z-y)*x*x*(3-2*x)
	return s - float64(t)
}

// speed is how much later it gets at t, a unit of time.
func (f *flow) speed(t time.Duration) float64 {
	i, h, x := f.where(t)
	switch {
	case x < 0 || math.Abs(f.free(t)) > f.bound:
		return 0
	case x > 1:
		return f.slope[i+1] - 1
	}
	return (f.played[i+1]-f.played[i])/h*6*x*(1-x) + f.slope[i]*(1-x)*(1-3*x) + f.slope[i+1]*x*(3*x-2) - 1
}
