package store

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// nameLimit is the longest name of a document, in bytes: what is put behind it to
// name a version kept beside it must still be a file name, of 255 bytes.
const nameLimit = 120

// reserved are names that are devices under Windows, with any ending (Microsoft,
// Naming Files, Paths, and Namespaces).
var reserved = strings.Fields("con prn aux nul com0 com1 com2 com3 com4 com5 com6 com7 com8 com9 lpt0 lpt1 lpt2 lpt3 lpt4 lpt5 lpt6 lpt7 lpt8 lpt9")

// checkName says whether a document may have this name: a plain file name that
// every file system takes.
func checkName(name string) error {
	bad := func(c rune) bool { return !unicode.IsPrint(c) || strings.ContainsRune(`/\:*?"<>|`, c) }
	ext := filepath.Ext(name)
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch {
	case len(name) > nameLimit || !utf8.ValidString(name) || strings.ContainsFunc(name, bad):
		return fmt.Errorf("a document cannot be named %.60q: allowed is a file name of at most %d bytes, without a folder and without \\ : * ? \" < > |", name, nameLimit)
	case ext != ".yaml" && ext != ".yml" || strings.HasPrefix(name, ".") || strings.HasPrefix(name, " "):
		return fmt.Errorf("a document cannot be named %q: its name ends in .yaml or .yml, and does not begin with a dot or a space", name)
	case slices.Contains(reserved, strings.TrimRight(stem, " ")):
		return fmt.Errorf("a document cannot be named %q: %s is a device on some systems", name, stem)
	}
	return nil
}

// keyOf is what names are told apart by. Upper and lower case are one, as they
// are on many drives.
func keyOf(name string) string { return strings.ToLower(name) }
