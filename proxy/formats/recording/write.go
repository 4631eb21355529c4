package recording

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"sync"
	"time"
)

// room is how many bytes of messages may wait to be written: 25 seconds of ten thousand a second.
const room = 2 << 20

// File is what a recording is written to.
type File interface {
	io.WriteCloser
	Sync() error
}

// Writer writes a recording. Its methods may be called at any time from any goroutine; times do not
// go back. Message and Order never wait for the disk, and Message does not allocate. A goroutine of
// the writer's own writes, until Close.
type Writer struct {
	file  File
	full  chan struct{} // half of the room is taken
	stop  chan struct{}
	ended chan struct{}

	mu      sync.Mutex // never held while something is written
	waiting []byte     // records of the next block
	last    time.Duration
	missing uint64 // since the last record
	err     error  // why nothing is written any more

	block bytes.Buffer // of the goroutine's own, as is the next
	pack  *flate.Writer
}

// Create begins a recording in a new file. It is an error if there is one of that name: a recording
// is never written over.
func Create(path string) (*Writer, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY|os.O_APPEND, 0o600)
	if errors.Is(err, os.ErrExist) {
		return nil, fmt.Errorf("%s is there already, and a recording is never written over: give another name", path)
	}
	if err != nil {
		return nil, fmt.Errorf("the recording cannot be begun: %w", err)
	}
	return New(f)
}

// New begins a recording in an empty file.
func New(f File) (*Writer, error) {
	if _, err := io.WriteString(f, header); err != nil {
		return nil, errors.Join(fmt.Errorf("the recording cannot be begun: %w", err), f.Close())
	}
	pack, err := flate.NewWriter(io.Discard, flate.DefaultCompression)
	if err != nil {
		return nil, err
	}
	w := &Writer{
		file: f, pack: pack, waiting: make([]byte, 0, room),
		full: make(chan struct{}, 1), stop: make(chan struct{}), ended: make(chan struct{}),
	}
	go w.run()
	return w, nil
}

// Message records a message that came in on a port.
func (w *Writer) Message(at time.Duration, port uint16, b []byte) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.err != nil {
		return
	}
	if len(w.waiting)+len(b)+5*binary.MaxVarintLen64 > room {
		w.missing++
		return
	}
	w.begin(at, Message)
	w.waiting = binary.AppendUvarint(w.waiting, uint64(port))
	w.text(b)
}

// Order records what was ordered.
func (w *Writer) Order(at time.Duration, text []byte) {
	w.mu.Lock()
	defer w.mu.Unlock()
	switch {
	case w.err != nil:
	case len(text) > maxBlock/2:
		w.missing++
	default:
		w.begin(at, Order)
		w.text(text)
	}
}

// begin adds the beginning of a record, and of what is missing before it. w.mu is held.
func (w *Writer) begin(at time.Duration, kind Kind) {
	if w.missing > 0 {
		w.waiting = append(w.waiting, byte(Gap))
		w.pass(at)
		w.waiting = binary.AppendUvarint(w.waiting, w.missing)
		w.missing = 0
	}
	w.waiting = append(w.waiting, byte(kind))
	w.pass(at)
}

// pass adds the time. w.mu is held.
func (w *Writer) pass(at time.Duration) {
	w.waiting = binary.AppendUvarint(w.waiting, uint64(max(at-w.last, 0)))
	w.last = max(at, w.last)
}

// text adds bytes. w.mu is held.
func (w *Writer) text(b []byte) {
	w.waiting = binary.AppendUvarint(w.waiting, uint64(len(b)))
	w.waiting = append(w.waiting, b...)
	if len(w.waiting) > room/2 {
		select {
		case w.full <- struct{}{}:
		default:
		}
	}
}

// Err is why the recording has ended before its time, or nil.
func (w *Writer) Err() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.err
}

// Close writes what waits. It may be called once.
func (w *Writer) Close() error {
	close(w.stop)
	<-w.ended
	return errors.Join(w.Err(), w.file.Close())
}

func (w *Writer) run() {
	defer close(w.ended)
	tick := time.NewTicker(Period)
	defer tick.Stop()
	spare := make([]byte, 0, room)
	for going := true; going; {
		select {
		case <-tick.C:
		case <-w.full:
		case <-w.stop:
			going = false
		}
		w.mu.Lock()
		records := w.waiting
		if len(records) > 0 {
			w.waiting, w.last = spare[:0], 0
		}
		w.mu.Unlock()
		if len(records) == 0 {
			continue
		}
		if err := w.write(records); err != nil {
			w.mu.Lock()
			w.err = fmt.Errorf("the recording has ended, what came in before it can be replayed: %w", err)
			w.mu.Unlock()
			return
		}
		spare = records
		if cap(spare) > 2*room { // after an order of unusual size
			spare = make([]byte, 0, room)
		}
	}
}

// write writes a block.
func (w *Writer) write(records []byte) error {
	w.block.Reset()
	w.block.Write(make([]byte, 8))
	w.pack.Reset(&w.block)
	if _, err := w.pack.Write(records); err != nil {
		return err
	}
	if err := w.pack.Close(); err != nil {
		return err
	}
	b := w.block.Bytes()
	binary.LittleEndian.PutUint32(b, uint32(len(b)-8))
	binary.LittleEndian.PutUint32(b[4:], crc32.ChecksumIEEE(b[8:]))
	if _, err := w.file.Write(b); err != nil {
		return err
	}
	return w.file.Sync()
}
