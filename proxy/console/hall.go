package console

import (
	"math"
	"math/bits"
	"slices"
	"sync"

	"swellbox/expr/acoustics"
	"swellbox/profiles"
	"swellbox/proxy/live"
)

// hall is how what sounds would be heard by a listener in a hall, by the acoustic model: of the
// notes as they are written. A part that is moved to another seat is heard there, too: by as much
// louder or softer as the model has it for that listener.
type hall struct {
	seating *acoustics.Seating

	mu       sync.Mutex
	now      Hall
	listen   acoustics.Place
	moved    bool                       // listen is not the scene's any more
	seats    map[int]acoustics.Position // of parts that do not sit where they usually do
	restless map[int]bool               // parts that were moved and do not sound so yet

	// The feed's goroutine alone knows the rest.
	scene   *acoustics.Scene
	sources []acoustics.Source
	sounds  []acoustics.Sound
	parts   []int // by source
	source  []int // by part: 1 + its source; 0: none
	also    [][]float64
	total   acoustics.Total
}

// Most rows of the hall, as in a seating document.
const mostRow = 50

func (h *hall) init(e profiles.Ensemble) {
	h.seating = &acoustics.Seatings()[0]
	h.seats, h.restless = map[int]acoustics.Position{}, map[int]bool{}
	h.sit(e.Room, e.Row)
}

// move has a part sit somewhere else; nil is its usual seat.
func (h *hall) move(part int, to *acoustics.Position) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.seats, part)
	if to != nil {
		h.seats[part] = *to
	}
	h.restless[part] = true
}

// settle has the parts that were moved sound so.
func (h *hall) settle(g *live.Gauges) {
	h.mu.Lock()
	moved := h.restless
	h.restless = map[int]bool{}
	h.mu.Unlock()
	for part := range moved {
		if part < 0 || part >= len(g.Parts) || g.Parts[part].Profile == nil || g.Parts[part].Profile.Instrument == nil {
			continue
		}
		p := &g.Parts[part]
		src := acoustics.Source{Instrument: p.Profile.Instrument, Players: p.Players, Seat: h.seating.Seat(p.Profile.Instrument)}
		usual := h.scene.StrengthDB(&src)
		src.Seat, _ = h.seat(part, p.Profile.Instrument)
		g.SetSeat(part, h.scene.StrengthDB(&src)-usual)
	}
}

// sit has the listener sit elsewhere.
func (h *hall) sit(room string, row int) {
	e := profiles.Ensemble{Room: room, Row: row}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.listen, h.moved = e.Place(), true
	for part := range h.seats {
		h.restless[part] = true
	}
	h.now = Hall{Room: room, Row: row, Y: rounded(h.listen.Listener.Y)}
}

func (h *hall) told() Hall {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.now
}

// seat is where a part sits, and whether somebody has moved it there.
func (h *hall) seat(part int, in *acoustics.Instrument) (at acoustics.Position, moved bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if at, moved = h.seats[part]; !moved {
		at = h.seating.Seat(in)
	}
	return at, moved
}

// hear has the model hear what is down now.
func (h *hall) hear(g *live.Gauges) {
	h.mu.Lock()
	if h.moved {
		h.scene, h.moved = acoustics.NewScene(h.listen), false
	}
	h.mu.Unlock()
	h.settle(g)
	h.sources, h.parts = h.sources[:0], h.parts[:0]
	h.source = slices.Grow(h.source[:0], len(g.Parts))[:len(g.Parts)]
	for len(h.also) < len(g.Parts) {
		h.also = append(h.also, nil)
	}
	for i := range g.Parts {
		p := &g.Parts[i]
		h.source[i] = 0
		if !p.Raw || p.Profile == nil || p.Profile.Instrument == nil {
			continue
		}
		src := acoustics.Source{Instrument: p.Profile.Instrument, Players: p.Players, DynamicDB: p.WrittenDB}
		src.Seat, _ = h.seat(i, p.Profile.Instrument)
		h.also[i] = h.also[i][:0]
		for word, keys := range p.Keys {
			for ; keys != 0; keys &= keys - 1 {
				h.also[i] = append(h.also[i], acoustics.KeyPitch(float64(64*word+bits.TrailingZeros64(keys))).Hz())
			}
		}
		if len(h.also[i]) == 0 {
			continue
		}
		src.PitchHz, src.AlsoHz = h.also[i][0], h.also[i][1:]
		h.sources, h.parts = append(h.sources, src), append(h.parts, i)
		h.source[i] = len(h.sources)
	}
	h.sounds = slices.Grow(h.sounds[:0], len(h.sources))[:len(h.sources)]
	h.total = h.scene.Hear(h.sources, h.sounds)
}

// level is that of all together, dB(A).
func (h *hall) level() float64 {
	if len(h.sources) == 0 || h.total.LevelA < 0 {
		return 0
	}
	return math.Round(h.total.LevelA)
}

// tell adds how a part is heard.
func (h *hall) tell(part int, m *Moved) {
	if part >= len(h.source) || h.source[part] == 0 {
		return
	}
	s := &h.sounds[h.source[part]-1]
	m.Heard, m.LevelDB = s.State.String(), rounded(max(s.StrengthDB, 0))
	if s.State == acoustics.Covered && s.Masker >= 0 {
		m.By = new(h.parts[s.Masker])
	}
}
