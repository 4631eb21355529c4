package offline

import (
	"fmt"
	"path/filepath"
	"strings"

	"swellbox/expr"
	"swellbox/proxy/formats/musicxml"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
)

// ReadScore reads the score at path, an export of the notation program: a MIDI file (.mid,
// .midi) or MusicXML (.musicxml, .xml, .mxl). warnings say what was wrong with it but could
// be read over. Errors name the path. A MIDI file's keyswitches are told by the profiles of
// cast, if there is one.
func ReadScore(path string, cast *perform.Cast) (score *expr.Score, warnings []string, err error) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".mid", ".midi":
		score, warnings, err = readMIDIScore(path, cast)
	case ".musicxml", ".xml", ".mxl":
		var d *musicxml.Document
		if d, err = musicxml.ReadFile(path); err == nil {
			score, warnings = d.Score, d.Warnings
		}
	default:
		return nil, nil, fmt.Errorf("%s: a score is a .mid, .musicxml, .xml or .mxl file: export the piece as one of these", path)
	}
	if err == nil && len(score.Notes) == 0 {
		err = fmt.Errorf("%s: there is no note in it, so nothing can be found in it: export the piece again", path)
	}
	if err != nil {
		return nil, nil, err
	}
	return score, warnings, nil
}

// readMIDIScore reads a MIDI file as a score; of several independent pieces, the first.
func readMIDIScore(path string, cast *perform.Cast) (*expr.Score, []string, error) {
	file, err := smf.ReadFile(path)
	if err != nil {
		return nil, nil, err
	}
	t, err := NewTimeline(file, 0)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	if cast != nil {
		t.MarkCalls(cast)
	}
	return t.Score(), file.Warnings, nil
}
