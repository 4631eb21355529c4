package control_test

import (
	"testing"

	"swellbox/proxy/control"
	"swellbox/proxy/live"
)

func TestParseLoop(t *testing.T) {
	for text, want := range map[string]live.Loop{"5-8": {First: 5, Last: 8}, "7": {First: 7, Last: 7}} {
		if l, err := control.ParseLoop(text); err != nil || l != want {
			t.Errorf("%q: %v, %v", text, l, err)
		}
	}
	for _, text := range []string{"", "off", "5-", "-8", "5-8-9", "05-8", "five", "5–8", "5 - 8"} {
		if l, err := control.ParseLoop(text); err == nil {
			t.Errorf("%q is taken for %v", text, l)
		}
	}
}
