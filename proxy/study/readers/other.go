package readers

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"

	"swellbox/proxy/formats/musicxml"
	"swellbox/proxy/formats/smf"
)

// other is the package of npm that is the other reader.
const other = "musicxml-io@0.9.6"

// script has it play scores out; see there.
//
//go:embed play.js
var script []byte

// Library is the other reader, installed.
type Library struct{ folder, node string }

// Install has npm install the other reader into a folder, unless it is there.
func Install(ctx context.Context, folder string) (*Library, error) {
	folder, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	node, err := exec.LookPath("node")
	if err != nil {
		return nil, errors.New("there is no node here; install the packages nodejs and npm")
	}
	l := &Library{folder: folder, node: node}
	if _, err := os.Stat(filepath.Join(folder, "node_modules", "musicxml-io")); err != nil {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return nil, err
		}
		out, err := exec.CommandContext(ctx, "npm", "install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", folder, other).CombinedOutput()
		if err != nil {
			return nil, fmt.Errorf("npm cannot install %s: %w: %s", other, err, out)
		}
	}
	return l, os.WriteFile(filepath.Join(folder, "play.js"), script, 0o644)
}

// play has the other reader write a MIDI file beside each score.
func (l *Library) play(ctx context.Context, paths []string) error {
	cmd := exec.CommandContext(ctx, l.node, append([]string{filepath.Join(l.folder, "play.js")}, paths...)...)
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("the other reader: %w: %s", err, out)
	}
	return nil
}

// Files counts what both readers agree on in each of some scores. They are given texts, and leave MIDI
// files, in a folder for work.
func Files(ctx context.Context, l *Library, paths []string, stage Stage, work string) ([]Count, error) {
	if err := os.MkdirAll(work, 0o755); err != nil {
		return nil, err
	}
	copies := make([]string, len(paths))
	for i, path := range paths {
		text, err := musicxml.Text(path)
		if err != nil {
			return nil, err
		}
		copies[i] = filepath.Join(work, fmt.Sprintf("%04d.musicxml", i))
		if err := os.WriteFile(copies[i], []byte(stage.Of(string(text))), 0o644); err != nil {
			return nil, err
		}
	}
	if err := l.play(ctx, copies); err != nil {
		return nil, err
	}
	counts := make([]Count, len(paths))
	for i := range copies {
		d, err := musicxml.ReadFile(copies[i])
		if err != nil {
			return nil, err
		}
		f, err := smf.ReadFile(copies[i] + ".mid")
		if err != nil {
			return nil, err
		}
		counts[i] = Compare(Ours(d.Score), Theirs(f))
	}
	return counts, nil
}
