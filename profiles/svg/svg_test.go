package svg

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
)

// Whatever stands in a title, a label or a text, the picture is well formed and says it.
func TestAnythingCanBeSaid(t *testing.T) {
	const odd = "<\"Flöte\" & 'Horn'> −3\x00\xff"
	var c Canvas
	c.Open(120, 40, odd)
	c.About(odd, odd, "text{fill:#000}", "", 120, 40)
	c.Text(1.25, -3, "soft", "middle", odd)
	c.WriteString("</svg>\n")
	d := xml.NewDecoder(strings.NewReader(c.String()))
	said := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%v in %s", err, &c)
		}
		if text, ok := token.(xml.CharData); ok && strings.Contains(string(text), `<"Flöte" & 'Horn'> −3`) {
			said++
		}
	}
	if said != 3 {
		t.Errorf("it is said %d times, want in title, description and text: %s", said, &c)
	}
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 10: "10", 2.5: "2.5", 1.04: "1", -0.26: "-0.3", 100: "100"} {
		if got := Number(v); got != want {
			t.Errorf("%g is %s, want %s", v, got, want)
		}
	}
}
