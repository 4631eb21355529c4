package fit

import (
	"bytes"
	"errors"
	"fmt"
	"go/format"
	"math"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"

	"swellbox/expr"
	"swellbox/expr/hearing"
	"swellbox/expr/lines"
	"swellbox/expr/voices"
)

// told is a movement of which an analyst says who has the tune.
type told struct {
	name  string
	fold  string
	parts *voices.Parts
	score *expr.Score
	line  [][]bool // by step, by part: it has the tune, or goes with who has it; nil: nobody says
	plays [][]bool // the same, and who plays its notes in unison or octaves though no table says so
}

// Told is an orchestral movement of which an analyst says who has the tune.
type Told struct {
	Recorded
	Lists [][]bool // by quarter note from the start, by part: it has the tune or is listed as doubling it; nil: nobody says
	Plays [][]bool // and who plays its notes in unison or octaves though it is not listed
}

// ReadTold reads the folder of one. Errors name it.
func ReadTold(folder string) (*Told, error) {
	m, err := ReadRecorded(folder)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", folder, err)
	}
	var all tunes
	if err := all.addTold(folder, m); err != nil {
		return nil, err
	}
	return &Told{Recorded: *m, Lists: all.all[0].line, Plays: all.all[0].plays}, nil
}

// tunes are all movements with their tune.
type tunes struct{ all []*told }

// addTold reads who has the tune in a movement. Annotations stand at places of the score without its repeats, of
// which alignment.csv says where they come; relations.csv, which says who goes with whom, has
// them written out.
func (t *tunes) addTold(folder string, m *Recorded) error {
	_, rows, err := table(filepath.Join(folder, "annotations.csv"))
	if err != nil {
		return err
	}
	head, relations, err := table(filepath.Join(folder, "relations.csv"))
	if err != nil {
		relations = nil
	}
	_, places, err := table(filepath.Join(folder, "alignment.csv"))
	if err != nil {
		return err
	}
	slices.SortStableFunc(places, func(a, b []string) int { return int(math.Copysign(1, number(a[1])-number(b[1]))) })
	x := &told{name: m.Name, fold: work(m.Name), parts: voices.ReadParts(hearing.SungBy(m.Score)), score: m.Score}
	if x.parts == nil {
		return fmt.Errorf("%s: too little to find a tune in", folder)
	}
	parts, steps := x.parts.Size()
	x.line, x.plays = make([][]bool, steps), make([][]bool, steps)
	tied := lines.Read(NotesOf(m.Score))
	end := m.Score.Notes[len(m.Score.Notes)-1].Beat
	for q := math.Floor(m.Score.Notes[0].Beat); q < end; q++ {
		at := q + 0.5
		k := sort.Search(len(places), func(i int) bool { return number(places[i][1]) > at }) - 1
		if k < 0 {
			continue
		}
		written := number(places[k][0]) + at - number(places[k][1])
		a := sort.Search(len(rows), func(i int) bool { return number(rows[i][0]) > written }) - 1
		if a < 0 {
			continue
		}
		main, err := strconv.Atoi(rows[a][6])
		if err != nil || main >= parts {
			continue
		}
		line := make([]bool, parts)
		line[main] = true
		for _, r := range relations {
			if number(r[0]) > at || number(r[1]) <= at {
				continue
			}
			for j, name := range head[2:] {
				if 2+j < len(r) && goesWith(r[2+j], m.Score.Parts[main]) {
					if p := slices.Index(m.Score.Parts, name); p >= 0 {
						line[p] = true
					}
				}
			}
		}
		x.line[x.parts.Step(at)] = line
		x.plays[x.parts.Step(at)] = with(tied, line, at)
	}
	t.all = append(t.all, x)
	return nil
}

// NotesOf are the notes of a score by its parts, as their lines are found.
func NotesOf(s *expr.Score) [][]lines.Note {
	parts := make([][]lines.Note, len(s.Parts))
	for i := range s.Notes {
		n := &s.Notes[i]
		parts[n.Part] = append(parts[n.Part], lines.Note{From: n.Beat, To: n.Beat + n.Length, Key: int(n.Key)})
	}
	return parts
}

// with are those who are said to have the tune at a place, and who goes with one of them for a quarter
// note before and after it: of pairs of parts that play the same notes the tables leave out one in seven.
func with(tied *lines.Lines, line []bool, at float64) []bool {
	all := slices.Clone(line)
	if tied == nil {
		return all
	}
	for main, has := range line {
		for other := range all {
			if has && !all[other] && tied.Together(main, other, tied.Step(at-1), tied.Step(at+1)+1) >= 0.9 {
				all[other] = true
			}
		}
	}
	return all
}

