package nuance

// size is what a term weighs at each grade, dB for one of the term, and the standard error of that.
type size struct {
	name string
	of   [Grades]fitted
}

type fitted struct{ db, se float64 }

// weights are the table's, by grade and term. A term that is new weighs nothing until it was fitted.
var weights = func() (w [Grades][]float64) {
	rows := map[string]*size{}
	for i := range table {
		rows[table[i].name] = &table[i]
	}
	for g := range w {
		for _, name := range Names() {
			db := 0.0
			if s := rows[name]; s != nil {
				db = s.of[g].db
			}
			w[g] = append(w[g], db)
		}
	}
	return w
}()
