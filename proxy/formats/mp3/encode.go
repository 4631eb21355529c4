package mp3

import (
	"context"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

//go:embed lame.wasm
var lame []byte

// rates are the bit rates that may be asked for, kbit/s.
var rates = []int{32, 40, 48, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320}

// Rate is the greatest bit rate of MPEG-1 layer III that is at most kbps, or the least there is. All are kbit/s.
func Rate(kbps float64) int {
	best := rates[0]
	for _, r := range rates {
		if float64(r) <= kbps {
			best = r
		}
	}
	return best
}

// chunk is how many frames the encoder is given at a time.
const chunk = 1 << 15

// Encoder encodes sound, one after another. It is not for several goroutines at once.
type Encoder struct {
	runtime wazero.Runtime
	memory  api.Memory
	calls   map[string]api.Function
}

// NewEncoder makes an encoder ready; Close ends it.
func NewEncoder(ctx context.Context) (*Encoder, error) {
	e := &Encoder{runtime: wazero.NewRuntime(ctx), calls: map[string]api.Function{}}
	module, err := e.instantiate(ctx)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("the MP3 encoder does not start: %w", err), e.Close(ctx))
	}
	e.memory = module.Memory()
	for _, name := range []string{"_initialize", "malloc", "free", "enc_init", "enc_get_pcm", "enc_encode", "enc_flush", "enc_get_out_buf", "enc_free"} {
		e.calls[name] = module.ExportedFunction(name)
	}
	_, err = e.call(ctx, "_initialize")
	return e, err
}

// instantiate gives the module the two functions of the world that it wants: neither does anything here.
func (e *Encoder) instantiate(ctx context.Context) (api.Module, error) {
	nothing := func(uint32) {}
	for module, function := range map[string]string{"env": "emscripten_notify_memory_growth", "wasi_snapshot_preview1": "proc_exit"} {
		if _, err := e.runtime.NewHostModuleBuilder(module).NewFunctionBuilder().WithFunc(nothing).Export(function).Instantiate(ctx); err != nil {
			return nil, err
		}
	}
	return e.runtime.InstantiateWithConfig(ctx, lame, wazero.NewModuleConfig().WithStartFunctions())
}

// Close frees what the encoder holds.
func (e *Encoder) Close(ctx context.Context) error { return e.runtime.Close(ctx) }

// call calls a function of the module, whose results are all 32-bit integers.
func (e *Encoder) call(ctx context.Context, name string, args ...uint64) (int32, error) {
	out, err := e.calls[name].Call(ctx, args...)
	if err != nil {
		return 0, fmt.Errorf("the MP3 encoder failed at %s: %w", name, err)
	}
	if len(out) == 0 {
		return 0, nil
	}
	return api.DecodeI32(out[0]), nil
}

// Encode encodes channels, one or two of equal length with samples of -1 to 1 and sampleRate frames a second, at a
// constant bit rate of kbps kbit/s, which is one that [Rate] gives. An error is that of ctx, or says which of them cannot be.
func (e *Encoder) Encode(ctx context.Context, channels [][]float32, sampleRate, kbps int) (out []byte, err error) {
	if n := len(channels); n < 1 || n > 2 || len(channels[0]) != len(channels[n-1]) || !slices.Contains(rates, kbps) {
		return nil, fmt.Errorf("%d channels at %d kbit/s cannot be encoded: one or two of equal length at one of %v", n, kbps, rates)
	}
	handle, err := e.begin(ctx, len(channels), sampleRate, kbps)
	if err != nil {
		return nil, err
	}
	defer func() {
		if _, ended := e.call(context.WithoutCancel(ctx), "enc_free", uint64(handle)); err == nil {
			err = ended
		}
	}()
	for at := 0; at < len(channels[0]); at += chunk {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		n, err := e.feed(ctx, handle, channels, at, min(at+chunk, len(channels[0])))
		if err != nil {
			return nil, err
		}
		if out, err = e.drain(ctx, handle, n, out); err != nil {
			return nil, err
		}
	}
	n, err := e.call(ctx, "enc_flush", uint64(handle))
	if err != nil {
		return nil, err
	}
	return e.drain(ctx, handle, n, out)
}

// begin starts one sound.
func (e *Encoder) begin(ctx context.Context, channels, sampleRate, kbps int) (handle uint32, err error) {
	const constantRate = -1. // in place of a quality
	var p []byte
	for _, v := range []uint32{uint32(channels), uint32(sampleRate), uint32(kbps), math.Float32bits(constantRate), uint32(sampleRate)} {
		p = binary.LittleEndian.AppendUint32(p, v)
	}
	at, err := e.call(ctx, "malloc", uint64(len(p)))
	if err != nil {
		return 0, err
	}
	if at == 0 || !e.memory.Write(uint32(at), p) {
		return 0, errors.New("the MP3 encoder has no memory left")
	}
	got, err := e.call(ctx, "enc_init", uint64(uint32(at)))
	if err != nil {
		return 0, err
	}
	if got == 0 {
		return 0, fmt.Errorf("the MP3 encoder refuses %d channels of %d Hz at %d kbit/s", channels, sampleRate, kbps)
	}
	_, err = e.call(ctx, "free", uint64(uint32(at)))
	return uint32(got), err
}

// feed hands frames over, and is how many bytes came of them.
func (e *Encoder) feed(ctx context.Context, handle uint32, channels [][]float32, from, to int) (int32, error) {
	list, err := e.call(ctx, "enc_get_pcm", uint64(handle), uint64(to-from))
	if err != nil {
		return 0, err
	}
	for i, channel := range channels {
		at, ok := e.memory.ReadUint32Le(uint32(list) + uint32(4*i))
		b := make([]byte, 0, 4*(to-from))
		for _, x := range channel[from:to] {
			b = binary.LittleEndian.AppendUint32(b, math.Float32bits(x))
		}
		if !ok || list == 0 || !e.memory.Write(at, b) {
			return 0, errors.New("the MP3 encoder has no memory left")
		}
	}
	return e.call(ctx, "enc_encode", uint64(handle), uint64(to-from))
}

// drain appends n bytes that the encoder has made.
func (e *Encoder) drain(ctx context.Context, handle uint32, n int32, out []byte) ([]byte, error) {
	at, err := e.call(ctx, "enc_get_out_buf", uint64(handle))
	if err != nil {
		return nil, err
	}
	b, ok := e.memory.Read(uint32(at), uint32(max(n, 0)))
	if n < 0 || !ok {
		return nil, fmt.Errorf("the MP3 encoder failed with %d", n)
	}
	return append(out, b...), nil
}
