package console

import (
	"errors"
	"fmt"
	"math"
	"mime"
	"net/http"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/profiles"
	"swellbox/proxy/control"
)

// route is one request of the API: the method and the path. All want the token.
type route struct {
	pattern string
	serve   http.HandlerFunc
}

// api is all of it, as page/openapi.yaml describes it.
func api(f *feed, g *guard) []route {
	do := &f.cfg
	return []route{
		{"GET /api/stream", f.stream},
		{"POST /api/enter", func(w http.ResponseWriter, r *http.Request) {
			answer(w, http.StatusOK, map[string]string{"pass": g.pass})
		}},
		{"POST /api/switch", steer(f, func(r *control.SwitchRequest) error {
			side, err := control.ParseSide(r.Side)
			if err != nil {
				return err
			}
			if f.blind.runs() {
				return errBlind
			}
			return do.Played.Switch(side, r.Parts)
		})},
		{"POST /api/place", steer(f, func(r *control.PlaceRequest) error {
			place, err := control.ParsePlace(r.Place)
			if err != nil {
				return err
			}
			return do.Played.SetPlace(place, r.Parts)
		})},
		{"POST /api/lookahead", steer(f, func(r *control.LookaheadRequest) error {
			return do.Played.SetLookahead(time.Duration(r.MS) * time.Millisecond)
		})},
		{"POST /api/loop", steer(f, func(r *control.LoopRequest) error { return do.Played.SetLoop(*r) })},
		{"POST /api/panic", steer(f, func(*struct{}) error { do.Played.Panic(); return nil })},
		{"POST /api/match", steer(f, func(r *matchRequest) error {
			if f.blind.runs() {
				return errBlind
			}
			do.Gauges.Match(r.On)
			return nil
		})},
		{"POST /api/blind", steer(f, f.blindTest)},
		{"POST /api/adjust", asking(f, f.bench.adjust)},
		{"POST /api/seat", steer(f, f.moveSeat)},
		{"POST /api/listener", steer(f, func(r *listenerRequest) error {
			if _, err := profiles.ParseSeating("the listener", fmt.Appendf(nil, "swellbox: 1\nensemble: {room: %q, row: %d}\nseats: [{channel: 1, profile: plain}]\n", r.Room, r.Row)); err != nil {
				return fmt.Errorf("the listener sits in a chamber, mid or large room, in row 0 (the conductor's place) to %d", mostRow)
			}
			f.hall.sit(r.Room, r.Row)
			return nil
		})},
	}
}

// matchRequest is the body of POST /api/match.
type matchRequest struct {
	On bool `json:"on"`
}

// listenerRequest is the body of POST /api/listener.
type listenerRequest struct {
	Room string `json:"room"`
	Row  int    `json:"row"`
}

// seatRequest is the body of POST /api/seat.
type seatRequest struct {
	Part  int     `json:"part"` // index in the state's parts
	Usual bool    `json:"usual,omitempty"`
	X     float64 `json:"x,omitempty"` // m to the right of the conductor
	Y     float64 `json:"y,omitempty"` // m behind the conductor
}

// The stage as it can be sat on, m. Ours: the platform of a large hall.
const (
	stageWidth = 11 // either way
	stageDepth = 15
)

func (f *feed) moveSeat(r *seatRequest) error {
	if r.Part < 0 || r.Part >= len(f.cfg.Played.Status().Parts) {
		return fmt.Errorf("there is no part %d", r.Part)
	}
	if r.Usual {
		f.hall.move(r.Part, nil)
		return nil
	}
	if !(math.Abs(r.X) <= stageWidth && r.Y >= 0 && r.Y <= stageDepth) {
		return fmt.Errorf("a seat is at most %d m beside and %d m behind the conductor", stageWidth, stageDepth)
	}
	f.hall.move(r.Part, &acoustics.Position{X: r.X, Y: r.Y})
	return nil
}

// blindRequest is the body of POST /api/blind.
type blindRequest struct {
	Do   string `json:"do"`   // begin, play, answer or end
	What string `json:"what"` // a, b or x, of what is played or answered
}

func (f *feed) blindTest(r *blindRequest) error {
	switch r.Do {
	case "begin":
		before := expr.Shaped
		if s := f.cfg.Played.Status(); s.Side == expr.Raw.String() {
			before = expr.Raw
		}
		return f.blind.begin(&f.cfg, before, f.matched.Load())
	case "play":
		return f.blind.play(&f.cfg, r.What)
	case "answer":
		return f.blind.answer(r.What)
	case "end":
		return f.blind.end(&f.cfg)
	}
	return errors.New("a blind test can begin, play, answer and end")
}

// routes serves the API, and the page's own files.
func routes(f *feed, g *guard) http.Handler {
	mux := http.NewServeMux()
	for _, r := range api(f, g) {
		mux.HandleFunc(r.pattern, g.known(r.serve))
	}
	for _, file := range files() {
		pattern := "GET /" + file.name
		if file.name == "index.html" {
			pattern = "GET /{$}"
		}
		mux.HandleFunc(pattern, file.serve)
	}
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, fmt.Errorf("there is no %s %.200q", r.Method, r.URL.Path))
	})
	return mux
}

// maxRequest bounds the body of a request, in bytes.
const maxRequest = 1 << 16

// steer is a request that does something and has nothing to tell.
func steer[R any](f *feed, do func(r *R) error) http.HandlerFunc {
	return asking(f, func(r *R) (*struct{}, error) { return &struct{}{}, do(r) })
}

// asking is a request that is read in full, done, and answered by what it gives; all pages see
// the change at once.
func asking[R, A any](f *feed, do func(r *R) (A, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
			refuse(w, http.StatusUnsupportedMediaType, errors.New("the request is to be application/json"))
			return
		}
		var req R
		if err := control.Decode(http.MaxBytesReader(w, r.Body, maxRequest), &req); err != nil {
			refuse(w, http.StatusBadRequest, fmt.Errorf("the request cannot be read: %w", err))
			return
		}
		told, err := do(&req)
		if err != nil {
			refuse(w, http.StatusConflict, err)
			return
		}
		f.changed()
		answer(w, http.StatusOK, told)
	}
}
