// Command tap listens and speaks at the ports of a machine, through the same driver
// as the daemon, for scenarios that need more than the programs of alsa-utils do.
//
//	tap hear PORT…          prints each message that comes, until TERM
//	tap player NAME         the same from a virtual input of that name
//	tap say SCRIPT PORT…    sends a file of lines "milliseconds port hex", ports counted from 0.
//	                        What follows a line "again PERIOD" is sent anew every PERIOD ms
//	                        until TERM, and then what follows a line "then"
//	tap keyboard SCRIPT NAME  the same from a virtual output of that name, when somebody
//	                        listens to it; it stays until TERM
//	tap laps ROUNDS TO FROM…  sends notes to a port and waits for each at another, so many hundred
//	                        to each pair of ports in turn, and prints how long each took, in microseconds
//	tap churn PORT TIMES    opens and closes an input
//	tap conform FLAG…       checks the driver against its contract, over Midi Through,
//	                        as a test binary does, with its flags
//
// What is heard and said is printed as lines of "microseconds port hex"; the
// times of all taps on a machine are those of one clock.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"strconv"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"swellbox/proxy/ports"
	"swellbox/proxy/ports/portstub"
	"swellbox/proxy/ports/rtmidi"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "tap:", err)
		os.Exit(1)
	}
}

var errUsage = errors.New("usage: tap hear PORT… | player NAME | say SCRIPT PORT… | keyboard SCRIPT NAME | laps ROUNDS TO FROM… | churn PORT TIMES | conform")

func run(args []string) error {
	if len(args) > 0 && args[0] == "conform" {
		os.Args = append(os.Args[:1], args[1:]...)
		conform()
	}
	if len(args) < 2 {
		return errUsage
	}
	system := rtmidi.New()
	var err error
	switch names := args[1:]; args[0] {
	case "hear":
		err = hear(system, names, false)
	case "player":
		err = hear(system, names, true)
	case "say":
		err = say(system, names, false)
	case "keyboard":
		err = say(system, names, true)
	case "laps":
		err = laps(system, names)
	case "churn":
		err = churn(system, names)
	default:
		err = errUsage
	}
	return errors.Join(err, system.Close())
}

// note prints a message.
func note(port int, b []byte) {
	fmt.Printf("%d %d %X\n", time.Now().UnixMicro(), port, b)
}

func hear(system ports.System, names []string, virtual bool) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	var printing sync.Mutex // each port has a thread of its own
	var opened []ports.In
	for i, name := range names {
		in, err := system.OpenIn(name, virtual, func(b []byte) {
			printing.Lock()
			defer printing.Unlock()
			note(i, b)
		})
		if err != nil {
			return err
		}
		opened = append(opened, in)
	}
	fmt.Fprintln(os.Stderr, "listening")
	<-ctx.Done()
	var err error
	for _, in := range opened {
		err = errors.Join(err, in.Close())
		if lost := in.(ports.Lossy).Lost(); lost.Total() > 0 {
			err = errors.Join(err, fmt.Errorf("%s: not whole messages: %+v", in.Name(), lost))
		}
	}
	return err
}

// say sends a script, and ends when all of it has left.
func say(system ports.System, args []string, virtual bool) error {
	names := args[1:]
	s, err := readScript(args[0], len(names))
	if err != nil {
		return err
	}
	end := context.Background()
	if virtual || s.period > 0 { // else TERM ends the program, as it does others
		var stop func()
		end, stop = signal.NotifyContext(end, os.Interrupt, syscall.SIGTERM)
		defer stop()
	}
	opened := make([]ports.Out, len(names))
	for i, name := range names {
		if opened[i], err = system.OpenOut(name, virtual); err != nil {
			return err
		}
		for virtual && !listened(opened[i]) {
			time.Sleep(10 * time.Millisecond) // the sequencer does not tell who comes, so look again
		}
	}
	if err := s.play(end, opened); err != nil {
		return err
	}
	if virtual {
		<-end.Done()
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience) // only a hang meets it
	defer cancel()
	for _, out := range opened {
		err = errors.Join(err, out.Drain(ctx), out.Close())
	}
	return err
}

// patience is what only a hang meets.
const patience = 2 * time.Minute

func listened(out ports.Out) bool {
	n, known := out.(ports.Watcher).Connected()
	return known && n > 0
}

// churn opens and closes an input while messages arrive on it, and prints how
// many openings heard any.
func churn(system ports.System, args []string) error {
	if len(args) != 2 {
		return errUsage
	}
	times, err := strconv.Atoi(args[1])
	if err != nil {
		return err
	}
	heard := 0
	var late atomic.Int32
	for range times {
		var closed atomic.Bool
		first := make(chan struct{}, 1)
		in, err := system.OpenIn(args[0], false, func([]byte) {
			if closed.Load() {
				late.Add(1)
			}
			select {
			case first <- struct{}{}:
			default:
			}
		})
		if err != nil {
			return err
		}
		select {
		case <-first:
			heard++
		case <-time.After(patience): // only a hang meets it
		}
		if err := in.Close(); err != nil {
			return err
		}
		closed.Store(true)
	}
	if n := late.Load(); n > 0 {
		return fmt.Errorf("%d messages were received after Close", n)
	}
	fmt.Println("heard", heard)
	return nil
}

// conform runs the check as the only test of a test binary, and ends the process.
func conform() {
	always := func(_, _ string) (bool, error) { return true, nil }
	testing.Main(always, []testing.InternalTest{{Name: "TestConform", F: func(t *testing.T) {
		portstub.Conform(t, portstub.Rig{System: rtmidi.New(), In: "Midi Through", Out: "Midi Through", Virtual: true})
	}}}, nil, nil)
}
