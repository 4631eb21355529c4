package recording

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"testing/synctest"
	"time"
)

// disk is a file in memory, which may be full.
type disk struct {
	bytes.Buffer
	full error
}

func (d *disk) Write(b []byte) (int, error) {
	if d.full != nil {
		return 0, d.full
	}
	return d.Buffer.Write(b)
}
func (d *disk) Sync() error  { return nil }
func (d *disk) Close() error { return nil }

var some = []Record{
	{At: 1, Kind: Order, Bytes: []byte(`{"do":"begin"}`)},
	{At: 5 * time.Millisecond, Kind: Message, Port: 3, Bytes: []byte{0x90, 60, 80}},
	{At: 5 * time.Millisecond, Kind: Message, Bytes: bytes.Repeat([]byte{0xF0}, 5000)},
	{At: 26 * time.Hour, Kind: Message, Port: 255, Bytes: []byte{0xF8}},
}

func put(w *Writer, records ...Record) {
	for _, r := range records {
		if r.Kind == Order {
			w.Order(r.At, r.Bytes)
		} else {
			w.Message(r.At, r.Port, r.Bytes)
		}
	}
}

// What was recorded is read; and where the file is cut off, wherever that is, all that stands in
// whole blocks.
func TestWriteAndRead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &disk{}
		w, err := New(d)
		if err != nil {
			t.Fatal(err)
		}
		var ends []int // of the blocks
		for _, r := range some {
			put(w, r)
			time.Sleep(Period) // in a bubble
			synctest.Wait()
			ends = append(ends, d.Len())
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		all := d.Bytes()
		for n := len(header); n <= len(all); n++ {
			whole := 0
			for whole < len(ends) && ends[whole] <= n {
				whole++
			}
			got, err := Read(bytes.NewReader(all[:n]))
			if err != nil || len(got.Records) != whole || whole > 0 && !reflect.DeepEqual(got.Records, some[:whole]) {
				t.Fatalf("the first %d bytes: %d records, want %d; %v", n, len(got.Records), whole, err)
			}
			if between := whole == 0 && n == len(header) || whole > 0 && ends[whole-1] == n; got.Cut == between {
				t.Errorf("the first %d bytes: cut is %v", n, got.Cut)
			}
		}
		spoilt := bytes.Clone(all)
		spoilt[ends[1]+9] ^= 4
		if got, err := Read(bytes.NewReader(spoilt)); err != nil || len(got.Records) != 2 || !got.Cut {
			t.Errorf("with a bit turned in the third block: %v, %v", got, err)
		}
	})
}

// A killed program loses what came in within a period at most: what is older is in the file.
func TestWrittenWithinAPeriod(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &disk{}
		w, err := New(d)
		if err != nil {
			t.Fatal(err)
		}
		put(w, some...)
		time.Sleep(Period) // in a bubble
		synctest.Wait()
		if got, err := Read(bytes.NewReader(d.Bytes())); err != nil || !reflect.DeepEqual(got.Records, some) {
			t.Errorf("after a period there are %v; %v", got, err)
		}
		w.Close()
	})
}

// A full disk ends the recording, says so, and holds nobody up.
func TestDiskFull(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &disk{}
		w, err := New(d)
		if err != nil {
			t.Fatal(err)
		}
		long := make([]byte, room-100)
		put(w, Record{Kind: Message, Bytes: long})
		put(w, Record{Kind: Order, Bytes: []byte("x")})
		time.Sleep(Period) // in a bubble
		synctest.Wait()
		got, err := Read(bytes.NewReader(d.Bytes()))
		if err != nil || len(got.Records) != 2 || got.Records[1].Kind != Order {
			t.Fatalf("%v, %v", got, err)
		}
		d.full = errors.New("no space left")
		put(w, some...)
		time.Sleep(Period) // in a bubble
		synctest.Wait()
		put(w, some...)
		if !errors.Is(w.Err(), d.full) || !errors.Is(w.Close(), d.full) {
			t.Errorf("the recording says %v", w.Err())
		}
	})
}

// What there is no room for is missing, and the file says how much.
func TestGap(t *testing.T) {
	w := &Writer{waiting: make([]byte, 0, room), full: make(chan struct{}, 1)} // whose disk does not come
	long := make([]byte, room-1000)
	put(w, Record{Kind: Message, Bytes: long}, Record{Kind: Message, Bytes: long}, Record{Kind: Message, Bytes: long}, Record{At: 1, Kind: Order, Bytes: []byte("x")})
	r := &Recording{}
	if err := r.take(w.waiting); err != nil || len(r.Records) != 3 || r.Records[1].Kind != Gap || r.Records[1].Missing != 2 {
		t.Errorf("%d records, %v", len(r.Records), err)
	}
}

func TestCreateNeverOverwrites(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.rec")
	if err := os.WriteFile(path, []byte("a day's work"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Create(path); err == nil {
		t.Error("a file was written over")
	}
	if _, err := ReadFile(path); !errors.Is(err, errFormat) {
		t.Errorf("something else was read: %v", err)
	}
}

func TestMessageDoesNotAllocate(t *testing.T) {
	w := &Writer{waiting: make([]byte, 0, room), full: make(chan struct{}, 1)}
	b := []byte{0x90, 60, 80}
	if n := testing.AllocsPerRun(1000, func() { w.Message(1, 0, b) }); n != 0 {
		t.Errorf("a message costs %v allocations", n)
	}
}

// Whatever is in a file, reading ends, and gives records in the order of time.
func FuzzRead(f *testing.F) {
	f.Add([]byte(header))
	f.Add([]byte(header + "\x02\x00\x00\x00\x00\x00\x00\x00\x03\x00"))
	w := &Writer{waiting: make([]byte, 0, room), full: make(chan struct{}, 1)}
	put(w, some...)
	f.Add(w.waiting)
	f.Fuzz(func(t *testing.T, b []byte) {
		if r, err := Read(bytes.NewReader(b)); err == nil {
			ordered(t, r)
		}
		r := &Recording{}
		_ = r.take(b)
		ordered(t, r)
	})
}

func ordered(t *testing.T, r *Recording) {
	for i := 1; i < len(r.Records); i++ {
		if r.Records[i].At < r.Records[i-1].At || r.Records[i-1].At < 0 {
			t.Fatalf("record %d is at %v, the one before it at %v", i, r.Records[i].At, r.Records[i-1].At)
		}
	}
}
