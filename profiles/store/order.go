package store

import (
	"container/heap"
	"slices"
	"strings"
)

// changes are the changes of one document, by their ids.
type changes map[Hash]*change

// before is the order of two changes of which neither rests on the other.
func before(a, b *change) int {
	if c := a.time.Compare(b.time); c != 0 {
		return c
	}
	return strings.Compare(string(a.id), string(b.id))
}

// ordered lists the changes, each after those that it rests on. A parent that is
// not there, as when a copy is not complete, is as none.
func (l changes) ordered() []*change {
	waits := map[Hash]int{}
	children := map[Hash][]*change{}
	var ready queue
	for _, c := range l {
		for _, p := range c.parents {
			if l[p] != nil {
				waits[c.id]++
				children[p] = append(children[p], c)
			}
		}
		if waits[c.id] == 0 {
			ready = append(ready, c)
		}
	}
	heap.Init(&ready)
	list := make([]*change, 0, len(l))
	for len(ready) > 0 {
		c := heap.Pop(&ready).(*change)
		list = append(list, c)
		for _, child := range children[c.id] {
			if waits[child.id]--; waits[child.id] == 0 {
				heap.Push(&ready, child)
			}
		}
	}
	return list
}

// queue is a heap of changes, the earliest on top.
type queue []*change

func (q queue) Len() int           { return len(q) }
func (q queue) Less(i, j int) bool { return before(q[i], q[j]) < 0 }
func (q queue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(c any)        { *q = append(*q, c.(*change)) }
func (q *queue) Pop() any {
	old := *q
	last := old[len(old)-1]
	*q = old[:len(old)-1]
	return last
}

// tips are the newest changes, on which no other rests, in order: those whose
// content is that of the document, and the others, which it does not hold yet.
func (l changes) tips(document Hash) (held, open []*change) {
	rested := map[Hash]bool{}
	for _, c := range l {
		for _, p := range c.parents {
			rested[p] = rested[p] || !c.aside
		}
	}
	for _, c := range l {
		switch {
		case c.aside || rested[c.id]:
		case c.content == document:
			held = append(held, c)
		default:
			open = append(open, c)
		}
	}
	slices.SortFunc(held, before)
	slices.SortFunc(open, before)
	return held, open
}

// latest is the last change of that content, nil if there is none.
func (l changes) latest(content Hash) *change {
	for _, c := range slices.Backward(l.ordered()) {
		if c.content == content {
			return c
		}
	}
	return nil
}

// common is the last change that both rest on, nil if there is none.
func (l changes) common(a, b *change) *change {
	under := func(c *change) map[Hash]bool {
		seen := map[Hash]bool{}
		for todo := []*change{c}; len(todo) > 0; {
			c, todo = todo[len(todo)-1], todo[:len(todo)-1]
			if seen[c.id] {
				continue
			}
			seen[c.id] = true
			for _, p := range c.parents {
				if l[p] != nil {
					todo = append(todo, l[p])
				}
			}
		}
		return seen
	}
	underA, underB := under(a), under(b)
	for _, c := range slices.Backward(l.ordered()) {
		if underA[c.id] && underB[c.id] {
			return c
		}
	}
	return nil
}

// ids are the ids of changes, as the parents of another.
func ids(list ...*change) []Hash {
	var hs []Hash
	for _, c := range list {
		if c != nil && len(hs) < parentsLimit {
			hs = append(hs, c.id)
		}
	}
	return hs
}
