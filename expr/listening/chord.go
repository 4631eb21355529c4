package listening

// faint is the share of the loudest pitch class under which another is not held to be part of the
// chord. Ours, not published.
const faint = 1.0 / 8

// chordForm is a kind of chord.
type chordForm struct {
	tones []int // semitones above the root
	rare  bool  // taken only if all its tones sound, and then slightly less gladly
}

// chordForms are the chords that are known. Those of the source: major, minor and diminished
// triad, dominant, half-diminished and diminished seventh. The rest is ours, as is that those
// are rare that share most of their notes with a plainer chord.
var chordForms = []chordForm{
	{tones: []int{0, 4, 7}},
	{tones: []int{0, 3, 7}},
	{tones: []int{0, 3, 6}},
	{tones: []int{0, 4, 8}, rare: true},
	{tones: []int{0, 7}},
	{tones: []int{0, 5, 7}},
	{tones: []int{0, 2, 7}, rare: true},
	{tones: []int{0, 4, 7, 10}},
	{tones: []int{0, 4, 7, 11}},
	{tones: []int{0, 3, 7, 10}},
	{tones: []int{0, 3, 7, 11}},
	{tones: []int{0, 3, 6, 10}},
	{tones: []int{0, 3, 6, 9}},
	{tones: []int{0, 4, 7, 9}, rare: true},
	{tones: []int{0, 3, 7, 9}, rare: true},
	{tones: []int{0, 2, 4, 7, 10}},
}

// Ours, not published.
const (
	slightly  = 0.05 // taken from the score of a rare form
	bassBonus = 0.15 // added to that of a root in the bass
)

// Root is the pitch class of the root of a chord, and how sure that is: 0 for a toss-up, 0.35
// or more for a major or minor triad, a dominant or a major seventh in any inversion, 1 at
// most. bass is the pitch class, or the MIDI note, of the lowest note, or negative if nobody
// knows it. Of two roots with equal claims it is the one less far above the bass. One pitch
// class alone is its own root, with sureness 0; no notes have the root [Unknown].
//
// Each kind of chord is laid on each root. It scores the share of the weight that lies on its
// tones, less the share that lies beside them, less the share of its tones that do not sound.
// The best is taken. Sureness is by how much it is better than the best on any other root,
// times its own score where that is under 1.
//
// Source of scoring by what fits, less what does not, less what is missing: B. Pardo and W. P.
// Birmingham, "Algorithms for chordal analysis", Computer Music Journal 26(2) (2002) 27-49,
// from memory. Ours are the shares in place of counts, that a missing root counts twice, and
// what the bass does; in the source ties are broken by the weight of the root.
func Root(c *Chroma, bass int) (root int, sure float64) {
	sounding, classes := c.sounding()
	if classes == 0 {
		return Unknown, 0
	}
	from := max(bass, 0)
	root, best, second := Unknown, 0.0, 0.0
	for up := range 12 {
		r := pitchClass(from + up)
		score := sounding.bestForm(r)
		if up == 0 && bass >= 0 {
			score += bassBonus
		}
		switch {
		case root == Unknown:
			root, best = r, score
		case score > best+1e-9: // what rounding makes is no difference
			root, best, second = r, score, max(best, 0)
		default:
			second = max(second, score)
		}
	}
	if classes == 1 || best <= second {
		return root, 0
	}
	return root, min((best-second)*min(best, 1), 1)
}

// sounding is what is not faint, as shares of 1, and how many pitch classes that are.
func (c *Chroma) sounding() (s Chroma, classes int) {
	loudest := 0.0
	for _, w := range c {
		loudest = max(loudest, w)
	}
	if loudest == 0 {
		return s, 0
	}
	for i, w := range c {
		if w >= faint*loudest {
			s[i] = w
			classes++
		}
	}
	sum := s.sum()
	for i := range s {
		s[i] /= sum
	}
	return s, classes
}

// bestForm is the score of the chord form that fits best on a root, for weights that are
// shares of 1.
func (c *Chroma) bestForm(root int) float64 {
	var above Chroma // by semitones above the root
	for i := range above {
		above[i] = c[pitchClass(root+i)]
	}
	best := -3.0 // under any score
	for i := range chordForms {
		form := &chordForms[i]
		fits, missing := 0.0, 0
		for _, tone := range form.tones {
			fits += above[tone]
			if above[tone] == 0 {
				missing++
			}
		}
		if form.rare && missing > 0 {
			continue
		}
		if above[0] == 0 {
			missing++
		}
		score := 2*fits - 1 - float64(missing)/float64(len(form.tones))
		if form.rare {
			score -= slightly
		}
		best = max(best, score)
	}
	return best
}

// foreignness is how remarkable a note is over a chord, by semitones above the root.
//
// Source: A. Friberg, "Generative rules for music performance", Computer Music Journal 15(2)
// (1991) 56-71, from memory.
var foreignness = [12]float64{0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5}

// Foreignness is how remarkable a note is over a chord, 0 to 6.5, by its distance in
// semitones, of either sign and any size, above the chord's root.
//
// Source: Friberg 1991, from memory.
func Foreignness(aboveRoot int) float64 { return foreignness[pitchClass(aboveRoot)] }

// Remoteness is how remarkable a chord is in a key, 0 for its tonic chord, 1 for its
// dominant, up to about 5: the mean [Foreignness] of the chord's notes above the key's
// tonic, by their weights, less that of the tonic chord, and not less than 0. No notes have
// none.
//
// Source: that it is a weighted sum of the values of notes with the tonic for root is
// Friberg's (1991), from memory; what the weights are, and the tonic chord as zero, are ours.
func Remoteness(c *Chroma, tonic int, minor bool) float64 {
	sum := c.sum()
	if sum <= 0 {
		return 0
	}
	third := 4
	if minor {
		third = 3
	}
	remote := 0.0
	for i, w := range c {
		remote += w / sum * Foreignness(i-tonic)
	}
	return max(remote-(Foreignness(0)+Foreignness(third)+Foreignness(7))/3, 0)
}
