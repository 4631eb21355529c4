package main

import (
	"fmt"
	"strconv"
	"time"

	"swellbox/proxy/ports"
)

// lap is a way there and back.
type lap struct {
	out   ports.Out
	begun time.Time
	key   byte
	took  chan time.Duration
}

// laps times the ways in turn, so that what else the machine does meets all alike.
func laps(system ports.System, args []string) error {
	rounds, err := strconv.Atoi(args[0])
	if err != nil || len(args)%2 != 1 {
		return errUsage
	}
	var ways []*lap
	for i := 1; i < len(args); i += 2 {
		l := &lap{took: make(chan time.Duration, 1)}
		in, err := system.OpenIn(args[i+1], false, l.hear)
		if err != nil {
			return err
		}
		defer in.Close()
		if l.out, err = system.OpenOut(args[i], false); err != nil {
			return err
		}
		defer l.out.Close()
		ways = append(ways, l)
	}
	const notes = 50
	for round := range rounds + 1 {
		for way, l := range ways {
			for i := range notes {
				took, err := l.run(byte(60 + i%24))
				if err != nil {
					return err
				}
				if round > 0 { // the first is to get warm
					fmt.Println(way, took.Microseconds())
				}
			}
		}
	}
	return nil
}

// run times the beginning of a note, and ends it; a player may put an end off.
func (l *lap) run(key byte) (took time.Duration, err error) {
	const rest = 2 * time.Millisecond // about as far apart as messages are
	l.key = key
	l.begun = time.Now()
	if err := l.out.Send([]byte{0x90, key, 80}); err != nil {
		return 0, err
	}
	select {
	case took = <-l.took:
	case <-time.After(patience): // only a hang meets it
		return 0, fmt.Errorf("the key %d never came back", key)
	}
	time.Sleep(rest) // between messages, as in music
	err = l.out.Send([]byte{0x80, key, 64})
	time.Sleep(rest) // between messages, as in music
	return took, err
}

// hear is called by the driver's thread with each message.
func (l *lap) hear(b []byte) {
	if len(b) == 3 && b[0] == 0x90 && b[1] == l.key && b[2] > 0 {
		select {
		case l.took <- time.Since(l.begun):
		default:
		}
	}
}
