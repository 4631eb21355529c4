package main

import (
	"context"
	"encoding/hex"
	"fmt"
	"os"
	"strings"
	"time"

	"swellbox/proxy/ports"
)

// script is what say sends.
type script struct {
	first  []message
	round  []message     // over and over
	last   []message     // after the last round
	period time.Duration // of the rounds; 0: there are none
}

// message is sent at a time after the start of its part of the script.
type message struct {
	at   time.Duration
	port int
	b    []byte
}

// readScript reads a script for so many ports.
func readScript(name string, ports int) (*script, error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	s := &script{}
	part := &s.first
	for l := range strings.Lines(string(text)) {
		var ms int
		if _, err := fmt.Sscanf(l, "again %d", &ms); err == nil && ms > 0 {
			s.period, part = time.Duration(ms)*time.Millisecond, &s.round
			continue
		}
		if l == "then\n" {
			part = &s.last
			continue
		}
		m, err := readMessage(l, ports)
		if err != nil {
			return nil, fmt.Errorf("the line %.40q: %w", l, err)
		}
		*part = append(*part, m)
	}
	return s, nil
}

func readMessage(l string, ports int) (message, error) {
	var m message
	var ms int
	var digits string
	if _, err := fmt.Sscan(l, &ms, &m.port, &digits); err != nil {
		return m, err
	}
	m.at = time.Duration(ms) * time.Millisecond
	if m.port < 0 || m.port >= ports {
		return m, fmt.Errorf("port %d of %d", m.port, ports)
	}
	var err error
	m.b, err = hex.DecodeString(digits)
	return m, err
}

// play sends it. A round is always whole: end is looked at between two.
func (s *script) play(end context.Context, opened []ports.Out) error {
	start := time.Now()
	if err := send(opened, start, s.first); err != nil || s.period == 0 {
		return err
	}
	for start = time.Now(); end.Err() == nil; start = start.Add(s.period) {
		if err := send(opened, start, s.round); err != nil {
			return err
		}
		select {
		case <-time.After(time.Until(start.Add(s.period))): // the script's own time
		case <-end.Done():
		}
	}
	return send(opened, time.Now(), s.last)
}

func send(opened []ports.Out, start time.Time, messages []message) error {
	for _, m := range messages {
		time.Sleep(time.Until(start.Add(m.at))) // the script's own time, which nobody waits for
		note(m.port, m.b)
		if err := opened[m.port].Send(m.b); err != nil {
			return err
		}
	}
	return nil
}
