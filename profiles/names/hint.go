package names

// Hint is what is known of a part before or while it plays. All numbers count
// from 1, as they are printed.
type Hint struct {
	Port       int    // 0 if not known
	Channel    int    // 1..16; 0 if not known
	Track      string // name of the track in a file or of the part in a score
	Instrument string // name of the instrument, as a file's meta event gives it
	Program    int    // 1..128, General MIDI's numbers from 1; meant only if HasProgram
	HasProgram bool

	among *scoreOrder // the parts of the piece, if they are known; see InScore
	place int         // from 0, among them
}
