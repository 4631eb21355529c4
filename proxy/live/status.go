package live

import (
	"fmt"

	"swellbox/proxy/perform"
)

// Status is what a daemon is doing. Its JSON form is an interface that scripts
// rely on; it is the live counterpart of a render's report.
type Status struct {
	NotesIn  uint64       `json:"notes_in"`
	NotesOut uint64       `json:"notes_out"` // note-ons let out, whichever side
	Side     string       `json:"side"`      // "raw", "shaped" or "mixed"
	Place    string       `json:"place"`     // "hall", "studio" or "mixed"
	DelayMS  float64      `json:"delay_ms"`  // that swellbox adds on purpose to what comes in now
	UptimeS  float64      `json:"uptime_s"`
	Parts    []PartStatus `json:"parts"`
	Inputs   []PortStatus `json:"inputs"`
	Outputs  []PortStatus `json:"outputs"`
	Warnings []string     `json:"warnings"`           // never nil
	Position *Position    `json:"position,omitempty"` // where the piece is, if that is known
	Playing  *Playing     `json:"playing,omitempty"`  // of a file that is played, if it has bars

	Foreknowledge Foreknowledge `json:"foreknowledge"`
}

// Doubts are those of all parts.
func (s *Status) Doubts() []string {
	var doubts []string
	for i := range s.Parts {
		doubts = append(doubts, s.Parts[i].Doubts()...)
	}
	return doubts
}

// PartStatus is one part of a [Status].
type PartStatus struct {
	perform.PartReport
	Side     string `json:"side"`
	Place    string `json:"place"`
	Sounding int    `json:"sounding"` // notes that are out
	Fault    string `json:"fault,omitempty"`
}

// PortStatus is one port of a [Status].
type PortStatus struct {
	Name      string `json:"name"`
	Virtual   bool   `json:"virtual"`
	Open      bool   `json:"open"`
	Connected *int   `json:"connected,omitempty"` // how many ports are at the other end, if the machine tells
	Messages  uint64 `json:"messages"`            // received or sent
	Dropped   uint64 `json:"dropped,omitempty"`   // while the output was lost
}

// Position is where in the piece what is heard now stands.
type Position struct {
	Bar  int     `json:"bar"`
	Beat float64 `json:"beat"`
}

// Status tells what the daemon is doing.
func (d *Daemon) Status() Status {
	s := Status{
		NotesIn: d.performance.notesIn.Load(), UptimeS: d.performance.now().Seconds(),
		Parts: []PartStatus{}, Inputs: []PortStatus{}, Outputs: []PortStatus{}, Warnings: []string{},
	}
	d.performance.status(&s, d.scoreName, &d.told)
	if p := d.player.Load(); p != nil {
		if position, ok := p.Position(); ok {
			s.Position = &position
		}
		if playing, ok := p.Playing(); ok {
			s.Playing = &playing
		}
	}
	for _, in := range d.connections.inlets {
		s.Inputs = append(s.Inputs, in.status())
	}
	if r := d.performance.diary.to; r != nil && r.Err() != nil {
		s.Warnings = append(s.Warnings, r.Err().Error())
	}
	for _, o := range d.connections.outlets {
		s.Outputs = append(s.Outputs, o.status())
		if err := o.loss(); err != nil {
			s.Warnings = append(s.Warnings, fmt.Sprintf("output %q is lost (%v) and waited for", o.Name, err))
		}
	}
	return s
}

// status adds what the stage is doing, by the name of the score, and what was said of the documents.
func (p *performance) status(s *Status, score string, said *told) {
	p.mu.Lock()
	defer p.mu.Unlock()
	s.NotesOut = p.stage.NotesOut()
	s.Side, s.Place = sideOf(p.stage), placeOf(p.stage)
	p.foreknowledge(s, score)
	if p.broken != nil {
		s.Warnings = append(s.Warnings, p.broken.Error())
	}
	if p.finder.lost != nil {
		s.Warnings = append(s.Warnings, p.finder.lost.Error())
	}
	parts, warnings := p.stage.Report()
	s.Warnings = append(s.Warnings, warnings...)
	s.Warnings = append(s.Warnings, said.warnings()...)
	for i, part := range p.stage.Parts {
		ps := PartStatus{
			PartReport: parts[i],
			Side:       p.stage.Side(part.Port, part.Channel).String(),
			Place:      p.stage.Place(part.Port, part.Channel).String(),
			Sounding:   p.stage.Sounding(part.Port, part.Channel),
		}
		if err := p.stage.Fault(part.Port, part.Channel); err != nil {
			ps.Fault = err.Error()
		}
		s.Parts = append(s.Parts, ps)
	}
}

func (in *inlet) status() PortStatus {
	port := in.current()
	return portStatus(in.spec.Name, in.spec.Virtual, port, port != nil, in.received.Load(), 0)
}

func (o *outlet) status() PortStatus {
	o.mu.Lock()
	port := o.port
	o.mu.Unlock()
	return portStatus(o.Name, o.Virtual, port, port != nil, o.sent.Load(), o.dropped.Load())
}

func portStatus(name string, virtual bool, port any, open bool, messages, dropped uint64) PortStatus {
	s := PortStatus{Name: name, Virtual: virtual, Open: open, Messages: messages, Dropped: dropped}
	if !open {
		return s
	}
	if p, ok := port.(interface{ Name() string }); ok {
		s.Name = p.Name()
	}
	if n, known := connected(port); known {
		s.Connected = &n
	}
	return s
}
