package offline

import (
	"errors"
	"fmt"
	"slices"

	"swellbox/expr/engine"
	"swellbox/expr/timing"
	"swellbox/proxy/formats/smf"
)

// stepsPerQuarter is how often the tempo changes in a rubato that is written as tempos:
// between its steps no note is off by more than it can be heard to be.
const stepsPerQuarter = 8

// mostRitard is by how much later the last note may come in a file, where nobody waits.
const mostRitard = engine.MaxLookahead

// holdsTempos finds out whether a rubato can be written into a file as tempos; an error says
// why not.
func holdsTempos(f *smf.File) error {
	switch {
	case f.Division.TicksPerQuarter == 0:
		return errors.New("the file counts in SMPTE time and has no tempos, so the tempo does not breathe; --timing notes moves the notes instead")
	case f.Format == 2 && len(f.Tracks) > 1:
		return errors.New("the file holds several pieces, each with tempos of its own, so the tempo does not breathe; render them one by one, or with --timing notes")
	}
	return nil
}

// writeTempos puts the ensemble's rubato into a rendered file as tempos. The notes keep
// their ticks, so that each stays in its bar for the notation program.
func writeTempos(out *smf.File, t *Timeline, warp *timing.Warp) error {
	tempos, err := timing.TempoMap(warp, tempos(out), t.perQuarter, stepsPerQuarter, t.end)
	if err != nil {
		return fmt.Errorf("writing the rubato as tempos: %w", err)
	}
	for i := range out.Tracks {
		tr := &out.Tracks[i]
		tr.Events = slices.DeleteFunc(tr.Events, isTempo)
	}
	first := &out.Tracks[0]
	events := make([]smf.Event, 0, len(first.Events)+len(tempos))
	for _, e := range first.Events {
		// At one tick a tempo comes after what the track says of itself.
		for len(tempos) > 0 && (tempos[0].Tick < e.Tick || tempos[0].Tick == e.Tick && e.Data[0] < 0xF0) {
			events, tempos = append(events, tempoEvent(tempos[0])), tempos[1:]
		}
		events = append(events, e)
	}
	for _, tempo := range tempos {
		events = append(events, tempoEvent(tempo))
		first.End = max(first.End, tempo.Tick)
	}
	first.Events = events
	return nil
}

// tempos are those that a file has.
func tempos(f *smf.File) (all []timing.Tempo) {
	for i := range f.Tracks {
		for _, e := range f.Tracks[i].Events {
			if _, p, _ := e.Meta(); isTempo(e) && len(p) >= 3 {
				all = append(all, timing.Tempo{Tick: e.Tick, PerQuarter: uint32(p[0])<<16 | uint32(p[1])<<8 | uint32(p[2])})
			}
		}
	}
	return all
}

func isTempo(e smf.Event) bool {
	kind, _, ok := e.Meta()
	return ok && kind == smf.MetaTempo
}

func tempoEvent(t timing.Tempo) smf.Event { return tempoEventAt(t.Tick, t.PerQuarter) }
