package tell

import (
	"fmt"
	"strings"

	"swellbox/proxy/layout"
)

// InWords is a list as one says it: a, b and c; with semicolons where the words have
// commas themselves.
func InWords(words []string, last string) string {
	comma := ", "
	if strings.ContainsRune(strings.Join(words, ""), ',') {
		comma = "; "
	}
	return layout.List(words, comma, last)
}

// Counted is a number of things: "1 note", "2 notes".
func Counted[N int | uint64](n N, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Typed is a file's name as it is typed in a command.
func Typed(name string) string {
	if strings.ContainsAny(name, " \t'\"$&;()*?[]\\|<>`!#~") {
		return "'" + strings.ReplaceAll(name, "'", `'\''`) + "'"
	}
	return name
}
