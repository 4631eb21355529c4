package lesson

import (
	"context"
	"encoding/base64"
	"fmt"
	"html/template"
	"math"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/proxy/formats/mp3"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/balance"
	"swellbox/proxy/study/demo"
)

// played is a piece as it is played in each way.
type played struct {
	ways   []way
	alone  map[string]way // of habits, those that were asked for yet
	raw    *offline.Timeline
	notes  []expr.Written // of raw
	report *offline.Report
	parts  []demo.Compared
	views  []demo.PartView // of the parts
	own    []recorded      // what is heard in place of the ways
}

// way is one way in which all is played.
type way struct {
	name, says string
	events     []expr.Event
}

// manner is how the players of a lesson play: the score known, in the file's own time.
func manner() perform.Manner {
	m := demo.Manner()
	m.Rubato, m.Tempos = 0, false
	return m
}

// fewHabits is how many habits are heard alone if nobody says which, and fewBesideRemedy how many beside a remedy: with
// the takes of all together there is enough of the budget for stereo.
const (
	fewHabits       = 4
	fewBesideRemedy = 2
)

// performed plays the piece as it is drawn and told of, and where no recordings are heard, in each way.
func performed(ctx context.Context, a *Asked) (*played, error) {
	p := &played{alone: map[string]way{}}
	for _, name := range a.Habits {
		if habits.Named(name) == nil {
			return nil, fmt.Errorf("there is no habit %q; the habits are: %s", name, habits.Names(habits.Usual()))
		}
	}
	var err error
	if p.raw, err = offline.NewTimeline(a.Piece.File, 0); err != nil {
		return nil, err
	}
	p.notes = p.raw.Score().Notes
	if p.own, err = readOwn(a.Takes, p.raw); err != nil {
		return nil, err
	}
	p.ways = append(p.ways, way{"raw", "As the notation program plays it: every note at the level of its mark to the end.", p.raw.Events})
	hall, report, err := a.play(ctx, expr.Hall, manner())
	if err != nil {
		return nil, err
	}
	p.report = report
	if p.parts, err = demo.Played(report, a.Cast); err != nil {
		return nil, err
	}
	p.views, _ = demo.Compare(p.raw, hall, p.parts, a.Cast.Ensemble().HeadroomDB)
	if p.own != nil {
		return p, nil
	}
	p.ways = append(p.ways, way{"shaped, in the hall", "As players would, at their seats on a stage, each instrument with its own weight: brass rule a tutti, a low flute sinks behind trombones.", hall.Events})
	studio, _, err := a.play(ctx, expr.Studio, manner())
	if err != nil {
		return nil, err
	}
	p.ways = append(p.ways, way{"shaped, in a studio", "The same players, each recorded apart and as loud as its own mark.", studio.Events})
	return p, nil
}

// by plays the piece with one habit over the level that the instruments have.
func (p *played) by(ctx context.Context, a *Asked, name string) (way, error) {
	if w, known := p.alone[name]; known {
		return w, nil
	}
	about := habits.Named(name)
	m := manner()
	m.Only = demo.Over(name)
	alone, _, err := a.play(ctx, expr.Hall, m)
	if err != nil {
		return way{}, err
	}
	w := way{about.Name + " alone", about.Sentence + " Nothing else is done but the written dynamics and the weight of the instruments.", alone.Events}
	p.alone[name] = w
	return w, nil
}

// play plays the piece in a place.
func (a *Asked) play(ctx context.Context, place expr.Place, m perform.Manner) (*offline.Timeline, *offline.Report, error) {
	cast := *a.Cast
	cast.Place = place
	m.Piece = a.Piece.Score
	f, report, err := offline.Render(ctx, a.Piece.File, &cast, m)
	if err != nil {
		return nil, nil, err
	}
	t, err := offline.NewTimeline(f, 0)
	return t, report, err
}

// ring is how long the last notes may sound on.
const ring = 2 * time.Second

// play plays the bars in each way.
func (s *Stretch) play(ctx context.Context, a *Asked, p *played, heard *balance.Result) (err error) {
	if p.own != nil {
		for _, r := range p.own {
			s.Takes = append(s.Takes, &Take{Name: r.name, Says: "A recording of one's own: " + r.name + ".", sound: r.cut(s.from, s.to+ring)})
		}
		s.Onset = onset(s.Takes[0].sound)
		return nil
	}
	ways := slices.Clone(p.ways)
	remedy, failed := heard.ListenTo(s.first, s.last)
	names := a.Habits
	if names == nil {
		names = s.heardMost[:min(len(s.heardMost), fewHabits)]
		if failed == nil {
			names = names[:min(len(names), fewBesideRemedy)]
		}
	}
	for _, name := range names {
		w, err := p.by(ctx, a, name)
		if err != nil {
			return err
		}
		ways = append(ways, w)
	}
	show, end := a.progress("playing "+s.Name, len(ways), s.to-s.from+ring)
	defer func() { end(err) }()
	seats := demo.Seats(p.parts)
	for _, w := range ways {
		if err := s.take(ctx, w, seats, excerpt(w.events, s.from, s.to), s.to-s.from+ring, show); err != nil {
			return err
		}
	}
	if failed == nil {
		for _, w := range balanced(remedy) {
			if err := s.take(ctx, w, remedy.Parts, w.events, remedy.Length, show); err != nil {
				return err
			}
		}
	}
	s.Onset = onset(s.Takes[0].sound)
	return nil
}

