package offline

import (
	"fmt"
	"slices"
	"strings"

	"swellbox/proxy/perform"
)

// Uses are what each channel of a timeline moves; port*16+channel.
func (t *Timeline) Uses() []perform.Use {
	all := make([]perform.Use, t.Ports*16)
	for i := range t.Events {
		if e := &t.Events[i]; e.IsChannel() {
			all[int(e.Port)*16+e.Channel()].Take(e)
		}
	}
	return all
}

// meetings are warnings of the controllers that a file moves already, on which the players' moves
// are not heard, or the file's are not: each once, with the parts that it is about.
func meetings(parts []perform.PartReport) []string {
	type meeting struct {
		perform.Moved
		parts []string
	}
	var all []meeting
	for i := range parts {
		for _, m := range parts[i].Controllers {
			if m.InFile == "" || m.InFile == "added" {
				continue
			}
			at := slices.IndexFunc(all, func(o meeting) bool { return o.Moved == m })
			if at < 0 {
				at = len(all)
				all = append(all, meeting{Moved: m})
			}
			all[at].parts = append(all[at].parts, parts[i].Name)
		}
	}
	var texts []string
	for _, m := range all {
		who := strings.Join(m.parts[:min(len(m.parts), 3)], ", ")
		if n := len(m.parts) - 3; n > 0 {
			who += fmt.Sprintf(" and %d more", n)
		}
		text := fmt.Sprintf("the file moves controller %d already (%s), ", m.Controller, who)
		switch m.InFile {
		case "kept":
			text += fmt.Sprintf("so the players' %s stays off it there", m.What)
			if m.Controller == 1 {
				text += "; if it is dynamics to your sampler, try --controller-map dynamics-on-1"
			}
		default:
			text += fmt.Sprintf("which is dropped for the players' %s", m.What)
		}
		texts = append(texts, text)
	}
	return texts
}
