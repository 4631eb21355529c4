package fit

import (
	"bytes"
	"cmp"
	"fmt"
	"go/format"
	"math"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/nuance"
	"swellbox/proxy/study/players"
)

// levels is how loudly the notes of all pieces were played.
type levels struct {
	pieces []*levelPiece
}

// levelPiece is a piece as it is known, and how each player played its notes.
type levelPiece struct {
	name        string
	bare, whole *expr.Score // its notes alone, and with all that its score says
	takes       [][]float64 // velocities by player, by note of the score; NaN where it was not played
	target      []float64   // their mean, each standardised
	top         []bool      // by note: the highest of its moment
	sd          float64     // of a player's velocities
}

// add adds a piece, whose score is known by its notes alone and with all that it says.
func (l *levels) add(p *players.Piece, bare, whole *expr.Score) {
	x := &levelPiece{name: p.Name, bare: bare, whole: whole}
	x.listen(p)
	l.pieces = append(l.pieces, x)
}

// listen takes what was played.
func (x *levelPiece) listen(p *players.Piece) {
	n := len(x.whole.Notes)
	ids := idsOf(p, x.whole)
	x.target, x.top = make([]float64, n), make([]bool, n)
	counts := make([]int, n)
	for i := range p.Takes {
		v := make([]float64, n)
		for j, id := range ids {
			v[j] = math.NaN()
			if s, ok := p.Takes[i].Notes[id]; ok {
				v[j] = s.Velocity
			}
		}
		m, sd := mean(v), deviation(v)
		x.takes, x.sd = append(x.takes, v), x.sd+sd/float64(len(p.Takes))
		for j := range v {
			if !math.IsNaN(v[j]) && sd > 0 {
				x.target[j] += (v[j] - m) / sd
				counts[j]++
			}
		}
	}
	for j := range x.target {
		x.target[j] /= float64(counts[j]) // NaN where nobody played it
		x.top[j] = j+1 == n || x.whole.Notes[j+1].On > x.whole.Notes[j].On
	}
	m := mean(x.target)
	for j := range x.target {
		x.target[j] -= m
	}
}

// idsOf is which note of a piece each note of its flat score is: those of one key in their order.
func idsOf(p *players.Piece, s *expr.Score) []string {
	notes := slices.Clone(p.Notes)
	slices.SortStableFunc(notes, func(a, b players.Note) int {
		return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.End, b.End))
	})
	var ofKey [128][]string
	for _, n := range notes {
		ofKey[n.Key] = append(ofKey[n.Key], n.ID)
	}
	ids := make([]string, len(s.Notes))
	for j := range s.Notes {
		k := s.Notes[j].Key
		if len(ofKey[k]) > 0 {
			ids[j], ofKey[k] = ofKey[k][0], ofKey[k][1:]
		}
	}
	return ids
}

// terms computes the terms of all notes, by term, then by note.
func (x *levelPiece) terms(known nuance.Known) [][]float32 {
	n := len(x.whole.Notes)
	out := make([][]float32, nuance.NumTerms)
	for t := range out {
		out[t] = make([]float32, n)
	}
	row := make([]float64, nuance.NumTerms)
	take := func(j int, s *nuance.Scene, number int64) {
		s.Terms(number, known, row)
		for t, v := range row {
			out[t][j] = float32(v)
		}
	}
	switch known {
	case nuance.Sounded:
		hear(x.bare, 0, take)
	case nuance.Ahead:
		hear(x.bare, nuance.Lookahead, take)
	default:
		score := x.bare
		if known == nuance.AllSigns {
			score = x.whole
		}
		r := nuance.Read(score, 0)
		for j := range score.Notes {
			if number, ok := r.Number(j); ok {
				take(j, r.Scene(), number)
			}
		}
	}
	return out
}

// hear has the notes of a score come one after the other, and tells each when it is due.
func hear(s *expr.Score, ahead time.Duration, due func(j int, s *nuance.Scene, number int64)) {
	type event struct {
		at   time.Duration
		kind int // 0 a note ends, 1 one begins, 2 one is due
		note int
	}
	var events []event
	for j := range s.Notes {
		n := &s.Notes[j]
		events = append(events, event{n.Off, 0, j}, event{n.On, 1, j}, event{n.On + ahead, 2, j})
	}
	slices.SortStableFunc(events, func(a, b event) int {
		if a.at == b.at && a.kind > 0 && b.kind > 0 && ahead == 0 { // the notes of a chord come one by one
			return cmp.Or(cmp.Compare(a.note, b.note), cmp.Compare(a.kind, b.kind))
		}
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.kind, b.kind))
	})
	scene := nuance.NewScene()
	numbers := slices.Repeat([]int64{-1}, len(s.Notes))
	for _, e := range events {
		n := &s.Notes[e.note]
		switch e.kind {
		case 0:
			scene.End(numbers[e.note], n.Off)
		case 1:
			numbers[e.note] = scene.Begin(&nuance.Note{On: n.On, Off: nuance.Sounds, Key: n.Key})
		default:
			due(e.note, scene, numbers[e.note])
		}
	}
}

