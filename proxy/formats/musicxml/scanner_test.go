package musicxml

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// tokens are those of a source, each with its line, up to its end or an error.
func tokens(s *source) (list []string, err error) {
	for {
		what, text, err := s.token()
		if err != nil {
			return list, err
		}
		if what == tokenStart {
			e := &s.elements[len(s.open)-1]
			text = fmt.Sprint(e.Name, e.Attr)
		}
		list = append(list, fmt.Sprintf("%d %d %q", s.line(), what, text))
		if len(s.open) == 0 && what == tokenEnd {
			return list, nil // what follows the score is not read
		}
	}
}

// scan reads a file with the scanner and with the decoder. They are to read it alike, unless the scanner
// leaves it to the decoder. It reports whether it does not.
func scan(t *testing.T, b []byte) bool {
	t.Helper()
	plain := newScanner(b)
	if plain == nil {
		return false
	}
	got, err := tokens(scanned(plain))
	if err != nil {
		return false
	}
	text, err := decoded(b)
	if err != nil {
		t.Fatalf("only the scanner reads it: %v", err)
	}
	want, err := tokens(newSource(text))
	if err != nil && !errors.Is(err, io.EOF) {
		t.Fatalf("only the scanner reads %.300q: %v", b, err)
	}
	if len(got) != len(want) {
		t.Fatalf("%.300q: the scanner reads %d tokens, the decoder %d", b, len(got), len(want))
	}
	for i := range got {
		if got[i] != want[i] {
			t.Fatalf("token %d of %.300q is %s by the scanner and %s by the decoder", i, b, got[i], want[i])
		}
	}
	return true
}

func TestScannerReadsAsTheDecoder(t *testing.T) {
	const head = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
	for text, plain := range map[string]bool{
		head + `<!DOCTYPE score PUBLIC "a > b" 'c.dtd'>` + "\n<a b='1' c=\"2\"/>": true,
		head + "<a>\r\n<b/>\r\n<!-- one - two -->\r\n</a >":                       true,
		"\uFEFF<?xml version='1.0'?><a><b c = 'd&apos;e&#233;' >x &lt; y</b></a>": true,
		"<a xml:lang=\"de\" x:y='z'>Größe &amp; Maß</a>\ngarbage <<":              true,
		"<a><b></b><c\n d='1\n2'\n/>text</a>":                                     true,
		"<a>]] ></a>":                                                             true,
		"<a>]]></a>":                                                              false,
		"<a><![CDATA[x]]></a>":                                                    false,
		"<a>&nbsp;</a>":                                                           false,
		"<a>&#0;</a>":                                                             false,
		"<a>\x01</a>":                                                             false,
		"<a>\xFF</a>":                                                             false,
		"<a>x\ry</a>":                                                             false,
		"<x:a></x:a>":                                                             false,
		"<a b></a>":                                                               false,
		"<a b=c></a>":                                                             false,
		"<a b='<'></a>":                                                           false,
		"<a></b>":                                                                 false,
		"<a>":                                                                     false,
		"<a><!-- x -- y --></a>":                                                  false,
		"<a><?do it?></a>":                                                        false,
		"<!DOCTYPE a [<!ENTITY b 'c'>]><a/>":                                      false,
		"<?xml version='1.0' encoding='ISO-8859-1'?><a>x</a>":     false,
		"<?xml version='1.1'?><a>x</a>":                           false,
		"<a>" + strings.Repeat("x", longest+1) + "</a>":           false,
		"<a>" + strings.Repeat("<b>", maxDepth) + "</a>":          false,
		"<a b='" + strings.Repeat("x", longest+1) + "'>x</a>":     false,
		"<a><!--" + strings.Repeat("x", longest+1) + "--> x </a>": false,
	} {
		if got := scan(t, []byte(text)); got != plain {
			t.Errorf("%.80q is plain: %v, want %v", text, got, plain)
		}
	}
	files, err := filepath.Glob("testdata/*.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		scan(t, b)
	}
}

// Whatever the scanner takes, the decoder reads alike.
func FuzzScanner(f *testing.F) {
	f.Add([]byte("<?xml version=\"1.0\"?><!DOCTYPE a \"b\"><a b='c' d:e=\"&lt;\">x &#65; <f/>\r\n<!-- --></a>"))
	f.Add([]byte("<a\t>]]&gt;<b></b ></a>"))
	f.Fuzz(func(t *testing.T, b []byte) { scan(t, b) })
}
