package main

import (
	"fmt"
	"time"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/proxy/control"
	"swellbox/proxy/layout"
	"swellbox/proxy/live"
)

func printStatus(p *program.Program, s live.Status) {
	fmt.Fprintln(p.Out, layout.Wrap(fmt.Sprintf("playing %s, standing %s, for %v: %s in, %d out, delay %g ms",
		s.Side, control.InPlace(s.Place), time.Duration(s.UptimeS*float64(time.Second)).Round(time.Second), tell.Counted(s.NotesIn, "note"), s.NotesOut, s.DelayMS), p.Width(), "  "))
	if s.Position != nil {
		p.Sayf("bar %d, beat %.1f", s.Position.Bar, s.Position.Beat)
	}
	printForeknowledge(p, &s)
	p.Warn(s.Warnings)
	ports := layout.Table{Columns: []layout.Column{{}, {Words: true}, {Words: true}, {Right: true}}}
	for i, in := range s.Inputs {
		ports.Row(fmt.Sprintf("input %d", i+1), in.Name, condition(in), tell.Counted(in.Messages, "message"))
	}
	for i, out := range s.Outputs {
		ports.Row(fmt.Sprintf("output %d", i+1), out.Name, condition(out), tell.Counted(out.Messages, "message"))
	}
	ports.Write(p.Out, p.Width())
	if len(s.Parts) == 0 {
		p.Sayf("no part has played a note yet")
		return
	}
	parts := layout.Table{Columns: []layout.Column{
		{Title: "part", Words: true}, {Title: "plays as", Words: true}, {Title: "side"}, {Title: "notes", Right: true},
		{Title: "sounding", Right: true}, {Title: "found by", Words: true},
	}}
	for i := range s.Parts {
		part := &s.Parts[i]
		parts.Row(part.Name, asWhat(&part.PartReport), part.Side, fmt.Sprint(part.Notes), fmt.Sprint(part.Sounding), part.Why)
	}
	fmt.Fprintln(p.Out)
	parts.Write(p.Out, p.Width())
}

// condition says in words whether a port works.
func condition(s live.PortStatus) string {
	switch {
	case !s.Open:
		return "lost, waiting"
	case s.Connected == nil:
		return "open"
	case *s.Connected == 0:
		return "open, nobody connected"
	}
	return fmt.Sprintf("open, %d connected", *s.Connected)
}

// printForeknowledge says what the running daemon knows of what it plays.
func printForeknowledge(p *program.Program, s *live.Status) {
	f := &s.Foreknowledge
	if f.LookaheadMS > 0 {
		when := "notes sound at once"
		if s.DelayMS > 0 {
			when = fmt.Sprintf("notes sound %.0f ms later", s.DelayMS)
		}
		p.Sayf("lookahead %g ms; the transport %s (%s), so %s", f.LookaheadMS, f.Transport, f.Why, when)
	}
	if f.BeatBy != "" && !f.Found {
		p.Sayf("beat by %s: %.0f a minute, %.0f%% sure", f.BeatBy, f.BeatsMin, 100*f.BeatSure)
	}
	switch {
	case f.Score == "":
	case !f.Found:
		p.Sayf("score %s: not found, playing without it", f.Score)
	case f.Pace == 0:
		p.Sayf("score %s: found, but in more places than one", f.Score)
	default:
		p.Sayf("score %s: found, %.0f%% sure, at %.2f times the written tempo", f.Score, 100*f.Sure, f.Pace)
	}
}
