package voices

import (
	"math"
	"testing"
)

// singing is a score of three parts in which the tune goes, after so many bars, from the first to the last;
// the others hold chords or go round a figure.
func singing(bars, change int) (parts [][]Sung, kinds []Kind) {
	parts, kinds = make([][]Sung, 3), []Kind{{Leads: true}, {}, {Leads: true}}
	tune := []int{0, 2, 4, 5, 7, 5, 9, 7, 11, 12, 9, 5, 4, 7, 2, 0}
	add := func(part int, beat, length float64, key int) {
		parts[part] = append(parts[part], Sung{From: beat, To: beat + length, Key: key})
	}
	for bar := range bars {
		at := float64(4 * bar)
		lead, base := 0, 76
		if bar >= change {
			lead, base = 2, 57
		}
		for i := range 4 {
			add(lead, at+float64(i), 1, base+tune[(4*bar+i)%len(tune)])
		}
		for part := range 3 {
			if part != lead {
				add(part, at, 4, 48+7*part)
			}
		}
	}
	return parts, kinds
}

// The tune is where it is written, at once where it changes, and no longer where it was.
func TestTuneOfAScore(t *testing.T) {
	const bars, change = 24, 12
	p := ReadParts(singing(bars, change))
	holder, salience := p.Tune()
	wrong := 0
	for step, h := range holder {
		want := 0
		if step >= 4*change {
			want = 2
		}
		if h != want {
			wrong++
		}
		if s := salience[step*3+h]; s != 1 {
			t.Fatalf("who has the tune has the salience %v", s)
		}
	}
	if wrong > 2 {
		t.Errorf("in %d of %d quarters another part has the tune", wrong, len(holder))
	}
}

// Neither the height of the whole nor the order of the parts' notes makes a difference.
func TestTuneOfAScoreIsTransposed(t *testing.T) {
	parts, kinds := singing(16, 8)
	x, _ := ReadParts(parts, kinds).Tune()
	for i := range parts {
		for k := range parts[i] {
			parts[i][k].Key += 5
		}
	}
	y, _ := ReadParts(parts, kinds).Tune()
	for i := range x {
		if x[i] != y[i] {
			t.Fatalf("a fourth higher, quarter %d is another part's", i)
		}
	}
}

func TestNoPartsToCompare(t *testing.T) {
	long, kinds := singing(2, 1)
	long[0][0].From, long[0][0].To = 1e9, 1e9+1
	for name, parts := range map[string][][]Sung{"no notes": {{}, {}, {}}, "one part": {{{From: 0, To: 1}}}, "too long": long} {
		if ReadParts(parts, kinds[:len(parts)]) != nil {
			t.Errorf("%s: a tune is found", name)
		}
	}
}

// The table's terms are finite, whatever is played.
func TestTuneTermsAreFinite(t *testing.T) {
	p := ReadParts(singing(8, 4))
	to := make([]float64, 3*len(tuneTerms))
	_, steps := p.Size()
	for step := range steps {
		p.Terms(step, to)
		for i, x := range to {
			if math.IsNaN(x) || math.Abs(x) > 20 {
				t.Fatalf("%s is %v", tuneTerms[i%len(tuneTerms)], x)
			}
		}
	}
}
