package lesson

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"strings"
)

var (
	//go:embed page.html
	pageText string
	//go:embed page.css
	style string
	//go:embed page.js
	script string
)

var page = template.Must(template.New("lesson").Funcs(template.FuncMap{
	"inc":   func(i int) int { return i + 1 },
	"upper": func(s string) string { return strings.ToUpper(s[:1]) + s[1:] },
}).Parse(pageText))

// view is what the page is made of.
type view struct {
	*Lesson
	Style      template.CSS
	Script     template.JS
	ScriptHash string // by which the page runs this script and no other
	Most       int    // takes
}

// Write writes the page. An error is that of w.
func (l *Lesson) Write(w io.Writer) error {
	sum := sha256.Sum256([]byte(script))
	v := view{
		Lesson: l, Style: template.CSS(style), Script: template.JS(script), // they are this package's own
		ScriptHash: "sha256-" + base64.StdEncoding.EncodeToString(sum[:]),
	}
	for _, s := range l.Stretches {
		v.Most = max(v.Most, len(s.Takes))
	}
	return page.Execute(w, v)
}
