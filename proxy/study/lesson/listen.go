package lesson

import (
	"strings"

	"swellbox/proxy/layout"
	"swellbox/proxy/offline"
	"swellbox/proxy/study/balance"
	"swellbox/proxy/study/demo"
)

// mostAdvice is how many things to listen for are told of the players; a class that listens for more hears less. Ours.
const mostAdvice = 5

// advise says what to listen for in a stretch: first where somebody who should lead is not heard, then what the players do.
func (s *Stretch) advise(heard *balance.Result, report *offline.Report) {
	for _, w := range heard.Reports[0].Warnings {
		if at, ok := s.covers(w.FirstBar-1, w.LastBar-1); ok {
			s.Listen = append(s.Listen, Advice{What: w.What, Why: w.Why, Try: w.Try, Bars: heard.Span(w.FirstBar-1, w.LastBar-1), At: at})
		}
	}
	sounding := map[string]bool{}
	for _, p := range s.Parts {
		sounding[p.Name] = true
	}
	for _, h := range demo.ListenFor(report) {
		var who []string
		for _, name := range h.Who {
			if sounding[name] {
				who = append(who, name)
			}
		}
		if len(who) == 0 {
			continue
		}
		if s.heardMost = append(s.heardMost, h.Habit); len(s.heardMost) <= mostAdvice {
			s.Listen = append(s.Listen, Advice{What: strings.ToUpper(h.What[:1]) + h.What[1:] + ": " + layout.List(who, ", ", "and") + "."})
		}
	}
}