// goesWith reports whether relations say that a part has the main line, or goes with it in unison or octaves.
func goesWith(said, main string) bool {
	for _, s := range []string{"Main Part", "U(Main)", "P8(Main)", "U(" + main + ")", "P8(" + main + ")"} {
		if strings.Contains(said, s) {
			return true
		}
	}
	return false
}

// choices are the steps of a movement in which somebody is said to have the tune: the terms of all parts, and who has it.
type choices struct {
	terms [][]float64
	line  [][]bool
	fold  string
}

func (x *told) choices() *choices {
	parts, _ := x.parts.Size()
	c := &choices{fold: x.fold}
	for step, line := range x.plays {
		if line == nil {
			continue
		}
		t := make([]float64, parts*len(voices.TuneTerms()))
		x.parts.Terms(step, t)
		c.terms, c.line = append(c.terms, t), append(c.line, line)
	}
	return c
}

// penaltyTune holds the weights, a movement counting as one place.
const penaltyTune = 0.01

// mostRounds and nearEnough end the search for weights.
const (
	mostRounds = 25
	nearEnough = 1e-3
)

// slip is the chance that the analyst names somebody else whatever is heard, so that such a place does
// not rule.
const slip = 0.05

// logit finds the weights by which the line that is said to have the tune is the likeliest, each movement
// counting alike, by Newton's method on the chances of the softmax.
// start is where to begin; nil: nowhere.
func logit(all []*choices, start []float64) ([]float64, error) {
	n := len(voices.TuneTerms())
	w := make([]float64, n)
	copy(w, start)
	for range mostRounds {
		gradient, hessian := make([]float64, n), make([]float64, n*n)
		for _, c := range all {
			if len(c.terms) == 0 {
				continue
			}
			each := 1 / float64(len(c.terms))
			for s, t := range c.terms {
				add(gradient, hessian, t, c.line[s], w, each)
			}
		}
		for k := range w {
			gradient[k] -= penaltyTune * float64(len(all)) * w[k]
			hessian[k*n+k] += penaltyTune * float64(len(all))
		}
		if err := cholesky(hessian, gradient, n); err != nil {
			return nil, errors.New("the terms of the tune depend on each other")
		}
		far := 0.0
		for k := range w {
			w[k] += gradient[k]
			far = max(far, math.Abs(gradient[k]))
		}
		if far < nearEnough {
			break
		}
	}
	return w, nil
}

// add adds what one step says to the slope of the likelihood, and to a bound of its curvature.
func add(gradient, hessian, terms []float64, line []bool, w []float64, each float64) {
	n := len(w)
	chance := make([]float64, len(line))
	most := math.Inf(-1)
	for i := range chance {
		for k, x := range terms[i*n : (i+1)*n] {
			chance[i] += w[k] * x
		}
		most = max(most, chance[i])
	}
	sum, right := 0.0, 0.0
	for i := range chance {
		chance[i] = math.Exp(chance[i] - most)
		sum += chance[i]
	}
	for i := range chance {
		chance[i] /= sum
		if line[i] {
			right += chance[i]
		}
	}
	counts := right / (right + slip)
	mean := make([]float64, n)
	for i, p := range chance {
		for k, x := range terms[i*n : (i+1)*n] {
			mean[k] += p * x
			d := -p * counts
			if line[i] {
				d += p / (right + slip)
			}
			gradient[k] += each * d * x
		}
	}
	for i, p := range chance {
		row := terms[i*n : (i+1)*n]
		for a := range n {
			x := each * p * (row[a] - mean[a])
			for b := range a + 1 {
				hessian[a*n+b] += x * (row[b] - mean[b])
			}
		}
	}
}

// share is for how much of the time one of those who have the tune is found.
func share(has [][]bool, holder []int) float64 {
	right, all := 0.0, 0.0
	for step, line := range has {
		if line != nil {
			all++
			if h := holder[step]; h >= 0 && line[h] {
				right++
			}
		}
	}
	return right / all
}

