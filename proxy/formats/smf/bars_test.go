package smf

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func signatureAt(tick int64, beats, power byte) Event {
	return meta(tick, MetaTimeSignature, string([]byte{beats, power, 24, 8}))
}

func TestBars(t *testing.T) {
	quarter := Division{TicksPerQuarter: 480}
	upbeat := File{Division: quarter, Tracks: []Track{{Events: []Event{
		signatureAt(0, 1, 2), signatureAt(480, 3, 2), signatureAt(480+2*1440, 6, 3),
	}}}}
	cut := File{Division: quarter, Tracks: []Track{{Events: []Event{signatureAt(2000, 4, 2)}}}}
	coarse := File{Division: Division{TicksPerQuarter: 1}, Tracks: []Track{{Events: []Event{signatureAt(0, 3, 3)}}}} // a bar of 1.5 ticks
	for _, c := range []struct {
		name string
		f    File
		tick int64
		bar  int
		beat float64
	}{
		{"4/4 by default", File{Division: quarter}, 0, 1, 1},
		{"on a beat", File{Division: quarter}, 1920 + 480, 2, 2},
		{"between beats", File{Division: quarter}, 120, 1, 1.25},
		{"the end of a bar", File{Division: quarter}, 1919, 1, 5 - 1.0/480},
		{"before the start", File{Division: quarter}, -5, 1, 1},
		{"upbeat", upbeat, 240, 1, 1.5},
		{"after the upbeat", upbeat, 480, 2, 1},
		{"second bar of three", upbeat, 480 + 1440 + 960, 3, 3},
		{"6/8 in eighths", upbeat, 480 + 2*1440 + 5*240, 4, 6},
		{"6/8, next bar", upbeat, 480 + 2*1440 + 6*240, 5, 1},
		{"before a bar that is cut short", cut, 1999, 2, 1 + 79.0/480},
		{"after a bar that is cut short", cut, 2000, 3, 1},
		{"bars of 1.5 ticks", coarse, 2, 2, 2},
		{"bars of 1.5 ticks, on the line", coarse, 3, 3, 1},
		{"no beats", File{Division: quarter, Tracks: []Track{{Events: []Event{signatureAt(0, 0, 2)}}}}, 1920, 2, 1},
		{"bars under a tick", File{Division: quarter, Tracks: []Track{{Events: []Event{signatureAt(0, 4, 13)}}}}, 1920, 2, 1},
		{"power of 255", File{Division: quarter, Tracks: []Track{{Events: []Event{signatureAt(0, 255, 255)}}}}, 1920, 2, 1},
		{"too short", File{Division: quarter, Tracks: []Track{{Events: []Event{meta(0, MetaTimeSignature, "\x03")}}}}, 1920, 2, 1},
		{"the last at one tick", File{Format: 1, Division: quarter, Tracks: []Track{
			{Events: []Event{signatureAt(0, 3, 2)}}, {Events: []Event{signatureAt(0, 2, 2)}},
		}}, 960, 2, 1},
		{"past all bars", File{Division: quarter}, math.MaxInt64, int(min(int64(math.MaxInt64/1920+1), math.MaxInt)), 1 + float64(math.MaxInt64%1920)/480},
		{"whole notes", File{Division: Division{TicksPerQuarter: 1}, Tracks: []Track{{Events: []Event{signatureAt(0, 1, 0)}}}}, 9, 3, 1.25},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := Bars(&c.f, 0)
			if err != nil {
				t.Fatal(err)
			}
			if bar, beat := m.Bar(c.tick); bar != c.bar || beat != c.beat {
				t.Errorf("Bar(%d) = %d, %v; want %d, %v", c.tick, bar, beat, c.bar, c.beat)
			}
		})
	}
}

func TestBarStart(t *testing.T) {
	m, err := Bars(golden()["format1.mid"], 0)
	if err != nil {
		t.Fatal(err)
	}
	for bar, want := range map[int]int64{
		math.MinInt: 0, -1: 0, 0: 0, 1: 0, 2: 480, 3: 2400, 4: 4320, 1000: 480 + 998*1920,
	} {
		if got := m.BarStart(bar); got != want {
			t.Errorf("BarStart(%d) = %d, want %d", bar, got, want)
		}
	}
	if strconv.IntSize == 64 {
		if got := m.BarStart(math.MaxInt); got != math.MaxInt64 {
			t.Errorf("past all ticks: %d", got)
		}
	}
}

func TestBarsRefuses(t *testing.T) {
	if _, err := Bars(golden()["smpte25.mid"], 0); err == nil {
		t.Error("a file in SMPTE time has bars")
	}
	if _, err := Bars(golden()["format2.mid"], 2); err == nil {
		t.Error("a track that is not there has bars")
	}
	if m, err := Bars(golden()["format2.mid"], 1); err != nil || m.BarStart(2) != 1920 {
		t.Errorf("the second track of format 2: %v", err)
	}
}

// TestBarsProperties: a bar starts where it says, the tick before belongs to
// the bar before, and bars and beats never fall.
func TestBarsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &File{Division: Division{TicksPerQuarter: rapid.IntRange(1, 960).Draw(t, "quarter")}, Tracks: make([]Track, 1)}
		tick := int64(0)
		for range rapid.IntRange(0, 5).Draw(t, "signatures") {
			f.Tracks[0].Events = append(f.Tracks[0].Events,
				signatureAt(tick, rapid.Byte().Draw(t, "beats"), rapid.ByteMax(12).Draw(t, "power")))
			tick += rapid.Int64Range(0, 5000).Draw(t, "delta")
		}
		m, err := Bars(f, 0)
		if err != nil {
			t.Fatal(err)
		}
		tick = rapid.Int64Range(0, 30_000).Draw(t, "tick")
		bar, beat := m.Bar(tick)
		start := m.BarStart(bar)
		if beat < 1 || start > tick || m.BarStart(bar+1) <= tick {
			t.Fatalf("tick %d is in bar %d at beat %v, which has ticks %d to %d", tick, bar, beat, start, m.BarStart(bar+1))
		}
		if b, _ := m.Bar(start); b != bar {
			t.Fatalf("bar %d starts at tick %d, which is in bar %d", bar, start, b)
		}
		if start > 0 {
			if b, _ := m.Bar(start - 1); b != bar-1 {
				t.Fatalf("tick %d before bar %d is in bar %d", start-1, bar, b)
			}
		}
		if b, x := m.Bar(tick + 1); b < bar || b == bar && x <= beat {
			t.Fatalf("tick %d is in bar %d at %v, the next in bar %d at %v", tick, bar, beat, b, x)
		}
	})
}
