package fit

import (
	"regexp"
	"slices"
	"strings"
)

// variant is the end of a name that tells versions of one piece apart.
var variant = regexp.MustCompile(`_(no|extra|first|repeat|trio|version).*$`)

// movement is a number of a movement, after that of its work.
var movement = regexp.MustCompile(`^(.*[-_/][^-_/]*\d+)[-_]\d+$`)

// work is the work that a piece is of: its movements, and a prelude and its fugue, are left
// out together, so that nothing of a work is known to what is held against it.
func work(name string) string {
	name = variant.ReplaceAllString(name, "")
	if i := strings.LastIndex(name, "bwv_"); i >= 0 {
		return name[i:]
	}
	if m := movement.FindStringSubmatch(name); m != nil {
		return m[1]
	}
	return name
}

// deal deals works into folds, by their names in order.
func deal(names []string) map[string]int {
	var works []string
	for _, n := range names {
		works = append(works, work(n))
	}
	slices.Sort(works)
	fold := map[string]int{}
	for i, w := range slices.Compact(works) {
		fold[w] = i % Folds
	}
	of := map[string]int{}
	for _, n := range names {
		of[n] = fold[work(n)]
	}
	return of
}
