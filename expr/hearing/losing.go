package hearing

import (
	"fmt"
	"strconv"

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
	if l.scoreFault != nil || l.reading != nil && l.reading.lost() != nil {
		l.read()
	}
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
	first, more := error(nil), 0
	for i := range r.lines {
		switch err := r.lines[i].fault(); {
		case err == nil:
		case first == nil:
			first = fmt.Errorf("of %s in the score: %w", r.name(i), err)
		default:
			more++
		}
	}
	if more > 0 {
		first = fmt.Errorf("%w; and %d more parts of it likewise", first, more)
	}
	return expr.InOne(r.ear.tuneFault, r.ear.harmonyFault, first)
}

// name is that of a part of the score.
func (r *reading) name(part int) string {
	if part < len(r.score.Parts) {
		return strconv.Quote(r.score.Parts[part])
	}
	return fmt.Sprintf("part %d", part+1)
}
