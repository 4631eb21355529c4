package store

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"time"
)

// session is one call's work on one document.
type session struct {
	s    *Store
	root *os.Root
	name string
	log  changes
}

// state is what the document holds; the hash is empty if it does not exist.
type state struct {
	content []byte
	hash    Hash
	written time.Time // by the clock of the file system
}

const outside = "changed outside swellbox"

// adopt takes what the document holds into its history, if it is not there yet.
func (x *session) adopt(by Author) (state, error) {
	cur, err := x.read()
	if err != nil || cur.hash == "" {
		return cur, err
	}
	if held, _ := x.standing(cur); len(held) > 0 {
		return cur, nil
	}
	if err := x.load(); err != nil { // its change may have come meanwhile, where a lock keeps nobody out
		return cur, err
	}
	held, open := x.standing(cur)
	if len(held) > 0 {
		return cur, nil
	}
	_, err = x.record(cur.content, by, outside, false, ids(open...))
	return cur, err
}

// standing are the newest changes: those that the document holds, and the others,
// which are open. A document that holds an earlier version and is older than the
// newer changes has not been set back by anybody: a drive that brings the files of
// another machine one by one has not brought the document yet, or a program died
// before it wrote it. What is compared are times that one file system gave.
func (x *session) standing(cur state) (held, open []*change) {
	held, open = x.log.tips(cur.hash)
	if len(held) > 0 || len(open) == 0 || cur.hash == "" {
		return held, open
	}
	for _, c := range open {
		info, err := x.root.Lstat(entryPath(keyOf(x.name), c.id))
		if err != nil || !cur.written.Before(info.ModTime()) {
			return nil, open
		}
	}
	if c := x.log.latest(cur.hash); c != nil && !c.aside {
		held = []*change{c}
	}
	return held, open
}

// save does what [Store.Save] says.
func (x *session) save(content []byte, base Hash, by Author, note string) (Saved, error) {
	cur, err := x.adopt("")
	if err != nil {
		return Saved{}, err
	}
	held, open := x.standing(cur)
	hash := HashOf(content)
	switch {
	case hash == cur.hash:
		return x.settled(true)
	case cur.hash == "":
		err = x.put(content, by, note, cur.hash, ids(open...))
	case base == cur.hash:
		err = x.put(content, by, note, cur.hash, ids(held...))
	default:
		from := x.log.latest(base)
		merged, keys, ok := x.merge(from, content, cur.content)
		if !ok {
			return Saved{Hash: cur.hash}, x.keepAside(content, by, note, ids(from), keys, held[len(held)-1].author)
		}
		ours, err := x.record(content, by, note, false, ids(from))
		if err != nil {
			return Saved{}, err
		}
		theirs := held[len(held)-1].author
		if err := x.put(merged, by, mergedNote(theirs), cur.hash, ids(append(held, ours)...)); err != nil {
			return Saved{}, errors.Join(err, x.forget(ours))
		}
		saved, err := x.settled(false)
		saved.Merged = append([]Author{theirs}, saved.Merged...)
		return saved, err
	}
	if err != nil {
		return Saved{}, err
	}
	return x.settled(false)
}

// settleLimit is how many open changes one call merges; those that are left wait
// for the next call.
const settleLimit = 64

// settled merges into the document what the history has and it does not hold: the
// change of somebody who saved at the same time, or on another branch. A conflict is
// settled too, by keeping the other version beside the document. What cannot be
// merged now, as its content is not there yet or the disk is full, waits as well:
// what this call was asked for has been done.
func (x *session) settled(unchanged bool) (Saved, error) {
	saved := Saved{Unchanged: unchanged}
	var conflicts []error
	for range settleLimit {
		if err := x.load(); err != nil {
			return saved, err
		}
		cur, err := x.adopt("")
		if err != nil {
			return saved, err
		}
		saved.Hash = cur.hash
		held, open := x.standing(cur)
		other, content := x.firstReadable(open)
		if other == nil || len(held) == 0 {
			break
		}
		conflict, err := x.join(cur, held, other, content)
		if err != nil {
			break
		}
		saved.Unchanged = false
		if conflict != nil {
			conflicts = append(conflicts, conflict)
		} else {
			saved.Merged = append(saved.Merged, other.author)
		}
	}
	return saved, errors.Join(conflicts...)
}

