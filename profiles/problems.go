package profiles

import "swellbox/profiles/reading"

// What callers get to see of the kit that documents are read with.
type (
	// Problem is one fault of a document and its place.
	Problem = reading.Problem
	// Problems is all that is wrong with a document, in the order of its lines.
	Problems = reading.Problems
)

// DocumentLimit is the size of the largest document that is read, in bytes.
const DocumentLimit = reading.DocumentLimit
