package rtmidi

import (
	"testing"

	"swellbox/proxy/ports/portstub"
)

// The real driver keeps its contract, on a machine that has a way from an output to
// an input: ALSA's "Midi Through" (kernel module snd-seq-dummy).
func TestConform(t *testing.T) {
	s := New()
	if err := s.host.ready(); err != nil {
		if _, got := s.Ports(); got == nil || got.Error() != err.Error() {
			t.Errorf("Ports: %v, want the reason why there are none: %v", got, err)
		}
		t.Skip(err)
	}
	portstub.Conform(t, portstub.Rig{System: s, In: "Midi Through", Out: "Midi Through", Virtual: s.host.goos != "windows"})
}
