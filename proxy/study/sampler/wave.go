package sampler

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
)

// Recording is sound as it was recorded. Full scale is 1.
type Recording struct {
	Rate     int
	Channels [][]float32 // all as long
}

// Limits of what is read: what lies beyond is no recording of a probe.
const (
	leastRate, mostRate = 22050, 192000
	mostChannels        = 8
	mostSeconds         = 3 * 3600
)

// ReadWAV reads a WAV file: whole numbers of 16, 24 or 32 bits or floating point of 32 or 64, any
// number of channels up to 8. The library for such files that the demonstration writes with reads
// whole numbers only, and recorders write floating point.
func ReadWAV(name string) (*Recording, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r, err := readWAV(bufio.NewReaderSize(f, 1<<20))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return r, nil
}

var errNoWAV = errors.New("this is no WAV file; record or export one")

// form is the format chunk.
type form struct {
	Code, Channels   uint16
	Rate, ByteRate   uint32
	BlockAlign, Bits uint16
}

// The codes of formats (Microsoft, Multimedia Programming Interface, from memory).
const (
	pcm        = 1
	float      = 3
	extensible = 0xFFFE
)

func readWAV(in io.Reader) (*Recording, error) {
	var head [12]byte
	if _, err := io.ReadFull(in, head[:]); err != nil || string(head[:4]) != "RIFF" && string(head[:4]) != "RF64" || string(head[8:]) != "WAVE" {
		return nil, errNoWAV
	}
	var of form
	for {
		var chunk struct {
			Name [4]byte
			Size uint32
		}
		if err := binary.Read(in, binary.LittleEndian, &chunk); err != nil {
			return nil, errors.New("the file ends before its sound begins; record it again")
		}
		switch string(chunk.Name[:]) {
		case "fmt ":
			if err := of.read(in, chunk.Size); err != nil {
				return nil, err
			}
		case "data":
			return of.samples(in, chunk.Size)
		default:
			if _, err := io.CopyN(io.Discard, in, int64(chunk.Size)+int64(chunk.Size%2)); err != nil {
				return nil, errors.New("the file ends before its sound begins; record it again")
			}
		}
	}
}

// mostFormat is the longest format chunk that makes sense.
const mostFormat = 1024

func (f *form) read(in io.Reader, size uint32) error {
	if size < 16 || size > mostFormat {
		return errNoWAV
	}
	b := make([]byte, size+size%2)
	if _, err := io.ReadFull(in, b); err != nil {
		return errNoWAV
	}
	f.Code, f.Channels = binary.LittleEndian.Uint16(b), binary.LittleEndian.Uint16(b[2:])
	f.Rate, f.Bits = binary.LittleEndian.Uint32(b[4:]), binary.LittleEndian.Uint16(b[14:])
	if f.Code == extensible && size >= 26 {
		f.Code = binary.LittleEndian.Uint16(b[24:])
	}
	switch {
	case f.Rate < leastRate || f.Rate > mostRate:
		return fmt.Errorf("a rate of %d Hz cannot be measured; record at %d to %d Hz", f.Rate, leastRate, mostRate)
	case f.Channels < 1 || f.Channels > mostChannels:
		return fmt.Errorf("found %d channels; record one or two", f.Channels)
	case f.Code == pcm && (f.Bits == 16 || f.Bits == 24 || f.Bits == 32), f.Code == float && (f.Bits == 32 || f.Bits == 64):
		return nil
	}
	return fmt.Errorf("samples of format %d with %d bits are not known; record whole numbers of 16, 24 or 32 bits or floating point", f.Code, f.Bits)
}

// samples reads the sound. A size that a recorder left open, as one that was stopped does, means all
// that follows.
func (f *form) samples(in io.Reader, size uint32) (*Recording, error) {
	if f.Channels == 0 {
		return nil, errNoWAV
	}
	width := int(f.Bits / 8)
	frame := width * int(f.Channels)
	r := &Recording{Rate: int(f.Rate), Channels: make([][]float32, f.Channels)}
	if size == 0 || size >= math.MaxUint32-8 {
		size = math.MaxUint32
	}
	in = io.LimitReader(in, int64(size))
	b := make([]byte, frame*4096)
	for {
		n, err := io.ReadFull(in, b)
		for at := 0; at+frame <= n; at += frame {
			for c := range r.Channels {
				v := f.sample(b[at+c*width:])
				if v != v || v > math.MaxFloat32 || v < -math.MaxFloat32 {
					return nil, errors.New("the file holds samples that are not numbers; record it again")
				}
				r.Channels[c] = append(r.Channels[c], v)
			}
		}
		if len(r.Channels[0]) > mostSeconds*r.Rate {
			return nil, fmt.Errorf("the recording is longer than %d hours; no probe is", mostSeconds/3600)
		}
		if err != nil {
			break
		}
	}
	if len(r.Channels[0]) == 0 {
		return nil, errors.New("the file holds no sound; record it again")
	}
	return r, nil
}

func (f *form) sample(b []byte) float32 {
	switch {
	case f.Code == float && f.Bits == 32:
		return math.Float32frombits(binary.LittleEndian.Uint32(b))
	case f.Code == float:
		return float32(math.Float64frombits(binary.LittleEndian.Uint64(b)))
	case f.Bits == 16:
		return float32(int16(binary.LittleEndian.Uint16(b))) / (1 << 15)
	case f.Bits == 24:
		return float32(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
	}
	return float32(int32(binary.LittleEndian.Uint32(b))) / (1 << 31)
}

// Mix adds stems up that begin together: each part sounds in its own time, so nothing is lost.
func Mix(stems ...*Recording) (*Recording, error) {
	if len(stems) == 0 {
		return nil, errors.New("there is no recording")
	}
	mix := stems[0]
	for i, s := range stems[1:] {
		if s.Rate != mix.Rate {
			return nil, fmt.Errorf("recording %d has a rate of %d Hz and the first one %d; export all stems alike", i+2, s.Rate, mix.Rate)
		}
		for len(mix.Channels) < len(s.Channels) { // a mono stem among stereo ones is in the middle
			mix.Channels = append(mix.Channels, make([]float32, len(mix.Channels[0])))
		}
		for c := range mix.Channels {
			if long := len(s.Channels[0]); len(mix.Channels[c]) < long {
				mix.Channels[c] = append(mix.Channels[c], make([]float32, long-len(mix.Channels[c]))...)
			}
			if c < len(s.Channels) {
				for j, v := range s.Channels[c] {
					mix.Channels[c][j] += v
				}
			}
		}
	}
	return mix, nil
}
