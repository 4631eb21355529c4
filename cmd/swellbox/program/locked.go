package program

import (
	"fmt"
	"strings"

	"swellbox/profiles/lock"
	"swellbox/proxy/perform"
)

// LockedCast is the cast of a lock, and of nothing else: neither the profiles of this
// machine nor its seating have a say.
func (p *Program) LockedCast(path string) (*perform.Cast, error) {
	l, err := lock.Read(path)
	if err != nil {
		return nil, err
	}
	c := &perform.Cast{Place: p.Settings.StartPlace()}
	if c.Library, err = l.Library(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if c.Seating, err = l.Seats(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if err := c.Seating.Check(c.Library); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	p.Warn(lockedWords(path, c))
	if m := p.Settings.ControllerMap; m != "" {
		p.Warn([]string{fmt.Sprintf("the lock %s says what the sampler listens to, and the controller map %s is left out; swellbox profile lock RAW.mid --controller-map %s makes one with it", path, m, m)})
	}
	if now := Build(); !l.Program.Same(&now) {
		p.Warn([]string{otherProgram(path, &l.Program, &now)})
	}
	return c, nil
}

// lockedWords is a warning if documents of a lock have old keys. They are sealed, so the piece is
// to be locked again, by documents that were brought up to date.
func lockedWords(path string, c *perform.Cast) (warnings []string) {
	if told := oldWords(c); len(told) > 0 {
		warnings = append(warnings, fmt.Sprintf("%s holds documents with old names of keys, which still work; swellbox profile update FILE writes the present ones into your own, and swellbox profile lock RAW.mid --replace locks the piece anew: %s",
			path, strings.ReplaceAll(told.Error(), "\n", "; ")))
	}
	return warnings
}

// otherProgram says that a lock may have been made by another program than the one that reads it.
func otherProgram(path string, then, now *lock.Build) string {
	const so = "the profiles are the same, the habits that play them may not be"
	switch {
	case now.Unknown():
		return fmt.Sprintf("this swellbox was built without version control and cannot say whether it is the one that made %s: %s; make build in a git checkout makes one that can", path, so)
	case then.Unknown():
		return fmt.Sprintf("%s was made by a swellbox built without version control, which may not be this one: %s; swellbox profile lock with this one makes a lock that says so", path, so)
	}
	return fmt.Sprintf("%s was made by swellbox %s, and this is %s: %s", path, named(then), named(now), so)
}

// named is a build by its version and, where that says little, its revision.
func named(b *lock.Build) string {
	if b.Revision == "" || strings.Contains(b.Version, b.Revision[:min(len(b.Revision), 12)]) {
		return b.Version
	}
	return fmt.Sprintf("%s at revision %.12s", b.Version, b.Revision)
}
