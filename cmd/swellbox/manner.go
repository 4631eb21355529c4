package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/pflag"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr/engine"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
)

// What --timing says of a file.
const (
	timingNotes  = "notes"
	timingTempos = "tempos"
	timingSteady = "steady"
)

// addFileTiming declares the flags of when the notes of a file are played.
func addFileTiming(f *pflag.FlagSet, to *string) {
	f.StringVar(to, "timing", timingTempos, "`where` the players' time goes: tempos, which breathe while the notes stay in their bars; notes, which come earlier or later; or steady, all as written")
	settings.AddRubato(f)
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
		return fmt.Errorf("--timing is %q; it can be %s, %s or %s: %w", said, timingTempos, timingNotes, timingSteady, usage.ErrUsage)
	}
	return nil
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

// ornamentFlags say what becomes of the ornaments of a score.
type ornamentFlags struct {
	played bool
	grace  string
}

// What --grace says.
const (
	graceAsWritten = "written"
	graceOn        = "on"
	graceBefore    = "before"
)

func addOrnaments(f *pflag.FlagSet, to *ornamentFlags) {
	f.BoolVar(&to.played, "ornaments", true, "play out the trills, mordents, turns, tremolos, rolled chords and glissandi of a MusicXML score, and wait at its fermatas and caesuras; --ornaments=false plays only the notes that are written")
	f.StringVar(&to.grace, "grace", graceAsWritten, "`when` the grace notes of a MusicXML score are played: on the beat, before it, or as written: before where the score says so, else on the beat; a long appoggiatura is on the beat by each")
}

// take is what the flags say.
func (o *ornamentFlags) take() (how offline.Ornaments, err error) {
	if o.played {
		how = offline.PlayOrnaments
	}
	switch o.grace {
	case graceAsWritten:
	case graceOn:
		how |= offline.GraceOnBeat
	case graceBefore:
		how |= offline.GraceBeforeBeat
	default:
		return 0, fmt.Errorf("--grace is %q; it can be %s, %s or %s: %w", o.grace, graceAsWritten, graceOn, graceBefore, usage.ErrUsage)
	}
	return how, nil
}

// takeScore reads what --score says of a file that is played, and the score that it names.
func takeScore(p *program.Program, m *perform.Manner, said string) error {
	switch {
	case said == scoreSelf:
		m.Scored = true
		return nil
	case said == scoreNone:
		m.Scored = false
		return nil
	case filepath.Ext(said) == "":
		return fmt.Errorf("--score is %q; it can be %s, %s or a score's file: %w", said, scoreSelf, scoreNone, usage.ErrUsage)
	}
	score, warnings, err := offline.ReadScore(said, nil)
	if err != nil {
		return err
	}
	p.Warn(warnings)
	m.Scored, m.Piece = true, score
	return nil
}
