package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"swellbox/cmd/swellbox/program"
	"swellbox/profiles/atomicfile"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/demo"
)

// writeHabits writes each performance of [demo.EachHabit] as a file and as sound, all at one
// gain, with a picture of what each habit changes and a text on what to listen for.
func writeHabits(ctx context.Context, p *program.Program, dir string, piece *demo.Piece, solos []demo.Solo, effects []demo.Effect, parts []demo.Compared) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("the folder for the habits cannot be made: %w", err)
	}
	played := make([]*performance, len(solos))
	length := time.Duration(0)
	for i, s := range solos {
		if err := smf.WriteFile(filepath.Join(dir, s.Name+".mid"), s.File); err != nil {
			return err
		}
		var err error
		if played[i], err = open(s.Name, s.File); err != nil {
			return err
		}
		length = max(length, played[i].timeline.End+tail)
	}
	// The gain is known when all have been played. They are played a second time to be
	// written, as all of them together take more memory than a demonstration should.
	gain := audition.CommonGain()
	err := playEach(ctx, p, "measuring habits", played, parts, length, func(take *performance) error {
		gain = min(gain, audition.CommonGain(take.take))
		return nil
	})
	if err != nil {
		return err
	}
	err = playEach(ctx, p, "playing habits", played, parts, length, func(take *performance) error {
		return writeWAV(filepath.Join(dir, take.name+".wav"), take.take, gain)
	})
	if err != nil {
		return err
	}
	err = atomicfile.Write(filepath.Join(dir, "habits.svg"), func(w io.Writer) error {
		return demo.EffectPicture(w, demo.EffectView{Title: piece.Title + ": each habit alone", Bars: piece.Bars, End: piece.End, Part: piece.Tune, Effects: effects})
	})
	if err != nil {
		return err
	}
	return atomicfile.Write(filepath.Join(dir, "listen.txt"), func(w io.Writer) error { return demo.Listening(w, piece.Title, solos) })
}

// playEach plays performances one after the other, and hands each on; its sound is forgotten
// then.
func playEach(ctx context.Context, p *program.Program, what string, played []*performance, parts []demo.Compared, length time.Duration, then func(*performance) error) (err error) {
	show, done := p.Progress(what)
	defer func() { done(err) }()
	for i, one := range played {
		before := time.Duration(i) * length
		one.take, err = audition.Render(ctx, demo.Seats(parts), one.timeline.Events, length, func(at, _ time.Duration) {
			show(before+at, time.Duration(len(played))*length)
		})
		if err != nil {
			return err
		}
		if err := then(one); err != nil {
			return err
		}
		one.take = nil
	}
	return nil
}
