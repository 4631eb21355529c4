package balance

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/proxy/study/audition"
)

// Excerpt is some bars as sound would have them: as they are written, and with the mildest remedy for the tune that is
// behind in them. Every note is as strong as the model has it in the hall.
type Excerpt struct {
	Bars          string // "bars 24–26"
	Part          string // whose warning it is
	Remedy        string // in words
	Parts         []audition.Part
	Before, After []expr.Event // by channels of Parts
	Length        time.Duration
}

// longestExcerpt is what the synthesiser takes, less its tail.
const longestExcerpt = 19 * time.Minute

// excerptTail is how long the last note may ring.
const excerptTail = 2 * time.Second

// Listen makes an excerpt of bars that are named as the report names them: "24" or "24-26". The error says what
// is wrong with the bars, or that nothing in them is to be mended.
func (r *Result) Listen(bars string) (*Excerpt, error) {
	first, last, err := r.Find(bars)
	if err != nil {
		return nil, err
	}
	return r.ListenTo(first, last)
}

// ListenTo is Listen to bars that are counted from 0.
func (r *Result) ListenTo(first, last int) (*Excerpt, error) {
	a := r.heard
	name := r.Span(first, last)
	if length := a.score.bars[last+1] - a.score.bars[first]; length > longestExcerpt {
		return nil, fmt.Errorf("%s last %v, and at most %v can be listened to; name fewer", name, length.Round(time.Second), longestExcerpt)
	}
	i := slices.IndexFunc(r.stretches, func(s stretch) bool { return s.first <= last && s.last >= first })
	if i < 0 {
		return nil, fmt.Errorf("in the hall no tune is behind in %s, so there is nothing to mend; name %ss of a warning", name, r.Unit)
	}
	c := newCase(a, a.ears[0], hall, &r.stretches[i])
	c.findMaskers()
	remedies := c.remedies()
	if len(remedies) == 0 {
		return nil, fmt.Errorf("in %s nothing that was tried helps, so there is nothing to listen to; name others, or thin out what plays there", name)
	}
	x := &excerpting{caseOf: c, first: first, last: last}
	x.seat()
	before, after := x.play(unchanged), x.play(remedies[0].apply)
	top := math.Inf(-1)
	for _, n := range slices.Concat(before, after) {
		top = max(top, n.db)
	}
	e := &Excerpt{Bars: name, Part: a.score.parts[c.stretch.part].name, Remedy: remedies[0].words, Length: a.score.bars[last+1] - a.score.bars[first] + excerptTail}
	e.Before, e.After, e.Parts = events(before, top), events(after, top), x.parts
	return e, nil
}

// Find is which bars are meant by a name as the report has it, "24" or "24-26", counted from 0. The error says which there are.
func (r *Result) Find(bars string) (first, last int, err error) {
	from, to, found := strings.Cut(strings.ReplaceAll(bars, "–", "-"), "-")
	if !found {
		to = from
	}
	place := func(name string) int {
		for i := range r.Bars {
			if r.number(i+1) == strings.TrimSpace(name) {
				return i
			}
		}
		return -1
	}
	if first, last = place(from), place(to); first < 0 || last < first {
		return 0, 0, fmt.Errorf("%q are no %ss of the piece, which has %s to %s; name them as in 24-26", bars, r.Unit, r.number(1), r.number(r.Bars))
	}
	return first, last, nil
}

// Span names bars as the report does, counted from 0.
func (r *Result) Span(first, last int) string { return r.span(first+1, last+1) }

// Number names one bar, counted from 0.
func (r *Result) Number(bar int) string { return r.number(bar + 1) }

// BarTimes are the starts of all bars, and the end of the last.
func (r *Result) BarTimes() []time.Duration { return r.heard.score.bars }

// excerpting is an excerpt while it is made.
type excerpting struct {
	*caseOf
	first, last int
	parts       []audition.Part
	doubler     map[*acoustics.Instrument]int // parts that a remedy adds
}

// seat gives each part of the score a channel of its own.
func (x *excerpting) seat() {
	x.doubler = map[*acoustics.Instrument]int{}
	for i := range x.score.parts {
		x.add(x.score.parts[i].notes[0].voice.instrument, x.score.parts[i].notes[0].voice.seat, x.score.parts[i].players)
	}
}

func (x *excerpting) add(in *acoustics.Instrument, seat acoustics.Position, players int) int {
	n := len(x.parts)
	x.parts = append(x.parts, audition.Part{
		Port: n / 16, Channel: n % 16, Instrument: strings.ReplaceAll(in.Name, "-", " "), Family: in.Family, Players: players,
		Pan: min(max(seat.X/stageHalf, -1), 1),
	})
	return n
}

// stageHalf is from the middle to the edge of the stage, m; as far as the seats reach.
const stageHalf = 9

