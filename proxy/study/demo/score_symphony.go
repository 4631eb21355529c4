package demo

import (
	"math/rand/v2"
	"slices"

	"swellbox/proxy/formats/smf"
)

// symphonyNotesPerBar is the mean density of [Symphony]: at 50 beats a minute,
// 300,000 notes last an hour.
const symphonyNotesPerBar = 200

// movements are what [Symphony] alternates between, sectionBars at a time: the
// bars of the score that it draws from, and how densely it is filled.
var movements = []struct{ from, to, weight int }{{2, 12, 2}, {13, 18, 5}, {19, 24, 8}}

const sectionBars = 10

// fragment is a note of the score within one bar.
type fragment struct {
	part          int
	from, written int64 // ticks, from since the bar's start
	key, velocity uint8
}

// Symphony gives a long file for measuring speed, not for listening: exactly the given
// number of notes over 30 parts on three ports, 200 to the bar on average, so that
// 300,000 last an hour. Bars of the score follow one another in an order that is
// always the same, transposed by the section, their longest notes split until the
// bar is full; strings and horns swell with controller 11 in every third section.
// With no notes the file has its tracks and nothing in them.
func Symphony(notes int) *smf.File {
	all := enlarged()
	material := barFragments(all)
	tracks := make([]smf.Track, len(all))
	total := max(1, (notes+symphonyNotesPerBar-1)/symphonyNotesPerBar)
	for i, p := range all {
		tracks[i] = newTrack(p.Name, p.Part, barTick(total+1))
	}

	weights, sum := make([]int, total), 0
	for b := range weights {
		weights[b] = movements[b/sectionBars%len(movements)].weight
		sum += weights[b]
	}
	rng := rand.New(rand.NewPCG(1, 2)) // any fixed seed
	done, due, transpose := 0, 0, 0
	for b, w := range weights {
		section := b / sectionBars
		if b%sectionBars == 0 {
			transpose = rng.IntN(7) - 3
		}
		m := movements[section%len(movements)]
		bar := slices.Clone(material[m.from+rng.IntN(m.to-m.from+1)])
		due += w
		want := max(0, notes*due/sum-done)
		bar = fill(bar, want)
		done += len(bar)
		for _, f := range bar {
			n := note{tick: barTick(b+1) + f.from, key: uint8(int(f.key) + transpose), velocity: f.velocity}
			n.length = f.written - min(detached, f.written/4)
			t := &tracks[f.part]
			t.Events = append(t.Events, noteEvents([]note{n}, all[f.part].Channel)...)
		}
		if section%3 == 1 {
			swellBar(tracks, all, b)
		}
	}

	f := &smf.File{Format: 1, Division: smf.Division{TicksPerQuarter: ticksPerQuarter}}
	first := smf.Track{End: barTick(total + 1), Events: []smf.Event{
		meta(0, 0x03, "Long file for measuring speed"), meta(0, 0x58, "\x06\x03\x24\x08"),
	}}
	for b := 0; b < total; b += sectionBars {
		beat := []float64{48, 50, 52}[b/sectionBars%3]
		first.Events = append(first.Events, tempo(barTick(b+1), microsPerQuarter(beat)))
	}
	f.Tracks = append(f.Tracks, first)
	for _, t := range tracks {
		order(t.Events)
		f.Tracks = append(f.Tracks, t)
	}
	return f
}

// enlarged is the ensemble with a second group for nine of its parts, on a third port.
func enlarged() []part {
	all := ensemble()
	second := []string{
		"Flute 1", "Horns 1, 2", "Trumpet 1", "Trombone 1",
		"Violins I", "Violins II", "Violas", "Cellos", "Double basses",
	}
	for i, name := range second {
		p := all[slices.IndexFunc(all, func(p part) bool { return p.Name == name })]
		p.Name += ", second group"
		p.Port, p.Channel = 2, i
		all = append(all, p)
	}
	return all
}

// barFragments cuts the parts into bars; element 0 is empty.
func barFragments(all []part) [bars + 1][]fragment {
	var out [bars + 1][]fragment
	for i, p := range all {
		for _, s := range p.staves {
			for _, notes := range s.read() {
				for _, n := range notes {
					for at, end := n.tick, n.tick+n.written; at < end; {
						bar := at/barTicks + 1
						stop := min(end, bar*barTicks)
						out[bar] = append(out[bar], fragment{i, at % barTicks, stop - at, n.key, n.velocity})
						at = stop
					}
				}
			}
		}
	}
	return out
}

// fill brings a bar to the wanted number of notes: it splits the longest in two,
// the first of them where several are equally long, or leaves off the last.
func fill(bar []fragment, want int) []fragment {
	for len(bar) < want {
		longest := 0
		for i, f := range bar {
			if f.written > bar[longest].written {
				longest = i
			}
		}
		a := bar[longest]
		b := a
		a.written /= 2
		b.from += a.written
		b.written -= a.written
		bar[longest] = a
		bar = append(bar, b)
	}
	return bar[:want]
}

// swellBar adds a crescendo over bar b (0-based) to horns and strings.
func swellBar(tracks []smf.Track, all []part, b int) {
	const steps = 12
	for i, p := range all {
		if p.Program != 48 && p.Program != 60 {
			continue
		}
		for s := range int64(steps) {
			tick := barTick(b+1) + s*barTicks/steps
			tracks[i].Events = append(tracks[i].Events, control(tick, p.Channel, 11, byte(72+s*5)))
		}
	}
}
