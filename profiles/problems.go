package profiles

import (
	"errors"
	"slices"

	"swellbox/profiles/reading"
)

// What callers get to see of the kit that documents are read with.
type (
	// Problem is one fault of a document and its place.
	Problem = reading.Problem
	// Problems is all that is wrong with a document, in the order of its lines.
	Problems = reading.Problems
)

// DocumentLimit is the size of the largest document that is read, in bytes.
const DocumentLimit = reading.DocumentLimit

// gathered joins errors into [Problems] where all of them are, each problem once,
// and into one error else.
func gathered(errs []error) error {
	var all Problems
	for _, err := range errs {
		var ps Problems
		if err != nil && !errors.As(err, &ps) {
			return errors.Join(errs...)
		}
		for _, p := range ps {
			if !slices.Contains(all, p) {
				all = append(all, p)
			}
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all
}
