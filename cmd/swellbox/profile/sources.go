package profile

import "strings"

// WithoutSources is a document as profile show writes it, without what its comments say of
// where numbers come from: its head stays, and the names in brackets.
func WithoutSources(text string) string {
	var b strings.Builder
	head := true
	for line := range strings.Lines(text) {
		bare := strings.TrimSpace(line)
		head = head && strings.HasPrefix(bare, "#")
		switch {
		case head:
			b.WriteString(line)
			continue
		case strings.HasPrefix(bare, "#"):
			continue
		}
		value, origin := strings.TrimRight(line, "\n"), ""
		if at := strings.LastIndex(value, " # ["); at >= 0 {
			value, origin = value[:at], value[at:]
		}
		b.WriteString(uncommented(value) + origin + "\n")
	}
	return b.String()
}

// uncommented is a line of YAML without its comment, which is no comment inside quotes.
func uncommented(line string) string {
	quote := byte(0)
	for i := range len(line) {
		switch c := line[i]; {
		case quote == 0 && (c == '"' || c == '\''):
			quote = c
		case c == quote:
			quote = 0
		case quote == 0 && c == '#' && i > 0 && line[i-1] == ' ':
			return strings.TrimRight(line[:i], " ")
		}
	}
	return line
}
