package sampler

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"swellbox/proxy/formats/smf"
)

// Ticks of a probe last half a millisecond: 960 a quarter note of 480 ms.
const (
	ticksPerQuarter  = 960
	microsPerQuarter = 480_000
	tick             = microsPerQuarter * time.Microsecond / ticksPerQuarter
)

// File is the probe as a MIDI file, a track for each part.
func (p *Plan) File() *smf.File {
	end := int64(p.Length / tick)
	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: ticksPerQuarter}}
	f.Tracks = append(f.Tracks, smf.Track{End: end, Events: []smf.Event{
		meta(0, smf.MetaTrackName, "probe of a sampler: begin quiet"),
		meta(0, smf.MetaTempo, string([]byte{microsPerQuarter >> 16, microsPerQuarter >> 8 & 0xFF, microsPerQuarter & 0xFF})),
		meta(int64(p.Loud()/tick), markerText, "louder from here"),
	}})
	for i := range p.Subjects {
		s := &p.Subjects[i]
		t := smf.Track{End: end, Events: []smf.Event{meta(0, smf.MetaTrackName, s.Name), meta(0, smf.MetaPort, string([]byte{byte(s.Port)}))}}
		var timed []smf.Event
		for _, m := range p.messages {
			if m.subject == i {
				timed = append(timed, smf.Event{Tick: int64(m.at / tick), Data: slices.Clone(m.data[:m.length])})
			}
		}
		for _, n := range p.notes {
			if n.subject == i {
				timed = append(timed,
					smf.Event{Tick: int64(n.at / tick), Data: []byte{0x90 | byte(s.Channel), n.key, n.velocity}},
					smf.Event{Tick: int64((n.at + n.length) / tick), Data: []byte{0x80 | byte(s.Channel), n.key, 64}})
			}
		}
		slices.SortStableFunc(timed, func(a, b smf.Event) int { return cmp.Compare(a.Tick, b.Tick) })
		t.Events = append(t.Events, timed...)
		f.Tracks = append(f.Tracks, t)
	}
	return f
}

// markerText is a marker, as editors show it in their time line (SMF 1.0).
const markerText = 0x06

func meta(tick int64, kind byte, payload string) smf.Event {
	return smf.Event{Tick: tick, Data: append([]byte{0xFF, kind}, payload...)}
}

// Minutes is a length as people say it: 4:05.
func Minutes(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
