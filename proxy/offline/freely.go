package offline

import (
	"cmp"
	"slices"

	"swellbox/expr/timing"
	"swellbox/proxy/formats/smf"
)

// moveNotes has a rendered file be played in the ensemble's own time: all that is played goes where the
// rubato has it, as a recording would, and tempos, metres and keys stay where they are written.
func moveNotes(out *smf.File, t *Timeline, warp *timing.Warp) {
	for i := range out.Tracks {
		tr := &out.Tracks[i]
		for k := range tr.Events {
			if e := &tr.Events[k]; !staysInBar(*e) {
				at := t.Tempo.At(e.Tick)
				e.Tick = t.notBefore(max(at+warp.At(at), 0))
			}
		}
		slices.SortStableFunc(tr.Events, func(a, b smf.Event) int { return cmp.Compare(a.Tick, b.Tick) })
	}
}

// staysInBar reports whether an event says how a file counts.
func staysInBar(e smf.Event) bool {
	kind, _, ok := e.Meta()
	return ok && (kind == smf.MetaTempo || kind == smf.MetaTimeSignature || kind == metaKey)
}

// metaKey is the kind of a key signature (Standard MIDI Files 1.0).
const metaKey = 0x59
