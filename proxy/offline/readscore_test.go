package offline

import (
	"path/filepath"
	"strings"
	"testing"

	"swellbox/expr"
	"swellbox/proxy/perform"
)

// A reader that fails costs the score and nothing else; what it cannot read is an error as ever.
func TestScoreReaderFails(t *testing.T) {
	was := scoreReaders[".mid"]
	defer func() { scoreReaders[".mid"] = was }()
	scoreReaders[".mid"] = func(string, *perform.Cast) (*expr.Score, []string, error) { panic("a wrong turn") }
	score, warnings, err := ReadScore("piece.mid", nil)
	if score != nil || err != nil || len(warnings) != 1 || !strings.Contains(warnings[0], "piece.mid: the score cannot be read: a wrong turn") {
		t.Errorf("%v, %q, %v", score, warnings, err)
	}
	for _, path := range []string{filepath.Join(t.TempDir(), "missing.musicxml"), "piece.txt"} {
		if _, _, err := ReadScore(path, nil); err == nil || !strings.Contains(err.Error(), path) {
			t.Errorf("%s: %v", path, err)
		}
	}
}
