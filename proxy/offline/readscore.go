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

// scoreReaders are what reads a score, by the ending of its file's name.
var scoreReaders = map[string]func(path string, cast *perform.Cast) (*expr.Score, []string, error){
	".mid": readMIDIScore, ".midi": readMIDIScore,
	".musicxml": readMusicXMLScore, ".xml": readMusicXMLScore, ".mxl": readMusicXMLScore,
}

// ReadScore reads the score at path, an export of the notation program: a MIDI file (.mid,
// .midi) or MusicXML (.musicxml, .xml, .mxl). warnings say what was wrong with it but could
// be read over. Errors name the path. A MIDI file's keyswitches are told by the profiles of
// cast, if there is one. A reader that fails, by a panic, is no error, as music can be played
// without: the score is nil then, and a warning says so.
func ReadScore(path string, cast *perform.Cast) (score *expr.Score, warnings []string, err error) {
	read, ok := scoreReaders[strings.ToLower(filepath.Ext(path))]
	if !ok {
		return nil, nil, fmt.Errorf("%s: a score is a .mid, .musicxml, .xml or .mxl file: export the piece as one of these", path)
	}
	if reason := perform.Caught(func() { score, warnings, err = read(path, cast) }); reason != nil {
		return nil, []string{fmt.Sprintf("%s: %v", path, expr.OfScore.Loss(reason))}, nil
	}
	if err == nil && len(score.Notes) == 0 {
		err = fmt.Errorf("%s: there is no note in it, so nothing can be found in it: export the piece again", path)
	}
	if err != nil {
		return nil, nil, err
	}
	return score, warnings, nil
}

func readMusicXMLScore(path string, _ *perform.Cast) (*expr.Score, []string, error) {
	d, err := musicxml.ReadFile(path)
	if err != nil {
		return nil, nil, err
	}
	return d.Score, d.Warnings, nil
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
