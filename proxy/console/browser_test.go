package console_test

import (
	"io"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"swellbox/proxy/browsing"
	"swellbox/proxy/console"
)

// A person uses the page in a browser while the built-in score plays: by keys alone, on a wide screen
// and on a phone, in light and in dark, over a restart of the daemon; a checker of what is fit for
// everybody has nothing against it; a hundred parts cost a frame no layout; and another site gets nowhere. SWELLBOX_PICTURES names a
// folder for pictures of what was seen.
func TestInTheBrowser(t *testing.T) {
	pass := filepath.Join(t.TempDir(), "console.pass")
	var stop func()
	var port int
	var shops []*workshop
	begin := func() (address string) {
		t.Helper()
		r := start(t, func(c *console.Config) { c.PassFile, c.Port = pass, port })
		end := r.play()
		shops = append(shops, r.shop)
		stop = func() { end(); r.end() }
		u, err := url.Parse(r.base)
		if err == nil {
			port, err = strconv.Atoi(u.Port())
		}
		if err != nil {
			t.Fatal(err)
		}
		return r.c.Address()
	}
	browsing.Run(t, "testdata/browser/page.mjs", func(kind, text string, in io.Writer) {
		switch kind {
		case "measured":
			t.Log(text)
		case "restart":
			stop()
		case "down":
			io.WriteString(in, begin()+"\n") // an error here is a script that has failed, and says so
		}
	}, begin(), os.Getenv("SWELLBOX_PICTURES"))
	if notes := shops[0].notes; !slices.Equal(notes, []string{"softer in the middle"}) {
		t.Errorf("saved with the notes %q", notes)
	}
}