// firstReadable is the first of the changes whose content is there, nil if none is.
func (x *session) firstReadable(list []*change) (*change, []byte) {
	for _, c := range list {
		if content, err := x.content(c.content); err == nil {
			return c, content
		}
	}
	return nil, nil
}

// join merges another change into what the document holds, by the changes held, or
// keeps its content beside the document.
func (x *session) join(cur state, held []*change, other *change, content []byte) (*ConflictError, error) {
	mine := held[len(held)-1]
	parents := ids(append(held, other)...)
	merged, keys, ok := x.merge(x.log.common(mine, other), cur.content, content)
	if ok {
		return nil, x.put(merged, mine.author, mergedNote(other.author), cur.hash, parents)
	}
	beside, err := x.writeBeside(content, other.author)
	if err != nil {
		return nil, err
	}
	_, err = x.record(cur.content, mine.author, "the version of "+called(other.author)+" is kept beside it", false, parents)
	return &ConflictError{Document: x.name, Keys: keys, Kept: mine.author, Aside: other.author, Beside: beside}, err
}

// merge lays ours and theirs together, which both rest on from. Where it cannot,
// keys says what both have changed, if that is known.
func (x *session) merge(from *change, ours, theirs []byte) (merged []byte, keys []string, ok bool) {
	if from == nil || x.s.o.Merge == nil {
		return nil, nil, false
	}
	base, err := x.content(from.content)
	if err != nil {
		return nil, nil, false
	}
	merged, keys, err = x.s.o.Merge(base, ours, theirs)
	return merged, keys, err == nil && len(keys) == 0
}

// put makes content what the document holds, which holds was now, with its change
// in the history before. If somebody else writes the document meanwhile, what
// they wrote is in the history too, and settled finds it.
func (x *session) put(content []byte, by Author, note string, was Hash, parents []Hash) error {
	if HashOf(content) == was {
		_, err := x.record(content, by, note, false, parents)
		return err
	}
	staged, err := x.stage(content)
	if err != nil {
		return err
	}
	defer x.root.Remove(staged) // in vain once it has been renamed
	c, err := x.record(content, by, note, false, parents)
	if err != nil {
		return err
	}
	theirs, err := x.swap(staged, was)
	if err != nil {
		return errors.Join(err, x.forget(c))
	}
	if theirs == nil {
		return nil
	}
	known := x.log
	if err := x.load(); err != nil {
		return err
	}
	for id, c := range x.log {
		if known[id] == nil && c.content == HashOf(theirs) {
			return nil // it was a store that wrote it, where a lock keeps nobody out
		}
	}
	_, err = x.record(theirs, "", outside, false, parents)
	return err
}

// keepAside keeps a change that is in conflict, and says so.
func (x *session) keepAside(content []byte, by Author, note string, parents []Hash, keys []string, kept Author) error {
	if _, err := x.record(content, by, note, true, parents); err != nil {
		return err
	}
	beside, err := x.writeBeside(content, by)
	if err != nil {
		return err
	}
	return &ConflictError{Document: x.name, Keys: keys, Kept: kept, Aside: by, Beside: beside}
}

// ConflictError says that two have changed the same thing, and where both
// versions are.
type ConflictError struct {
	Document string
	Keys     []string // what both changed; empty if that is not known
	Kept     Author   // whose version the document holds
	Aside    Author   // whose version is kept beside it
	Beside   string   // the file of that version, in the same folder
}

func (e *ConflictError) Error() string {
	what := "the document"
	if len(e.Keys) > 0 {
		what = strings.Join(e.Keys, ", ")
	}
	return fmt.Sprintf("%s: %s and %s both changed %s; the document holds the version of %s, and that of %s is kept as %s: take over by hand what is due",
		e.Document, called(e.Kept), called(e.Aside), what, called(e.Kept), called(e.Aside), e.Beside)
}

func mergedNote(with Author) string { return "merged with the change of " + called(with) }

// Saved says what became of a change.
type Saved struct {
	Hash      Hash     // of what the document holds now
	Unchanged bool     // the document held that already
	Merged    []Author // whose changes it was merged with
}
