package main

import (
	"fmt"
	"strings"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles"
	"swellbox/proxy/layout"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
)

// asWhat is what a part is seated as, with its players where they are more than one.
func asWhat(part *perform.PartReport) string {
	var more []string
	if part.Players > 1 {
		more = append(more, tell.Counted(part.Players, "player"))
	}
	if part.Origin != "" && part.Origin != string(profiles.BuiltIn) {
		more = append(more, part.Origin)
	}
	if more == nil {
		return part.Profile
	}
	return fmt.Sprintf("%s (%s)", part.Profile, strings.Join(more, "; "))
}

// printParts lists who plays, before a piece begins.
func printParts(p *program.Program, parts []live.PartStatus) {
	t := layout.Table{Columns: []layout.Column{{Title: "part", Words: true}, {Title: "plays as", Words: true}, {Title: "found by", Words: true}}}
	for i := range parts {
		t.Row(parts[i].Name, asWhat(&parts[i].PartReport), parts[i].Why)
	}
	t.Write(p.Out, p.Width())
}
