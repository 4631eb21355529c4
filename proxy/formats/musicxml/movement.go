package musicxml

import (
	"slices"
	"strings"
)

// middles are the words with which the middle part of a movement begins, after which the
// first part comes again (common practice, no published source).
var middles = []string{"trio", "minore", "maggiore", "alternativo", "musette"}

// startsMiddle reports whether words begin the middle part of a movement.
func startsMiddle(words string) bool {
	words = strings.ToLower(strings.TrimSpace(words))
	return slices.ContainsFunc(middles, func(m string) bool {
		rest, ok := strings.CutPrefix(words, m)
		return ok && (rest == "" || rest[0] < 'a')
	})
}

// movements are the measures with which movements start. No element of the format says so. A
// movement is taken to start after a final bar line, or after a measure that jumps back, where
// the measures are counted from the start again, or where key, metre and tempo are all said
// anew. What words call a trio is not one; nor is what has an order to jump back and no Fine, when
// before it there is a Fine that no jump leads to.
func (fs frames) movements() []int {
	var starts []int
	counted := fs.countedAgain()
	for k := range fs {
		if k == 0 || fs.startsMovement(k, counted) {
			starts = append(starts, k)
		}
	}
	kept := starts[:0:0]
	for i, k := range starts {
		if i == 0 || !fs.continues(starts, i) {
			kept = append(kept, k)
			fs[k].movement = true
		}
	}
	return kept
}

// startsMovement reports whether a movement starts with a measure that is not the first; counted
// says by measure what countedAgain found.
func (fs frames) startsMovement(k int, counted []bool) bool {
	f, before := &fs[k], &fs[k-1]
	closed := before.final || before.dacapo.set || before.dalsegno.set
	anew := f.metre && f.key && f.tempo
	again := counted[k] && !before.implicit || f.implicit && k+1 < len(fs) && counted[k+1]
	return !f.middle && (closed && (again || anew) || again && f.metre && f.key)
}

// countedAgain finds the measures with which the numbers start again with one.
func (fs frames) countedAgain() []bool {
	counted := make([]bool, len(fs))
	last := unsaid // number of a counted measure before
	for k := range fs {
		n, ok := fs[k].number()
		if !ok {
			continue
		}
		counted[k] = n <= 1 && last >= n
		if !fs[k].implicit {
			last = n
		}
	}
	return counted
}

// continues reports whether a supposed movement is the rest of the one before, whose Fine ends it.
func (fs frames) continues(starts []int, i int) bool {
	end := len(fs)
	if i+1 < len(starts) {
		end = starts[i+1]
	}
	fine, jumps := fs.ends(starts[i], end)
	fineBefore, jumpsBefore := fs.ends(starts[i-1], starts[i])
	return jumps && !fine && fineBefore && !jumpsBefore
}

// ends reports what some measures have of Fine and of orders to jump back.
func (fs frames) ends(from, to int) (fine, jumps bool) {
	for k := from; k < to; k++ {
		fine = fine || fs[k].fine
		jumps = jumps || fs[k].dacapo.set || fs[k].dalsegno.set
	}
	return fine, jumps
}

// middle is the measure before which a movement ends when it is played again from a measure on,
// ordered by one in its middle part: with that part, if no Fine or coda says otherwise. It is unsaid
// where there is no such part.
func (fs frames) middle(from, order int) int {
	at := unsaid
	for k := from; k <= order; k++ {
		f := &fs[k]
		if f.fine || f.tocoda.set {
			return unsaid
		}
		if at == unsaid && k > from && f.middle {
			at = k
		}
	}
	return at
}
