package demo

import (
	"reflect"
	"testing"
	"time"
)

func TestManyBarsOfASymphony(t *testing.T) {
	for _, want := range []int{0, 1, 5000, 300_000} {
		f := Symphony(want)
		got, swells := 0, 0
		for _, s := range sounds(t, f) {
			for _, n := range s {
				if n.to <= n.from {
					t.Fatalf("a note of no length at tick %d", n.from)
				}
			}
			got += len(s)
		}
		ports := map[byte]int{}
		for _, track := range f.Tracks[1:] {
			ports[track.Events[1].Data[2]]++
			for _, e := range track.Events {
				if e.Data[0]&0xF0 == 0xB0 {
					swells++
				}
			}
		}
		if got != want || len(f.Tracks) != 31 {
			t.Errorf("%d notes on %d tracks, want %d on 31", got, len(f.Tracks), want)
		}
		if wantPorts := map[byte]int{0: 14, 1: 7, 2: 9}; !reflect.DeepEqual(ports, wantPorts) {
			t.Errorf("parts by port: %v, want %v", ports, wantPorts)
		}
		if want < 300_000 {
			continue
		}
		if d := duration(f); d < 59*time.Minute || d > 61*time.Minute {
			t.Errorf("it lasts %v", d)
		}
		if swells < 10_000 {
			t.Errorf("%d controller events", swells)
		}
	}
	if !reflect.DeepEqual(Symphony(5000), Symphony(5000)) {
		t.Error("two calls differ")
	}
}

func BenchmarkSymphony(b *testing.B) {
	for b.Loop() {
		Symphony(300_000)
	}
}
