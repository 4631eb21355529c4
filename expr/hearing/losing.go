package hearing

import "swellbox/expr"

// Fault is which knowledge of a part is lost, or nil.
func (l *Listener) Fault(part int) error { return l.lines[part].fault() }

// Lost is which knowledge of all parts is lost, or nil.
func (l *Listener) Lost() error {
	return expr.InOne(l.ear.tuneFault, l.ear.harmonyFault, l.pulse.fault, l.Score.lost())
}

// Load reads a score, which must not be changed afterwards. Nil or one without notes: none.
func (l *Listener) Load(s *expr.Score) {
	l.retry()
	l.Score.load(s)
	l.prepare()
}

// prepare reads what those ask for who play already.
func (l *Listener) prepare() {
	for i := range l.lines {
		l.Score.prepare(i, l.lines[i].scene != nil, l.lines[i].pedals)
	}
}

// Retry has the knowledge of all parts that was lost be found out anew.
func (l *Listener) Retry() {
	l.retry()
	if l.Score.lost() != nil {
		l.Score.read()
		l.prepare()
	}
}

// retry has what is heard be found out anew.
func (l *Listener) retry() {
	if l.ear.tuneFault != nil || l.ear.harmonyFault != nil {
		l.ear.init(len(l.lines), l.trial)
	}
	if l.pulse.fault != nil {
		l.pulse = pulse{port: expr.Unknown, trial: l.trial}
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
