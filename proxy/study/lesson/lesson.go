package lesson

import (
	"context"
	"fmt"
	"html/template"
	"slices"
	"time"

	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/balance"
	"swellbox/proxy/study/demo"
)

// Asked is what a lesson is to be about.
type Asked struct {
	Piece  *demo.Piece
	Cast   *perform.Cast
	Bars   []string // as the balance report names them, "9-16"; nil: the whole piece
	Habits []string // to be heard alone; nil: the few that are told most easily
	Words  *Words   // the teacher's; nil: none
	Takes  []string // WAV files of the whole piece, to be heard in the place of the demonstration synthesiser; nil: none

	// Progress is told what is done and how far it is, if it is set; done and length are of sound. It gives what ends the telling.
	Progress func(what string) (show func(done, length time.Duration), end func(error))
}

// Lesson is a page.
type Lesson struct {
	Title     string
	Unit      string        // "bar", or "second"
	Intro     template.HTML // the teacher's words before all bars
	Where     string        // the hall and the seat
	Stretches []*Stretch
	States    []StateKey
	Kbps      int  // of each take, kbit/s
	Own       bool // the takes are recordings of one's own
	Stereo    bool
}

// StateKey is a state of the balance report, to be explained.
type StateKey struct{ Class, Letter, Name, Meaning string }

// Stretch is some bars that follow each other.
type Stretch struct {
	ID     string // of its section in the page
	Name   string // "bars 9–16"
	Bars   []Bar
	Length float64 // s, without what rings on
	Onset  float64 // s: when the first take is heard first
	Takes  []*Take
	Parts  []*Part
	Listen []Advice
	Notes  []Note

	heardMost   []string // habits, the most easily told first
	first, last int      // bars of the piece, from 0
	from, to    time.Duration
}

// Bar is one bar of a stretch.
type Bar struct {
	Number     string
	At, Length float64 // s from the start of the stretch
}

// Take is the bars as they are played in one way.
type Take struct {
	Name, Says string
	Audio      template.HTML // base64 of MP3

	sound *audition.Take
}

// Advice is something to listen for.
type Advice struct {
	What, Why, Try string
	Bars           string  // where, if not all over
	At             float64 // s
}

// Note is what the teacher says at some bars.
type Note struct {
	Bars string
	At   float64 // s
	Text template.HTML
}

// longest is how long a piece may be that is taken whole, ours: a page of 5 MB a minute is to be sent by mail.
const longest = 2 * time.Minute

// Make makes a lesson. The error is that of ctx, or says what cannot be had as it was asked.
func Make(ctx context.Context, a *Asked) (*Lesson, error) {
	opt := balance.DefaultOptions()
	opt.Piece = a.Piece.Score
	heard, err := balance.Analyse(ctx, a.Piece.File, a.Cast, opt)
	if err != nil {
		return nil, err
	}
	l := &Lesson{Title: a.Piece.Title, Unit: heard.Unit, Where: heard.Where, States: stateKeys()}
	if err := l.choose(a, heard); err != nil {
		return nil, err
	}
	played, err := performed(ctx, a)
	if err != nil {
		return nil, err
	}
	if played.own, err = readOwn(a.Takes, played.raw); err != nil {
		return nil, err
	}
	l.Own = len(played.own) > 0
	for _, s := range l.Stretches {
		s.Parts = played.draw(s, heard)
		s.advise(heard, played.report)
		if err := s.play(ctx, a, played, heard); err != nil {
			return nil, err
		}
	}
	return l, l.encode(ctx, a)
}

// choose finds the bars that are asked for.
func (l *Lesson) choose(a *Asked, heard *balance.Result) error {
	times := heard.BarTimes()
	spans := [][2]int{}
	for _, name := range a.Bars {
		first, last, err := heard.Find(name)
		if err != nil {
			return err
		}
		spans = append(spans, [2]int{first, last})
	}
	if len(a.Bars) == 0 {
		if length := times[len(times)-1] - times[0]; length > longest {
			return fmt.Errorf("the piece lasts %v, and a whole lesson at most %v; choose bars with --bars%s", length.Round(time.Second), longest, worthHearing(heard))
		}
		spans = append(spans, [2]int{0, heard.Bars - 1})
	}
	for i, span := range spans {
		s := &Stretch{ID: fmt.Sprintf("s%d", i+1), Name: heard.Span(span[0], span[1]), first: span[0], last: span[1], from: times[span[0]], to: times[span[1]+1]}
		if s.to-s.from > longest {
			return fmt.Errorf("%s last %v, and one stretch at most %v; choose fewer bars", s.Name, (s.to - s.from).Round(time.Second), longest)
		}
		for bar := span[0]; bar <= span[1]; bar++ {
			s.Bars = append(s.Bars, Bar{heard.Number(bar), s.at(times[bar]), (times[bar+1] - times[bar]).Seconds()})
		}
		s.Length = (s.to - s.from).Seconds()
		l.Stretches = append(l.Stretches, s)
	}
	return l.place(a.Words, heard)
}

// worthHearing names the bars of the most serious warnings.
func worthHearing(heard *balance.Result) string {
	var names []string
	for _, w := range heard.Reports[0].Warnings {
		if name := heard.Span(w.FirstBar-1, w.LastBar-1); !slices.Contains(names, name) && len(names) < 3 {
			names = append(names, name)
		}
	}
	if names == nil {
		return ", as in --bars 9-16"
	}
	return fmt.Sprintf("; where the balance report warns: %s", join(names))
}

// at is a time of the piece in the stretch, s.
func (s *Stretch) at(t time.Duration) float64 { return (t - s.from).Seconds() }

// covers reports whether the stretch has bars, counted from 0, and from when on.
func (s *Stretch) covers(first, last int) (at float64, ok bool) {
	if last < s.first || first > s.last {
		return 0, false
	}
	return s.Bars[max(first, s.first)-s.first].At, true
}