// fitTune fits who has the tune.
func (t *tunes) fitTune() (to []byte, said string, err error) {
	var all []*choices
	var folds []string
	for _, x := range t.all {
		all = append(all, x.choices())
		folds = append(folds, x.fold)
	}
	slices.Sort(folds)
	folds = slices.Compact(folds)
	weights, err := logit(all, nil)
	if err != nil {
		return nil, "", err
	}
	n := len(weights)
	sum, square := make([]float64, n), make([]float64, n)
	found := map[float64][]float64{}
	var ours, listed []float64
	for _, fold := range folds {
		var rest []*choices
		for _, c := range all {
			if c.fold != fold {
				rest = append(rest, c)
			}
		}
		w, err := logit(rest, weights)
		if err != nil {
			return nil, "", err
		}
		for k, x := range w {
			sum[k] += x
			square[k] += x * x
		}
		for _, x := range t.all {
			if x.fold == fold {
				for _, keeps := range []float64{0, 1, 2, 3, 4, 6} {
					found[keeps] = append(found[keeps], share(x.plays, x.parts.TuneBy(w, keeps)))
				}
				listed = append(listed, share(x.line, x.parts.TuneBy(w, 2)))
			}
		}
	}
	for _, x := range t.all {
		holder, _ := x.parts.Tune()
		ours = append(ours, share(x.plays, holder))
	}
	se := make([]float64, n)
	f := float64(len(folds))
	for k := range se {
		se[k] = math.Sqrt(max(square[k]-sum[k]*sum[k]/f, 0) * (f - 1) / f)
	}
	var live, highest []float64
	for _, x := range t.all {
		l, h := x.heard()
		live, highest = append(live, l), append(highest, h)
	}
	said = fmt.Sprintf("on works left out %.3f of the time (changes costing 0, 1, 2, 3, 4, 6: %.3f %.3f %.3f %.3f %.3f %.3f); of those alone who are listed %.3f; by the table as it stands %.3f, without a score %.3f, the highest that sounds %.3f",
		mean(found[2]), mean(found[0]), mean(found[1]), mean(found[2]), mean(found[3]), mean(found[4]), mean(found[6]), mean(listed), mean(ours), mean(live), mean(highest))
	var b bytes.Buffer
	fmt.Fprintf(&b, `package voices

// tuneTable is what each term adds to the log odds that a part has the tune, and its standard error.
//
// Written by "make fit". A conditional logit, fitted to who has the tune by an analyst in %d orchestral
// movements (OpenScore Orchestra and Hauptstimme, Gotham et al.), each counting alike; standard errors by leaving works
// out. On works left out the part that has it, or one that plays the same notes in unison or octaves, is found for %.3f
// of the time, and for %.3f if only those count whom the tables list as doubling it; the highest that sounds is for %.3f.
var tuneTable = [len(tuneTerms)]weight{
`, len(t.all), mean(found[2]), mean(listed), mean(highest))
	for k, name := range voices.TuneTerms() {
		fmt.Fprintf(&b, "\t{%+.4f, %.4f}, // %s\n", weights[k], se[k], name)
	}
	b.WriteString("}\n")
	to, err = format.Source(b.Bytes())
	return to, said, err
}

// heard is for how much of the time who has the tune is found as it comes, without a score, and
// by taking the highest that sounds.
func (x *told) heard() (live, highest float64) {
	parts, steps := x.parts.Size()
	e := voices.NewEnsemble(parts)
	holder, high := make([]int, steps), make([]int, steps)
	for i := range holder {
		holder[i], high[i] = -1, -1
	}
	notes := x.score.Notes
	ends := make([]int, len(notes))
	for i := range ends {
		ends[i] = i
	}
	slices.SortStableFunc(ends, func(a, b int) int { return int(notes[a].Off - notes[b].Off) })
	next, ended := 0, 0
	sounding := make([]int, parts)
	for step := range steps {
		at := x.parts.Begin(step) + 0.5
		for next < len(notes) && notes[next].Beat <= at {
			n := &notes[next]
			for ended < len(ends) && notes[ends[ended]].Off <= n.On {
				m := &notes[ends[ended]]
				e.Off(int(m.Part), m.Off)
				ended++
			}
			e.Note(int(n.Part), n.On, int(n.Key), 64)
			sounding[n.Part] = next + 1
			next++
		}
		if next > 0 {
			holder[step], _ = e.Tune(notes[next-1].On)
		}
		best := 0
		for i, s := range sounding {
			if s > 0 && notes[s-1].Beat+notes[s-1].Length > at && int(notes[s-1].Key) > best {
				best, high[step] = int(notes[s-1].Key), i
			}
		}
	}
	return share(x.plays, holder), share(x.plays, high)
}
