package console_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy/console"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
)

func (r *rig) adjust(body string) (a console.Adjusted) {
	r.t.Helper()
	code, told := r.ask("POST", "/api/adjust", body, nil)
	if code != 200 {
		r.t.Fatalf("%s: %d %s", body, code, told)
	}
	if err := json.Unmarshal([]byte(told), &a); err != nil {
		r.t.Fatal(err)
	}
	return a
}

// vibrato is how much of it who plays the violas has.
func (r *rig) vibrato() float64 {
	g := live.NewGauges(r.d)
	g.Look()
	for i, p := range r.d.Status().Parts {
		if p.Profile == "violas" {
			return g.Parts[i].Profile.Amounts.Of("vibrato")
		}
	}
	r.t.Fatal("nobody plays the violas")
	return 0
}

// An amount is heard at once, undone and done again, told in the words of music, and saved with a
// note; what is read anew meanwhile has it too.
func TestAdjust(t *testing.T) {
	r := start(t, nil)
	r.play()
	a := r.adjust(`{"name":"violas","do":"look"}`)
	if len(a.Habits) < 20 || len(a.Curves) != 3 || a.Undo || a.Redo || len(a.Changes) != 0 || r.vibrato() != 1 {
		t.Fatalf("%+v", a)
	}
	for _, x := range []string{"1.2", "1.3", "1.5"} {
		r.adjust(`{"name":"violas","do":"amount","key":"vibrato","amount":` + x + `,"going":true}`)
	}
	a = r.adjust(`{"name":"violas","do":"amount","key":"vibrato","amount":1.6}`)
	if !a.Undo || len(a.Changes) != 1 || !strings.Contains(a.Changes[0], "vibrato 1 → 1.6") || r.vibrato() != 1.6 {
		t.Errorf("%q, %g is heard", a.Changes, r.vibrato())
	}
	a = r.adjust(`{"name":"violas","do":"undo"}`) // the whole way of the hand
	if a.Undo || !a.Redo || len(a.Changes) != 0 || r.vibrato() != 1 {
		t.Errorf("undone: %+v, %g is heard", a.Changes, r.vibrato())
	}
	r.adjust(`{"name":"violas","do":"redo"}`)
	a = r.adjust(`{"name":"violas","do":"curve","key":"reading","points":[[1,-25],[80,0],[127,8]]}`)
	if !slices.ContainsFunc(a.Changes, func(s string) bool { return strings.Contains(s, "level") }) {
		t.Errorf("a curve: %q", a.Changes)
	}
	c, err := r.shop.cast()
	if err == nil {
		err = r.c.Over(c)
	}
	if err != nil {
		t.Fatal(err)
	}
	if p, err := c.Library.Resolve("violas"); err != nil || p.Amounts.Of("vibrato") != 1.6 {
		t.Errorf("what is read anew: %v, %v", p, err)
	}
	a = r.adjust(`{"name":"violas","do":"save","note":"for the\nslow movement"}`)
	if a.Undo || len(a.Changes) != 0 || r.vibrato() != 1.6 || !slices.Equal(r.shop.notes, []string{"for the slow movement"}) {
		t.Errorf("saved: %+v, notes %q", a.Changes, r.shop.notes)
	}
	r.adjust(`{"name":"violas","do":"amount","key":"vibrato","amount":0}`)
	if a = r.adjust(`{"name":"violas","do":"discard"}`); a.Undo || a.Redo || r.vibrato() != 1.6 {
		t.Errorf("discarded: %+v", a)
	}
}

// Every habit and every curve that is shown can be set.
func TestAdjustEverything(t *testing.T) {
	r := start(t, nil)
	a := r.adjust(`{"name":"violas","do":"look"}`)
	for _, h := range a.Habits {
		b := r.adjust(fmt.Sprintf(`{"name":"violas","do":"amount","key":%q,"amount":0.35}`, h.Key))
		for _, now := range b.Habits {
			if now.Key == h.Key && now.Amount != 0.35 {
				t.Errorf("%s is at %g", h.Key, now.Amount)
			}
		}
		if h.Name == "" || h.Sentence == "" {
			t.Errorf("%+v", h)
		}
	}
	for _, c := range a.Curves {
		points := slices.Clone(c.Points)
		points[0][1] += 1
		b, err := json.Marshal(points)
		if err != nil {
			t.Fatal(err)
		}
		told := r.adjust(fmt.Sprintf(`{"name":"violas","do":"curve","key":%q,"points":%s}`, c.Key, b))
		if i := slices.IndexFunc(told.Curves, func(d console.Curve) bool { return d.Key == c.Key }); told.Curves[i].Points[0] != points[0] {
			t.Errorf("%s is %v, want %v", c.Key, told.Curves[i].Points, points)
		}
	}
}

// What makes no sense is refused, and nothing is changed by it.
func TestAdjustRefuses(t *testing.T) {
	r := start(t, nil)
	for _, body := range []string{
		`{"name":"serpent","do":"look"}`, `{"name":"../violas","do":"look"}`, `{"name":"","do":"look"}`,
		`{"name":"violas","do":"wish"}`, `{"name":"violas","do":"amount","key":"wish","amount":1}`,
		`{"name":"violas","do":"amount","key":"vibrato","amount":3}`, `{"name":"violas","do":"amount","key":"vibrato","amount":-1}`,
		`{"name":"violas","do":"curve","key":"reading","points":[[1,0]]}`, `{"name":"violas","do":"curve","key":"reading","points":[[80,0],[1,-3]]}`,
		`{"name":"violas","do":"curve","key":"wish","points":[[1,0],[127,1]]}`, `{"name":"violas","do":"save"}`,
	} {
		if code, told := r.ask("POST", "/api/adjust", body, nil); code != 409 || !strings.Contains(told, `"error":"`) {
			t.Errorf("%s: %d %s", body, code, told)
		}
	}
	if a := r.adjust(`{"name":"violas","do":"look"}`); a.Undo || a.Redo {
		t.Errorf("%+v", a)
	}
	locked := start(t, func(c *console.Config) { c.Workshop, c.Cast = nil, func() (*perform.Cast, error) { return nil, nil } })
	if code, told := locked.ask("POST", "/api/adjust", `{"name":"violas","do":"look"}`, nil); code != 409 || !strings.Contains(told, "by a lock") {
		t.Errorf("%d %s", code, told)
	}
}
