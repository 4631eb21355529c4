package console

import (
	"embed"
	"io/fs"
	"net/http"
	"path"
)

// The page is what stands in the folder, as it is: plain modules, no build.
//
//go:embed page
var bundle embed.FS

// file is one of the page's own files.
type file struct {
	name    string
	content []byte
}

// kinds are the kinds of files that the page is made of.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".yaml": "text/yaml; charset=utf-8",
	".svg":  "image/svg+xml",
}

// files are all of them. They are looked up by name and never by path, so that no path leads
// out of them.
func files() (all []file) {
	entries, err := fs.ReadDir(bundle, "page")
	if err != nil {
		panic(err) // it is part of the program
	}
	for _, e := range entries {
		b, err := bundle.ReadFile("page/" + e.Name())
		if err != nil {
			panic(err)
		}
		all = append(all, file{e.Name(), b})
	}
	return all
}

func (f *file) serve(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", kinds[path.Ext(f.name)])
	w.Write(f.content) // an error here is a page that has gone
}
