package musicxml

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// maxTag is how many bytes may pass without the end of a tag: a longer tag or text
// is no music, and would take many times its size in memory.
const maxTag = 1 << 20

// guard passes a file on as long as its tags end within maxTag bytes.
type guard struct {
	r   io.Reader
	run int // bytes since the last end of a tag
}

func (g *guard) Read(p []byte) (int, error) {
	n, err := g.r.Read(p)
	if i := bytes.LastIndexByte(p[:n], '>'); i >= 0 {
		g.run = n - i - 1
	} else {
		g.run += n
	}
	if g.run > maxTag {
		return 0, refused("a tag or a text is over %d bytes long, which no score has: %s", maxTag, damaged)
	}
	return n, err
}

// charset reads a file in the encoding that its first line names, as UTF-8.
// UTF-16 is told by its first bytes and has become UTF-8 before.
func charset(name string, r io.Reader) (io.Reader, error) {
	switch strings.ToLower(name) {
	case "utf-8", "utf8", "utf-16", "utf-16le", "utf-16be", "us-ascii", "ascii":
		return r, nil
	case "iso-8859-1", "latin1", "iso8859-1":
		return &latin1{r: bufio.NewReader(r)}, nil
	}
	return nil, refused("the encoding %.40q is not known here; export the score as UTF-8", name)
}

// latin1 reads ISO-8859-1, whose bytes are the first 256 characters of Unicode.
type latin1 struct{ r *bufio.Reader }

func (l *latin1) Read(p []byte) (n int, err error) {
	for n+utf8.UTFMax <= len(p) {
		b, err := l.r.ReadByte()
		if err != nil {
			return n, err
		}
		n += utf8.EncodeRune(p[n:], rune(b))
	}
	if n == 0 && len(p) > 0 {
		return 0, io.ErrShortBuffer
	}
	return n, nil
}

// decoded is a file as UTF-8 if it is in UTF-16, told by its byte order mark or by
// the zero beside its first "<", and without the mark of UTF-8.
func decoded(b []byte) (io.Reader, error) {
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(b, []byte("\xEF\xBB\xBF")):
		return bytes.NewReader(b[3:]), nil
	case bytes.HasPrefix(b, []byte("\xFF\xFE")):
		order, b = binary.LittleEndian, b[2:]
	case bytes.HasPrefix(b, []byte("\xFE\xFF")):
		order, b = binary.BigEndian, b[2:]
	case bytes.HasPrefix(b, []byte("<\x00")):
		order = binary.LittleEndian
	case bytes.HasPrefix(b, []byte("\x00<")):
		order = binary.BigEndian
	default:
		return bytes.NewReader(b), nil
	}
	if len(b)%2 != 0 {
		return nil, refused("the file is in UTF-16 and ends within a character: %s", damaged)
	}
	return &wide{b: b, order: order}, nil
}

// wide reads UTF-16.
type wide struct {
	b     []byte
	order binary.ByteOrder
}

func (w *wide) Read(p []byte) (n int, err error) {
	if len(w.b) == 0 {
		return 0, io.EOF
	}
	for len(w.b) > 0 && n+utf8.UTFMax <= len(p) {
		c := rune(w.order.Uint16(w.b))
		w.b = w.b[2:]
		if utf16.IsSurrogate(c) && len(w.b) > 0 {
			c = utf16.DecodeRune(c, rune(w.order.Uint16(w.b)))
			w.b = w.b[2:]
		}
		n += utf8.EncodeRune(p[n:], c)
	}
	if n == 0 && len(p) > 0 {
		return 0, io.ErrShortBuffer
	}
	return n, nil
}
