package expr

// Place is the way in which the parts stand to each other.
type Place uint8

const (
	// Hall has the parts stand as on a stage: the brass rule a tutti, a low flute
	// vanishes behind trombones.
	Hall Place = iota
	// Studio has them recorded apart: each as loud as its own mark.
	Studio
)

// String names the place in the words of the command line.
func (s Place) String() string {
	if s == Studio {
		return "studio"
	}
	return "hall"
}

// How loud the shaped performance is beside the raw one, where nobody says otherwise: by how
// many dB its mf lies under the raw one's, and how many a note may ever come over its raw
// level. Ours, not published.
const (
	DefaultHeadroomDB = 6
	DefaultCeilingDB  = 3
)
