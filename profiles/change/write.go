package change

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

// flow is a value on one line, without comments.
func flow(n *yaml.Node) string {
	b, err := yaml.Marshal(&yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle, Content: []*yaml.Node{flowing(n)}})
	if err != nil {
		return "" // no node of ours; what comes of it is not what was meant, and refused as such
	}
	text := strings.TrimSpace(string(b))
	return strings.TrimSuffix(strings.TrimPrefix(text, "["), "]")
}

// flowing is a copy of n in flow style, without comments.
func flowing(n *yaml.Node) *yaml.Node {
	m := &yaml.Node{Kind: n.Kind, Tag: n.Tag, Value: n.Value, Style: n.Style}
	if n.Kind == yaml.ScalarNode {
		m.Style &^= yaml.LiteralStyle | yaml.FoldedStyle
	} else {
		m.Style |= yaml.FlowStyle
	}
	for _, c := range n.Content {
		m.Content = append(m.Content, flowing(c))
	}
	return m
}

// written is an item in block style with its comments, on lines of its own that
// are indented as given. There is no line end behind the last.
func (s *source) written(i item, indent int) string {
	margin := strings.Repeat(" ", indent)
	var b strings.Builder
	note := i.noted()
	for line := range strings.Lines(note.HeadComment) {
		b.WriteString(margin + strings.TrimRight(line, "\n") + s.newline)
	}
	behind := ""
	if note.LineComment != "" {
		behind = " " + note.LineComment
	}
	b.WriteString(margin)
	if i.key == nil {
		b.WriteString("-")
	} else {
		b.WriteString(flow(i.key) + ":")
	}
	if !s.block(i.value) {
		b.WriteString(" " + flow(i.value) + behind)
		return b.String()
	}
	var lines []string
	if i.key == nil {
		for _, c := range items(i.value) {
			lines = append(lines, s.written(c, indent+2))
		}
		b.WriteString(" " + strings.TrimLeft(strings.Join(lines, s.newline), " "))
		return b.String()
	}
	b.WriteString(behind)
	for _, c := range items(i.value) {
		b.WriteString(s.newline + s.written(c, indent+s.step))
	}
	return b.String()
}
