package change

import (
	"bytes"
	"cmp"
	"errors"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// edit puts text in the place of some bytes.
type edit struct {
	span
	text string
}

// rewriter makes the edits that give a document another tree.
type rewriter struct {
	*source
	edits []edit
}

// errLayout is what is said of a document whose layout defeats the edit.
var errLayout = errors.New("the document is laid out in a way that cannot be edited in place; write the value into the file by hand")

// rewritten is the document with the tree want in place of its own, everything
// that both have left byte for byte.
func (s *source) rewritten(want *yaml.Node) ([]byte, error) {
	r := &rewriter{source: s}
	r.conform(item{nil, s.root}, want)
	b, err := r.apply()
	if err != nil {
		return nil, err
	}
	if got, err := read(b); err != nil || !same(got.root, want) {
		return nil, errLayout
	}
	return b, nil
}

func (r *rewriter) apply() ([]byte, error) {
	slices.SortStableFunc(r.edits, func(a, b edit) int { return cmp.Compare(a.from, b.from) })
	var out bytes.Buffer
	at := 0
	for _, e := range r.edits {
		if e.from < at || e.to < e.from {
			return nil, errLayout
		}
		out.Write(r.b[at:e.from])
		out.WriteString(e.text)
		at = e.to
	}
	out.Write(r.b[at:])
	return out.Bytes(), nil
}

func (r *rewriter) put(from, to int, text string) {
	r.edits = append(r.edits, edit{span{from, to}, text})
}

// conform makes the value of an item the value that is wanted.
func (r *rewriter) conform(i item, want *yaml.Node) {
	old := i.value
	switch {
	case old.Kind != want.Kind || old.Kind == yaml.ScalarNode || len(old.Content) == 0 || len(want.Content) == 0:
		if !same(old, want) {
			r.replace(i, want)
		}
	case r.block(old):
		if !r.conformBlock(i, want) {
			r.replace(i, want)
		}
	case !r.conformFlow(i, want):
		r.replace(i, want)
	}
}

// replace writes the whole value of an item anew.
func (r *rewriter) replace(i item, want *yaml.Node) {
	old := r.spans[i.value]
	if !r.block(i.value) || i.key == nil {
		space := ""
		if old.from > 0 && old.from == old.to && bytes.IndexByte([]byte(":-?"), r.b[old.from-1]) >= 0 {
			space = " "
		}
		r.put(old.from, old.to, space+flow(want))
		return
	}
	colon := r.afterColon(i)
	r.put(colon, colon, " "+flow(want))
	r.put(r.eol(colon), r.eol(old.to), "")
}

// pair is an item that is there already and what is wanted of it.
type pair struct{ old, want item }

// paired finds what of two collections belongs together. In a list without names
// that is by order, the elements that begin or end both alike left alone.
func paired(old, want *yaml.Node) []pair {
	a, b := items(old), items(want)
	var ps []pair
	if old.Kind != want.Kind {
		return nil
	}
	if old.Kind == yaml.MappingNode || named(old) && named(want) {
		for _, w := range b {
			if o, ok := find(old, w.id()); ok {
				ps = append(ps, pair{o, w})
			}
		}
		return ps
	}
	least := min(len(a), len(b))
	head := 0
	for head < least && same(a[head].value, b[head].value) {
		head++
	}
	tail := 0
	for tail < least-head && same(a[len(a)-1-tail].value, b[len(b)-1-tail].value) {
		tail++
	}
	for i := range least - tail {
		ps = append(ps, pair{a[i], b[i]})
	}
	for i := range tail {
		ps = append(ps, pair{a[len(a)-tail+i], b[len(b)-tail+i]})
	}
	return ps
}

// conformBlock edits a collection in block style. It returns false, and has done
// nothing, if nothing of the old one would be left.
func (r *rewriter) conformBlock(parent item, want *yaml.Node) bool {
	old := parent.value
	ps := paired(old, want)
	if len(ps) == 0 {
		return false
	}
	kept := map[*yaml.Node]bool{}
	partner := map[*yaml.Node]item{}
	for _, p := range ps {
		kept[p.old.value] = true
		partner[p.want.value] = p.old
		if p.old.key != nil && p.old.key.Value != p.want.key.Value {
			at := r.spans[p.old.key]
			r.put(at.from, at.to, flow(p.want.key))
		}
		r.conform(p.old, p.want.value)
		r.comment(p)
	}
	all := items(old)
	var last item
	for _, i := range all {
		if kept[i.value] {
			last = i
			continue
		}
		r.drop(i)
	}
	var anchor *item
	for _, w := range items(want) {
		if o, ok := partner[w.value]; ok {
			anchor = &o
			continue
		}
		text := r.written(w, old.Column-1)
		switch {
		case anchor != nil:
			r.after(*anchor, all, old.Column-1, text)
		case w.key != nil:
			r.after(last, all, old.Column-1, text)
		default:
			at := r.aboveStart(all[0])
			r.put(at, at, text+r.newline)
		}
	}
	return true
}

// drop takes an item out with its comments.
func (r *rewriter) drop(i item) {
	from, to := r.aboveStart(i), r.eol(max(r.spans[i.value].to, r.behindStart(i)))
	switch {
	case from == 0 && to < len(r.b):
		to += len(r.newline)
	case from > 0 && r.b[from-1] == '\n':
		from -= min(len(r.newline), from)
	}
	r.put(from, to, "")
}

// after puts lines behind an item: behind what is commented out under it too, which
// is indented deeper, or as deep after the last one.
func (r *rewriter) after(i item, all []item, indent int, text string) {
	at := r.eol(max(r.spans[i.value].to, r.behindStart(i)))
	deeper := indent + 1
	if i == all[len(all)-1] {
		deeper = indent
	}
	for at < len(r.b) {
		next := bytes.IndexByte(r.b[at:], '\n')
		if next < 0 {
			break
		}
		line := r.b[at+next+1 : r.eol(at+next+1)]
		bare := bytes.TrimLeft(line, " ")
		if len(bare) == 0 || bare[0] != '#' || len(line)-len(bare) < deeper {
			break
		}
		at = r.eol(at + next + 1)
	}
	r.put(at, at, r.newline+text)
}

// comment makes the comments of an item those that are wanted.
func (r *rewriter) comment(p pair) {
	old, want := p.old.noted(), p.want.noted()
	if old.HeadComment != want.HeadComment && r.leads(p.old) {
		from, to := r.aboveStart(p.old), r.bol(r.start(p.old))
		margin := string(r.b[to:r.start(p.old)])
		text := ""
		for line := range strings.Lines(want.HeadComment) {
			text += margin + strings.TrimRight(line, "\n") + r.newline
		}
		r.put(from, to, text)
	}
	if old.LineComment == want.LineComment {
		return
	}
	from := r.behindStart(p.old)
	if r.block(p.old.value) && r.eol(from) >= r.spans[p.old.value].from {
		return
	}
	text := ""
	if want.LineComment != "" {
		text = " " + want.LineComment
	}
	r.put(from, r.eol(from), text)
}

// conformFlow edits a collection in flow style. What loses an item is written
// anew; then it returns false, and has done nothing.
func (r *rewriter) conformFlow(parent item, want *yaml.Node) bool {
	old := parent.value
	ps := paired(old, want)
	if len(ps) < len(items(old)) {
		return false
	}
	partner := map[*yaml.Node]item{}
	for _, p := range ps {
		partner[p.want.value] = p.old
		if p.old.key != nil && p.old.key.Value != p.want.key.Value {
			at := r.spans[p.old.key]
			r.put(at.from, at.to, flow(p.want.key))
		}
		r.conform(p.old, p.want.value)
	}
	at, before := r.spans[old].from+1, true
	for _, w := range items(want) {
		if o, ok := partner[w.value]; ok {
			at, before = r.spans[o.value].to, false
			continue
		}
		text := flow(w.value)
		if w.key != nil {
			text = flow(w.key) + ": " + text
		}
		if before {
			r.put(at, at, text+", ")
		} else {
			r.put(at, at, ", "+text)
		}
	}
	return true
}