// levelPenalty is the ridge: a small one, for the pieces are many.
const levelPenalty = 0.003

// least is how many standard errors a term must weigh to stay.
const leastLevel = 1.0

// A fit draws what it cannot foretell towards the mean, and players do not play towards it. So
// what was fitted is stretched, by two numbers a grade that bring two sizes near the players': how much
// a note is lifted for its place in the chord, and how far the levels of a piece reach. The
// farther these two are apart, the less it agrees with players; where little is known it is left nearer
// to what was fitted, for who knows less dares less. Ours.
var stretches = [nuance.Grades]struct{ inChord, around float64 }{
	nuance.Sounded: {1.1, 1.45}, nuance.Ahead: {1.1, 1.6}, nuance.AllNotes: {1.05, 1.75}, nuance.AllSigns: {1.05, 1.75},
}

func stretch(known nuance.Known, h expr.TouchHabit) float64 {
	switch s := &stretches[known]; h {
	case expr.TopLine, expr.BassLine, expr.NoteLength, expr.TwoHands:
		return s.inChord
	default:
		return s.around
	}
}

// dbAVelocity is what a step of velocity is at 64, dB, by 40·log10 (General MIDI 2 and DLS).
const dbAVelocity = 40 / math.Ln10 / 64

// levelFit is the fit of a grade.
type levelFit struct {
	weights, errors []float64  // dB
	usual           expr.Touch // what each habit adds in the mean of a piece, dB
	said            string
	level, top      float64
	each            []float64 // by piece: level of works left out
}

// fit fits a grade.
func (l *levels) fit(known nuance.Known) (*levelFit, error) {
	names := make([]string, len(l.pieces))
	for i, p := range l.pieces {
		names[i] = p.name
	}
	fold := deal(names)
	r := NewRidge(nuance.NumTerms)
	samples := make([]*Sample, len(l.pieces))
	means := make([]float64, nuance.NumTerms)
	for i, p := range l.pieces {
		s := &Sample{Name: p.name, Fold: fold[p.name], Terms: p.terms(known), Target: p.target, Weight: 1 / float64(len(p.target))}
		for t, m := range centre(s.Terms) {
			means[t] += m / float64(len(l.pieces))
		}
		r.Add(s)
		samples[i] = s
	}
	use, err := r.choose(-1, Options{Penalty: levelPenalty, Least: leastLevel}, slices.Repeat([]bool{true}, nuance.NumTerms))
	if err != nil {
		return nil, err
	}
	f, err := r.Fit(levelPenalty, use)
	if err != nil {
		return nil, err
	}
	var without [Folds][]float64
	for k := range without { // what is left out has no say in the choice of terms either
		chosen, err := r.choose(k, Options{Penalty: levelPenalty, Least: leastLevel}, slices.Repeat([]bool{true}, nuance.NumTerms))
		if err != nil {
			return nil, err
		}
		if without[k], err = r.Solve([]int{k}, levelPenalty, chosen); err != nil {
			return nil, err
		}
	}
	out := &levelFit{weights: f.Weights, errors: f.Errors}
	out.judge(l, known, samples, without)
	scale := 0.0
	for _, p := range l.pieces {
		scale += p.sd / float64(len(l.pieces)) * dbAVelocity
	}
	for t := range out.weights {
		h := nuance.HabitOf(t)
		by := scale * stretch(known, h)
		out.weights[t], out.errors[t] = out.weights[t]*by, out.errors[t]*by
		out.usual[h] += out.weights[t] * means[t]
	}
	return out, nil
}

// centre takes the means off terms, and returns them.
func centre(terms [][]float32) []float64 {
	means := make([]float64, len(terms))
	for t, v := range terms {
		for _, x := range v {
			means[t] += float64(x) / float64(len(v))
		}
		for i := range v {
			v[i] -= float32(means[t])
		}
	}
	return means
}