// balanced is how the bars sound by the balance report alone, before and after a remedy.
func balanced(r *balance.Excerpt) []way {
	return []way{
		{"balance as written", "Each note steady at the level that the model of the hall gives it, and no player shapes anything. Listen to " + r.Part + ", and then to the next take.", r.Before},
		{"balance mended", "The same with the mildest change that helps " + r.Part + ": " + r.Remedy + ".", r.After},
	}
}

// progress tells of takes that are played one after another.
func (a *Asked) progress(what string, takes int, length time.Duration) (show func(take int, done time.Duration), end func(error)) {
	if a.Progress == nil {
		return func(int, time.Duration) {}, func(error) {}
	}
	tell, end := a.Progress(what)
	whole := time.Duration(takes) * length
	return func(take int, done time.Duration) { tell(min(time.Duration(take)*length+done, whole), whole) }, end
}

// take plays events on the demonstration synthesiser.
func (s *Stretch) take(ctx context.Context, w way, parts []audition.Part, events []expr.Event, length time.Duration, show func(take int, done time.Duration)) (err error) {
	t := &Take{Name: w.name, Says: w.says}
	n := len(s.Takes)
	t.sound, err = audition.Render(ctx, parts, events, length, func(done, _ time.Duration) { show(n, done) })
	s.Takes = append(s.Takes, t)
	return err
}

// firstHeard is the share of its peak from which on a sound counts as heard; the page looks for the same in what it decodes.
const firstHeard = 0.1

// onset is when a take is first heard, s: so the page finds by how much a browser's decoder delays it.
func onset(t *audition.Take) float64 {
	threshold := float32(firstHeard * t.Peak())
	for i := range t.Left {
		if t.Left[i] >= threshold || -t.Left[i] >= threshold || t.Right[i] >= threshold || -t.Right[i] >= threshold {
			return float64(i) / audition.SampleRate
		}
	}
	return 0
}

// budget is how much of each second the takes may take, kbit/s: 5 MB a minute, of which base64 takes a quarter and the page a tenth.
const budget = 5e3 * 8 / 60 * 0.75 * 0.9

// leastStereo is from how many kbit/s on two channels sound better than one: common practice of MP3, no published source.
const leastStereo = 64

// encode makes MP3 of all takes, all at one rate, so that no take sounds duller than another for its rate.
func (l *Lesson) encode(ctx context.Context) (err error) {
	most := 0
	for _, s := range l.Stretches {
		most = max(most, len(s.Takes))
	}
	l.Kbps = min(mp3.Rate(budget/float64(most)), leastStereo*2)
	l.Stereo = l.Kbps >= leastStereo
	encoder, err := mp3.NewEncoder(ctx)
	if err != nil {
		return err
	}
	defer func() {
		if closed := encoder.Close(context.WithoutCancel(ctx)); err == nil {
			err = closed
		}
	}()
	for _, s := range l.Stretches {
		sounds := make([]*audition.Take, len(s.Takes))
		for i, take := range s.Takes {
			sounds[i] = take.sound
		}
		gains, err := audition.MatchedGains(sounds...)
		if err != nil {
			return err
		}
		for i, take := range s.Takes {
			if take.Audio, err = l.mp3(ctx, encoder, take.sound, gains[i]); err != nil {
				return err
			}
			take.sound = nil
		}
	}
	return l.encodeQuestions(ctx, encoder)
}

// mp3 is a take at its gain, as a page holds it: base64, which is letters, digits, +, / and =.
func (l *Lesson) mp3(ctx context.Context, e *mp3.Encoder, t *audition.Take, gain float64) (template.HTML, error) {
	b, err := e.Encode(ctx, l.channels(t, gain), audition.SampleRate, l.Kbps)
	return template.HTML(base64.StdEncoding.EncodeToString(b)), err
}

// channels is a take at its gain.
func (l *Lesson) channels(t *audition.Take, gain float64) [][]float32 {
	left, right := make([]float32, len(t.Left)), make([]float32, len(t.Left))
	for i := range t.Left {
		left[i], right[i] = t.Left[i]*float32(gain), t.Right[i]*float32(gain)
	}
	if l.Stereo {
		return [][]float32{left, right}
	}
	for i := range left {
		left[i] = (left[i] + right[i]) * math.Sqrt2 / 2 // equal power: parts far left and far right keep theirs
	}
	return [][]float32{left}
}
