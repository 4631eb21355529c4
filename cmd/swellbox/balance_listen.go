package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"swellbox/cmd/swellbox/program"
	"swellbox/expr"
	"swellbox/proxy/layout"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/balance"
)

// hearRemedy writes bars as sound, as they are written and with a remedy, both equally loud.
func hearRemedy(ctx context.Context, p *program.Program, result *balance.Result, bars, dir string) error {
	excerpt, err := result.Listen(bars)
	if err != nil {
		return fmt.Errorf("--listen: %w", err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder cannot be made: %w", err)
	}
	sides := []struct {
		name   string
		events []expr.Event
	}{{"before", excerpt.Before}, {"after", excerpt.After}}
	takes := make([]*audition.Take, len(sides))
	for i, side := range sides {
		if takes[i], err = playSide(ctx, p, side.name, excerpt.Parts, side.events, excerpt.Length); err != nil {
			return err
		}
	}
	gains, err := audition.MatchedGains(takes...)
	if err != nil {
		return err
	}
	for i, side := range sides {
		if err := writeWAV(filepath.Join(dir, side.name+".wav"), takes[i], gains[i]); err != nil {
			return err
		}
	}
	if p.Settings.JSON {
		return nil
	}
	fmt.Fprintln(p.Out, layout.Text(fmt.Sprintf(listened, filepath.Join(dir, "before.wav"), excerpt.Bars, filepath.Join(dir, "after.wav"), excerpt.Part, excerpt.Remedy), min(p.Width(), layout.Broadest)))
	return nil
}

// listened takes a file, the bars, the other file, the part and the remedy.
const listened = `
To hear it, start quiet: %s is %s as written, %s the same with the mildest remedy for %s: %s. All notes are as strong as in the hall. Both are equally loud only by the gain they are written with, as if you turned a knob at the desk: the balance within each is untouched. The sound is a demonstration synthesiser's, not your players'.`
