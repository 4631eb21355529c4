package main

import (
	"fmt"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/expr/engine"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// mostRubato bounds the amount of rubato, as that of every habit is bounded.
const mostRubato = 2

// addTiming declares the flags of how live playing goes in time.
func addTiming(f *pflag.FlagSet) {
	f.Int("lookahead", 0, "how much later all sounds, so that players know what follows, in `milliseconds`, 0 to 3000")
	addRubato(f)
	f.Bool("with-clock", false, "let the tempo breathe even while a MIDI clock comes in, though what else follows that clock does not breathe with it")
}

// usualRubato is as much as players were measured to do, pianists and orchestras each in their way.
const usualRubato = 1

// addRubato declares the flags of what players do to the beat.
func addRubato(f *pflag.FlagSet) {
	f.Float64("rubato", usualRubato, "how much the tempo of all breathes, an `amount`: 0 not at all, 1 as players were measured to do, up to 2; live it needs --lookahead")
	f.Uint64("seed", 0, "another `number` is another performance of the same piece")
}

// What --timing says of a file.
const (
	timingNotes  = "notes"
	timingTempos = "tempos"
	timingSteady = "steady"
)

// addFileTiming declares the flags of when the notes of a file are played.
func addFileTiming(f *pflag.FlagSet, to *string) {
	f.StringVar(to, "timing", timingTempos, "`where` the players' time goes: tempos, which breathe while the notes stay in their bars; notes, which come earlier or later; or steady, all as written")
	addRubato(f)
}

// takeTiming has a file's manner be what --timing says.
func takeTiming(m *perform.Manner, said string) error {
	m.GiveBack = true
	m.Lookahead = 2 * engine.MaxDeviation // the most that players depart from the beat
	switch said {
	case timingTempos:
		m.Tempos = true
	case timingNotes:
		m.Free = true
	case timingSteady:
		m.Lookahead, m.Rubato = 0, 0
	default:
		return fmt.Errorf("--timing is %q; it can be %s, %s or %s: %w", said, timingTempos, timingNotes, timingSteady, errUsage)
	}
	return nil
}

// addHabits declares the flags that choose among the habits.
func addHabits(f *pflag.FlagSet) {
	f.StringSlice("only", nil, "`habits` to play by, separated by commas, in place of all")
	f.StringSlice("without", nil, "`habits` to leave out, separated by commas")
}

// What --score says of a file that is played.
const (
	scoreSelf = "self"
	scoreNone = "none"
)

// addOwnScore declares the flag of whether a file is known before it is played.
func addOwnScore(f *pflag.FlagSet, to *string) {
	f.StringVar(to, "score", scoreSelf, "`what` players know of the piece: self, all that the file says; a MusicXML score of the same piece, for its marks and bars; or none, only what has sounded so far")
}

// addOrnaments declares the flag of whether the ornaments of a score are played out.
func addOrnaments(f *pflag.FlagSet, to *bool) {
	f.BoolVar(to, "ornaments", true, "play out the trills, mordents, turns and tremolos of a MusicXML score; --ornaments=false plays only the notes that they stand over")
}

// manner is how the settings have a piece performed.
func (s *settings) manner() perform.Manner {
	m := perform.Manner{
		Lookahead: time.Duration(s.Lookahead) * time.Millisecond,
		Rubato:    s.Rubato, Seed: s.Seed, Clocked: s.WithClock,
		Only: s.Only, Without: s.Without,
	}
	if len(m.Only) == 0 {
		m.Only = nil // all
	}
	return m
}

// takeScore reads what --score says of a file that is played, and the score that it names.
func (p *program) takeScore(m *perform.Manner, said string) error {
	switch {
	case said == scoreSelf:
		m.Scored = true
		return nil
	case said == scoreNone:
		m.Scored = false
		return nil
	case filepath.Ext(said) == "":
		return fmt.Errorf("--score is %q; it can be %s, %s or a score's file: %w", said, scoreSelf, scoreNone, errUsage)
	}
	score, warnings, err := offline.ReadScore(said, nil)
	if err != nil {
		return err
	}
	p.warn(warnings)
	m.Scored, m.Piece = true, score
	return nil
}

func (p *program) lookaheadCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "lookahead MS",
		Short: "choose by how much later the running swellbox plays, to know what follows",
		Long: `lookahead has all that comes in sound later by so many milliseconds, 0 to 3000, raw
and shaped alike, so that the players know what follows: how long a note is, where a
phrase ends. What sounds glides there without a gap. Notes that are tried or typed one
by one while nothing plays sound at once all the same.`,
		Args: exactly(1, "one number of milliseconds"),
		RunE: func(_ *cobra.Command, args []string) error {
			most := int(engine.MaxLookahead.Milliseconds())
			n, err := strconv.Atoi(args[0])
			if err != nil || n < 0 || n > most {
				return fmt.Errorf("expected 0 to %d milliseconds, found %q: %w", most, args[0], errUsage)
			}
			c, err := p.client()
			if err != nil {
				return err
			}
			s, err := c.SetLookahead(time.Duration(n) * time.Millisecond)
			if err != nil {
				return err
			}
			if p.settings.JSON {
				return p.printJSON(s)
			}
			p.sayf("lookahead %g ms", s.Foreknowledge.LookaheadMS)
			return nil
		},
	}
}

// printForeknowledge says what the running daemon knows of what it plays.
func (p *program) printForeknowledge(s *live.Status) {
	f := &s.Foreknowledge
	if f.LookaheadMS > 0 {
		when := "notes sound at once"
		if s.DelayMS > 0 {
			when = fmt.Sprintf("notes sound %.0f ms later", s.DelayMS)
		}
		p.sayf("lookahead %g ms; the transport %s (%s), so %s", f.LookaheadMS, f.Transport, f.Why, when)
	}
	if f.BeatBy != "" && !f.Found {
		p.sayf("beat by %s: %.0f a minute, %.0f%% sure", f.BeatBy, f.BeatsMin, 100*f.BeatSure)
	}
	switch {
	case f.Score == "":
	case !f.Found:
		p.sayf("score %s: not found, playing without it", f.Score)
	case f.Pace == 0:
		p.sayf("score %s: found, but in more places than one", f.Score)
	default:
		p.sayf("score %s: found, %.0f%% sure, at %.2f times the written tempo", f.Score, 100*f.Sure, f.Pace)
	}
}
