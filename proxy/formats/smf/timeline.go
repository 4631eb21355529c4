package smf

import (
	"cmp"
	"fmt"
	"slices"
)

// timeline returns the meta events of one kind that govern a track, in order of
// time, and of the file where they fall together: in formats 0 and 1 those of
// all tracks, in format 2 those of the track alone (0-based).
func (f *File) timeline(track int, kind byte) ([]Event, error) {
	if err := f.Division.check(); err != nil {
		return nil, err
	}
	tracks := f.Tracks
	if f.Format == 2 {
		if track < 0 || track >= len(tracks) {
			return nil, fmt.Errorf("there is no track %d in a file of %d", track+1, len(tracks))
		}
		tracks = tracks[track : track+1]
	}
	var found []Event
	for _, t := range tracks {
		for _, e := range t.Events {
			if k, _, ok := e.Meta(); ok && k == kind {
				found = append(found, e)
			}
		}
	}
	slices.SortStableFunc(found, func(a, b Event) int { return cmp.Compare(a.Tick, b.Tick) })
	return found, nil
}
