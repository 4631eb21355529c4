package balance

import (
	"bytes"
	"context"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"swellbox/proxy/study/demo"
)

// A browser lays the page out: at the width of a desk and of a phone nothing but the
// tables in their own containers is wider than the window, on a desk not even those, so that
// all bars are seen, and each of the three choices shows what it says. The page has no
// script; the test adds one that measures.
func TestInTheBrowser(t *testing.T) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("SKIPPED, NOT CHECKED: there is no chromium here; apt-get install chromium, and the page is opened in it")
	}
	var b bytes.Buffer
	if err := analyse(t, demo.Score(), castOf(t)).HTML(&b); err != nil {
		t.Fatal(err)
	}
	const measure = `<script>
var d = document.documentElement, wide = [], out = [];
document.querySelectorAll("body *").forEach(function (e) {
  if (!e.closest(".scroll table") && e.getBoundingClientRect().right > d.clientWidth + 0.5) wide.push(e.tagName);
});
["both", "hall", "studio"].forEach(function (id) {
  document.getElementById(id).checked = true;
  out.push(id + "=" + Array.from(document.querySelectorAll("section")).filter(function (s) { return s.offsetHeight > 0; }).map(function (s) { return s.className; }).join("+"));
});
var cut = Array.from(document.querySelectorAll(".scroll")).filter(function (e) { return d.clientWidth > 1000 && e.scrollWidth > e.clientWidth; }).length;
document.title = "cut " + cut + " width " + d.clientWidth + " page " + d.scrollWidth + " wide " + wide.length + " " + out.join(" ") + ".";
</script></body>`
	text := strings.Replace(b.String(), "</body>", measure, 1)
	if text == b.String() {
		t.Fatal("the page has no end to add to")
	}
	for _, width := range []int{1280, 390} {
		// A browser's own window is never as narrow as a phone; a frame in it is.
		page := filepath.Join(t.TempDir(), "frame.html")
		frame := fmt.Sprintf(`<!DOCTYPE html><iframe id="f" style="width:%dpx;height:900px;border:0" srcdoc="%s"></iframe>
<script>window.onload = function () { document.title = f.contentDocument.title; };</script>`, width, html.EscapeString(text))
		if err := os.WriteFile(page, []byte(frame), 0o644); err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute) // only a hang meets it
		defer cancel()
		c := exec.CommandContext(ctx, browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
			"--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
			"--user-data-dir="+t.TempDir(), "--window-size=1400,1000", "--dump-dom", "file://"+page)
		dom, err := c.Output()
		if err != nil {
			t.Fatalf("chromium at %d pixels: %v", width, err)
		}
		title := regexp.MustCompile(`<title>(cut.*?)</title>`).FindSubmatch(dom)
		want := fmt.Sprintf("cut 0 width %d page %[1]d wide 0 both=hall+studio hall=hall studio=studio.", width)
		if title == nil || string(title[1]) != want {
			t.Errorf("%q, want %q", title, want)
		}
	}
}
