package change

import (
	"bytes"
	"fmt"
	"testing"

	"swellbox/profiles"
)

// hostile is a document of nearly the largest size, deep, on one line, with as many
// keys in its sections as are read.
func hostile() []byte {
	var b bytes.Buffer
	b.WriteString("swellbox: 1\nname: a\nx: {y: {y: {y: {y: {")
	for i := 0; i < itemsLimit-1 && b.Len() < profiles.DocumentLimit-12000; i++ {
		fmt.Fprintf(&b, "%x: {", i)
		for k := range 100 {
			fmt.Fprintf(&b, "%x: 1,", k)
		}
		b.WriteString("},")
	}
	b.WriteString("}}}}}\n")
	return b.Bytes()
}

func BenchmarkSet(b *testing.B) {
	for name, doc := range map[string][]byte{"usual": []byte(mine), "hostile": hostile()} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Set(doc, "players", "3"); (err != nil) != (name == "hostile") {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkMerge(b *testing.B) {
	usual := []byte(mine)
	for name, base := range map[string][]byte{"usual": usual, "hostile": hostile()} {
		b.Run(name, func(b *testing.B) {
			ours := bytes.Replace(base, []byte("name: "), []byte("name:  "), 1)
			theirs := append([]byte("family: strings\n"), base...)
			for b.Loop() {
				if _, _, err := Merge(base, ours, theirs); (err != nil) != (name == "hostile") {
					b.Fatal(err)
				}
			}
		})
	}
}