// played is a note as it is to sound.
type played struct {
	part    int // of the excerpt
	on, off time.Duration
	key     uint8
	db      float64 // at the listener, weighted as the ear weighs
	written float64 // dynamic, dB
}

// play is the bars after a change.
func (x *excerpting) play(apply change) (all []played) {
	from, to := x.score.bars[x.first], x.score.bars[x.last+1]
	tune := x.stretch.part
	for part := range x.score.parts {
		p := &x.score.parts[part]
		for i := range p.notes {
			n := &p.notes[i]
			if n.on >= to || n.off <= from {
				continue
			}
			bar := lastBy(x.score.bars, n.on)
			s := x.sound(p, n)
			m := moment{weight: 1, sources: []acoustics.Source{s}, players: []player{{part: part}}}
			at := 0
			if part != tune {
				m.sources = append(m.sources, s)
				m.players = append(m.players, player{part: tune})
				at = 1
			}
			m.group(x.notes, bar)
			inside := bar >= x.stretch.first && bar <= x.stretch.last
			sources := slices.Clone(m.sources)
			if inside {
				apply(&m, sources, at)
			}
			is := &sources[0]
			if is.Instrument == nil {
				continue
			}
			on, off := max(n.on-from, 0), min(n.off, to)-from
			if is.Instrument != s.Instrument { // doubled by another
				all = append(all, played{part, on, off, n.key, x.strength(&s), s.DynamicDB})
				all = append(all, played{x.double(is), on, off, keyOf(is.PitchHz), x.strength(is), is.DynamicDB})
				continue
			}
			all = append(all, played{part, on, off, keyOf(is.PitchHz), x.strength(is), is.DynamicDB})
		}
	}
	return all
}

// sound is a note by itself: of those that its part begins together, a section's players are shared.
func (x *excerpting) sound(p *part, n *note) acoustics.Source {
	together := 0
	at, _ := slices.BinarySearchFunc(p.notes, n.on, func(n note, on time.Duration) int { return int(n.on - on) })
	for ; at < len(p.notes) && p.notes[at].on == n.on; at++ {
		together++
	}
	return acoustics.Source{
		Instrument: n.voice.instrument, Seat: n.voice.seat, Players: n.voice.each(together), PitchHz: acoustics.KeyPitch(float64(n.key)).Hz(),
		DynamicDB: min(max(n.dynamicDB+p.swellAt(n.on), acoustics.Softest), acoustics.Loudest),
	}
}

func (x *excerpting) strength(s *acoustics.Source) float64 { return x.ear.scenes[hall].StrengthDB(s) }

// double is the part of who doubles.
func (x *excerpting) double(s *acoustics.Source) int {
	n, known := x.doubler[s.Instrument]
	if !known {
		n = x.add(s.Instrument, s.Seat, s.Players)
		x.doubler[s.Instrument] = n
	}
	return n
}

func keyOf(hz float64) uint8 {
	return uint8(min(max(int(math.Round(acoustics.PitchOf(hz).Key())), 0), 127))
}

// events plays notes on the demonstration synthesiser, in which every instrument is equally loud at equal numbers:
// brightness by the velocity, which follows what is written, and the strength of the model by the volume. The strongest note
// of all is at full.
func events(all []played, topDB float64) (out []expr.Event) {
	for _, n := range all {
		port, channel := uint16(n.part/16), byte(n.part%16)
		velocity := min(max(math.Round(midVelocity+velocityByDB*n.written), 24), 127)
		volume := min(math.Pow(10, (n.db-topDB-headroomDB)/40)*127*127/velocity, 127)
		fine := int(math.Round(volume * 128))
		out = append(out,
			expr.Short(n.on, port, 0xB0|channel, 7, byte(min(fine>>7, 127))), expr.Short(n.on, port, 0xB0|channel, 39, byte(fine&0x7F)),
			expr.Short(n.on, port, 0x90|channel, n.key, byte(velocity)), expr.Short(max(n.off, n.on+time.Millisecond), port, 0x80|channel, n.key, 64))
	}
	slices.SortStableFunc(out, func(a, b expr.Event) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(rank(&a), rank(&b)))
	})
	return out
}

// rank is the order of what happens at one time: notes end, volumes are set, notes begin.
func rank(e *expr.Event) int {
	switch e.Msg[0] & 0xF0 {
	case 0x80:
		return 0
	case 0xB0:
		return 1
	}
	return 2
}

// midVelocity is mf and velocityByDB a mark, of 16 velocities, by its dB; headroomDB under full the strongest note is, so that
// a soft one at the same strength finds a volume. The last is ours.
const (
	midVelocity  = 80
	velocityByDB = 16 / acoustics.MarkDB
	headroomDB   = 20
)
