package hearing

import (
	"fmt"

	"swellbox/expr"
)

// Fault is which knowledge of a part is lost, or nil.
func (l *Listener) Fault(part int) error { return l.lines[part].fault() }

// Lost is which knowledge of all parts is lost, or nil.
func (l *Listener) Lost() error {
	all := expr.InOne(l.ear.tuneFault, l.ear.harmonyFault, l.pulse.fault, l.scoreFault)
	if l.reading != nil {
		all = expr.InOne(all, l.reading.lost())
	}
	return all
}

// Retry has the knowledge of all parts that was lost be found out anew.
func (l *Listener) Retry() {
	if l.ear.tuneFault != nil || l.ear.harmonyFault != nil {
		l.ear.init(len(l.lines), l.trial)
	}
	if l.pulse.fault != nil {
		l.pulse = pulse{port: expr.Unknown, trial: l.trial}
	}
	l.scoreFault = nil
}

// RetryPart has that of a part be found out anew.
func (l *Listener) RetryPart(part int) {
	line := &l.lines[part]
	if line.voicesFault != nil {
		line.separator, line.voicesFault = nil, nil
	}
	line.phrasesFault = nil
}

// Reset has a part's line begin anew, for one that has failed.
func (l *Line) Reset() { l.init() }

func (l *Line) fault() error { return expr.InOne(l.voicesFault, l.phrasesFault) }

// lost is which knowledge of a score was lost when it was read, or nil.
func (r *reading) lost() error {
	all := expr.InOne(r.ear.tuneFault, r.ear.harmonyFault)
	for i := range r.lines {
		if err := r.lines[i].fault(); err != nil {
			part := fmt.Sprint(i + 1)
			if i < len(r.score.Parts) {
				part = r.score.Parts[i]
			}
			all = expr.InOne(all, fmt.Errorf("of %q in the score: %w", part, err))
		}
	}
	return all
}
