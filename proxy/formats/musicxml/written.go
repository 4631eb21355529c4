package musicxml

// written is a note while it is read.
type written struct {
	note
	pitch
	divisions           float64
	chord, cue, rest    bool
	measureRest         bool
	grace, slash, early bool   // early: it takes its time from the note before
	ornaments           []sign // as they are written
	player              string // identifier of the instrument
	part                string // name of the voice
	kind                string // of the note, such as "eighth"
	drawn               tie    // as notation says, for where the sound says nothing
	dynamics            []string
}

// pitch is where a note is written.
type pitch struct {
	pitched, displayed bool    // as a pitch; as a place on the staff
	pitch              float64 // MIDI note, before transposition
	step               int     // of the scale, 0 for C
	alter              float64 // semitones
}
