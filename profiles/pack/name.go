package pack

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"swellbox/profiles/reading"
)

// nameLimit is the longest name of a package, in bytes.
const nameLimit = 64

// documentExt ends the name of every document in a package, and mapExt that of a
// controller map.
const (
	documentExt = ".yaml"
	mapExt      = ".map" + documentExt
)

// devices are names that Windows takes for devices whatever the ending, so that
// no file can have them (Microsoft, "Naming Files, Paths, and Namespaces").
var devices = []string{
	"con", "prn", "aux", "nul",
	"com0", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9",
	"lpt0", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
}

// CheckName refuses what cannot name a package. Names are ASCII, so that two that
// look alike are alike.
func CheckName(s string) error {
	ok := s != "" && len(s) <= nameLimit
	for _, w := range strings.Split(s, "-") {
		ok = ok && w != "" && strings.Trim(w, "abcdefghijklmnopqrstuvwxyz0123456789") == ""
	}
	if !ok {
		return fmt.Errorf("a package cannot be named %q: allowed are a to z, digits and single hyphens between them, at most %d bytes", shortened(s), nameLimit)
	}
	if slices.Contains(devices, s) {
		return fmt.Errorf("a package cannot be named %q, which is the name of a device on some systems", s)
	}
	return nil
}

// checkFile refuses what cannot be the name of a file in a package. Allowed is
// the manifest, PROFILE.yaml for a profile and NAME.map.yaml for a controller map; the
// rest is told apart only so that the error says what is wrong.
func checkFile(s string) error {
	bad := func(why string) error {
		return fmt.Errorf("the package holds a file named %q, %s; it was not made by swellbox, do not use it", shortened(s), why)
	}
	stem, isDocument := strings.CutSuffix(s, documentExt)
	stem = strings.TrimSuffix(stem, strings.TrimSuffix(mapExt, documentExt))
	switch {
	case s == manifestFile:
		return nil
	case path.IsAbs(s) || len(s) > 1 && s[1] == ':':
		return bad("which leads to an absolute place")
	case strings.Contains(s, `\`):
		return bad("which has a backslash")
	case slices.Contains(strings.Split(s, "/"), ".."):
		return bad("which leads out of its folder")
	case strings.Contains(s, "/"):
		return bad("which lies in a folder")
	case !isDocument || !reading.ValidName(stem):
		return bad("which is not a profile's name in lower case with " + documentExt)
	case slices.Contains(devices, stem):
		return bad("which is a device on some systems")
	}
	return nil
}

// folded is what a file system that does not tell capitals apart makes of a name.
func folded(s string) string { return strings.ToLower(strings.ToUpper(s)) }

// shortened is s cut to what fits into a sentence.
func shortened(s string) string {
	const quoted = 64
	if len(s) > quoted {
		return s[:quoted] + "…"
	}
	return s
}
