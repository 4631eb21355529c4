package pack

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
)

// Version is the version of a package, such as 1.4.0 or 2.0.0-rc.1: three whole
// numbers and, before a release, a word. Its form and order are those of Semantic
// Versioning 2.0.0 (semver.org, 9 to 11), without build metadata, and in lower
// case because a version is the name of a folder too.
type Version string

// versionLimit is the longest version, in bytes, and partLimit the most digits of
// one of its numbers.
const (
	versionLimit = 40
	partLimit    = 9
)

// ParseVersion reads a version.
func ParseVersion(s string) (Version, error) {
	release, pre, isPre := strings.Cut(s, "-")
	parts := strings.Split(release, ".")
	ok := len(s) <= versionLimit && len(parts) == 3
	for _, p := range parts {
		ok = ok && isNumber(p)
	}
	if isPre {
		for _, p := range strings.Split(pre, ".") {
			ok = ok && (isNumber(p) || isWord(p))
		}
	}
	if !ok {
		return "", fmt.Errorf("the version %q is not like 1.4.0 or 2.0.0-rc.1: three numbers, then, before a release, lower-case words", shortened(s))
	}
	return Version(s), nil
}

// isNumber reports whether s is a whole number without zeros before it.
func isNumber(s string) bool {
	return s != "" && len(s) <= partLimit && strings.Trim(s, "0123456789") == "" && (s == "0" || s[0] != '0')
}

// isWord reports whether s is a word of a version: not all digits.
func isWord(s string) bool {
	return strings.Trim(s, "0123456789abcdefghijklmnopqrstuvwxyz-") == "" && strings.Trim(s, "0123456789") != ""
}

// Compare is -1 if v is older than w, 1 if it is newer, and 0 if they are the same.
func (v Version) Compare(w Version) int {
	a, preA, isPreA := strings.Cut(string(v), "-")
	b, preB, isPreB := strings.Cut(string(w), "-")
	if c := compareParts(a, b); c != 0 {
		return c
	}
	switch {
	case isPreA && isPreB:
		return compareParts(preA, preB)
	case isPreA:
		return -1
	case isPreB:
		return 1
	}
	return 0
}

// compareParts compares what dots divide: numbers by value and before words,
// words by their bytes, and the shorter before the longer.
func compareParts(a, b string) int {
	as, bs := strings.Split(a, "."), strings.Split(b, ".")
	for i := range min(len(as), len(bs)) {
		x, errX := strconv.Atoi(as[i])
		y, errY := strconv.Atoi(bs[i])
		var c int
		switch {
		case errX == nil && errY == nil:
			c = cmp.Compare(x, y)
		case errX == nil:
			c = -1
		case errY == nil:
			c = 1
		default:
			c = cmp.Compare(as[i], bs[i])
		}
		if c != 0 {
			return c
		}
	}
	return cmp.Compare(len(as), len(bs))
}
