package console

import (
	"fmt"

	"swellbox/proxy/live"
)

// health is how things stand, in words; what is wrong comes first.
func health(s *live.Status, simulated bool) (remarks []Remark) {
	wrong := func(format string, args ...any) {
		remarks = append(remarks, Remark{false, fmt.Sprintf(format, args...)})
	}
	good := func(format string, args ...any) {
		remarks = append(remarks, Remark{true, fmt.Sprintf(format, args...)})
	}
	for _, w := range s.Warnings {
		wrong("%s", w)
	}
	for i := range s.Inputs {
		if in := &s.Inputs[i]; !in.Open {
			wrong("The input %s is lost and waited for.", in.Name)
		} else if in.Connected != nil && *in.Connected == 0 {
			wrong("Nobody sends to the input %s: choose it in the notation program as the playback device.", in.Name)
		} else {
			good("The input %s is open; %s came in.", in.Name, counted(in.Messages, "message"))
		}
	}
	for i := range s.Outputs {
		out := &s.Outputs[i]
		switch {
		case simulated:
			good("%s is simulated: all is played, and nothing is heard.", out.Name)
		case !out.Open:
			wrong("The output %s is lost and waited for.", out.Name)
		case out.Connected != nil && *out.Connected == 0:
			wrong("Nobody listens to the output %s: choose it in the sampler as its MIDI input.", out.Name)
		default:
			good("The output %s is open; %s went out.", out.Name, counted(out.Messages, "message"))
		}
		if out.Dropped > 0 {
			wrong("%s for %s were dropped while it was lost.", counted(out.Dropped, "message"), out.Name)
		}
	}
	return remarks
}

func counted(n uint64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
