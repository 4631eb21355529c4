package lesson

import (
	"context"
	"fmt"
	"slices"
	"time"

	"swellbox/proxy/layout"
	"swellbox/proxy/perform"
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

	Ear Ear

	// Progress is told what is done and how far it is, if it is set; done and length are of sound. It gives what ends the telling.
	Progress func(what string) (show func(done, length time.Duration), end func(error))
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
	l.Own = played.own != nil
	for _, s := range l.Stretches {
		s.Parts = played.draw(s, heard)
		s.advise(heard, played.report)
		if err := s.play(ctx, a, played, heard); err != nil {
			return nil, err
		}
	}
	if err := l.ask(ctx, a); err != nil {
		return nil, err
	}
	return l, l.encode(ctx)
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
	return fmt.Sprintf("; where the balance report warns: %s", layout.List(names, ", ", "and"))
}