// judge says how well works that were left out are foretold, and what each habit has in it.
func (f *levelFit) judge(l *levels, known nuance.Known, samples []*Sample, without [Folds][]float64) {
	var theirs, theirTop, several []float64
	agreement := func(skip expr.TouchHabit) (level, top, sd float64) {
		var levels, tops, sds []float64
		for i, p := range l.pieces {
			w := slices.Clone(without[samples[i].Fold])
			for t := range w {
				h := nuance.HabitOf(t)
				w[t] *= stretch(known, h)
				if h == skip {
					w[t] = 0
				}
			}
			ours := samples[i].Predict(w)
			var each, above []float64
			for _, v := range p.takes {
				each, above = append(each, players.Correlation(ours, v)), append(above, players.Correlation(p.only(ours), p.only(v)))
			}
			levels, tops, sds = append(levels, mean(each)), append(tops, mean(above)), append(sds, deviation(ours)*p.sd)
		}
		if f.each == nil {
			f.each = levels
		}
		return mean(levels), mean(tops), mean(sds)
	}
	var sd, sds float64
	f.level, f.top, sd = agreement(expr.TouchHabits)
	for i, p := range l.pieces {
		var pairs, tops []float64
		for a, v := range p.takes {
			for _, u := range p.takes[:a] {
				pairs, tops = append(pairs, players.Correlation(v, u)), append(tops, players.Correlation(p.only(v), p.only(u)))
			}
		}
		theirs, theirTop, sds = append(theirs, mean(pairs)), append(theirTop, mean(tops)), sds+p.sd/float64(len(l.pieces))
		if len(p.takes) > 1 {
			several = append(several, f.each[i])
		}
	}
	var b strings.Builder
	terms := 0
	for _, w := range f.weights {
		terms += int(math.Ceil(min(math.Abs(w), 1)))
	}
	fmt.Fprintf(&b, "level r %.3f, top line %.3f; where there are several players %.3f, and they among themselves %.3f, top line %.3f; SD %.1f velocities (players %.1f), %d terms; without",
		f.level, f.top, mean(several), mean(theirs), mean(theirTop), sd, sds, terms)
	for h := range expr.TouchHabits {
		level, _, _ := agreement(h)
		fmt.Fprintf(&b, " %s %+.3f", h, level-f.level)
	}
	f.said = b.String()
}

// only is what is told of the highest note of each moment.
func (x *levelPiece) only(v []float64) (out []float64) {
	for j, top := range x.top {
		if top {
			out = append(out, v[j])
		}
	}
	return out
}

// fitLevels fits all grades, and writes the table.
func (l *levels) fitLevels() (table []byte, said string, err error) {
	var fits [nuance.Grades]*levelFit
	var all []string
	for g := range fits {
		if fits[g], err = l.fit(nuance.Known(g)); err != nil {
			return nil, "", err
		}
		all = append(all, nuance.Known(g).String()+": "+fits[g].said)
	}
	players := 0
	for _, p := range l.pieces {
		players += len(p.takes)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `package nuance

import "swellbox/expr"

// Written by "make fit". Fitted by ridge regression, each piece counting the same, to %d performances
// of %d pieces: Vienna 4x22 (Goebl 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Foscarin et
// al. 2020, Peter et al. 2023). Terms that weigh less than a standard error weigh nothing. The mean
// correlation with the velocities of players of works left out is, for all notes and for the top line
// alone: `, players, len(l.pieces))
	for g, f := range fits {
		sep := ", "
		if g == len(fits)-1 {
			sep = "."
		}
		fmt.Fprintf(&b, "%s %.3f and %.3f%s", nuance.Known(g), f.level, f.top, sep)
	}
	fmt.Fprintf(&b, "\n\n// table is what each term weighs, dB, and its standard error, by grade: %s.\nvar table = [...]size{\n", gradeNames())
	last := expr.TouchHabits
	for t, n := range nuance.Names() {
		if h := nuance.HabitOf(t); h != last {
			fmt.Fprintf(&b, "\t// %s\n", h)
			last = h
		}
		fmt.Fprintf(&b, "\t{%q, [Grades]fitted{", n)
		for g, f := range fits {
			if g > 0 {
				b.WriteString(", ")
			}
			b.WriteString(cell(f.weights[t], f.errors[t]))
		}
		b.WriteString("}},\n")
	}
	b.WriteString("}\n\n// usual is what each habit adds in the mean of a piece, dB, where the piece is not known.\nvar usual = [...]expr.Touch{\n")
	for g := range nuance.Ahead + 1 {
		fmt.Fprintf(&b, "\t{%s}, // %s\n", strings.Trim(strings.ReplaceAll(fmt.Sprintf("%+.3f", fits[g].usual), " ", ", "), "[]"), g)
	}
	b.WriteString("}\n")
	table, err = format.Source(b.Bytes())
	return table, strings.Join(all, "\n"), err
}

func gradeNames() string {
	var names []string
	for g := range nuance.Grades {
		names = append(names, g.String())
	}
	return strings.Join(names, ", ")
}
