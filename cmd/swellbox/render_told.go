package main

import (
	"fmt"

	"swellbox/proxy"
)

// timingTold is what a render did to when its notes are played, in words.
func timingTold(t proxy.Timing) string {
	within := ""
	if t.WithinMS > 0 {
		within = fmt.Sprintf(", within %.0f ms", t.WithinMS)
	}
	switch t.Breath {
	case "tempos":
		return "the tempo breathes in the tempo map; notes stay in their bars" + within
	case "notes":
		return "the tempo breathes by moving the notes; players stay with it" + within
	}
	if within == "" {
		return "every note stands where it is written"
	}
	return "the tempo is as written; notes stay in their bars" + within
}
