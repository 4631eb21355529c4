package expr

import "maps"

// Amounts say how much of each habit a player has, by the habit's key: 0 off, 1 normal, up to
// 2. In the zero value all are off. A copy is independent of what it was copied from.
type Amounts struct{ of map[string]float64 }

// Of is the amount of a habit.
func (a Amounts) Of(key string) float64 { return a.of[key] }

// Any reports whether any habit is on.
func (a Amounts) Any() bool { return len(a.of) > 0 }

// Set sets the amount of a habit.
func (a *Amounts) Set(key string, amount float64) {
	if a.of[key] == amount {
		return
	}
	of := map[string]float64{}
	maps.Copy(of, a.of)
	if of[key] = amount; amount == 0 {
		delete(of, key)
	}
	a.of = of
}

// With is a set of amounts with one of them set.
func (a Amounts) With(key string, amount float64) Amounts {
	a.Set(key, amount)
	return a
}

// Keys of habits that others go by: where they are off, what they would do is not done either.
const (
	KeyMarks   = "marks"
	KeyVibrato = "vibrato"
)
