package fit

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/pace"
)

// Recorded is an orchestral movement: its score, and when each of several recordings comes to
// which place.
type Recorded struct {
	Name  string
	Score *expr.Score
	Bars  []float64 // where they begin, in quarter notes
	Takes []Recording
}

// Recording is the times of a recording at places of the score.
type Recording struct{ Quarters, Seconds []float64 }

// at is the time of a place.
func (r *Recording) at(q float64) float64 {
	i := sort.SearchFloat64s(r.Quarters, q)
	switch {
	case i == 0:
		return r.Seconds[0]
	case i == len(r.Quarters):
		return r.Seconds[i-1]
	}
	x := (q - r.Quarters[i-1]) / (r.Quarters[i] - r.Quarters[i-1])
	return r.Seconds[i-1] + x*(r.Seconds[i]-r.Seconds[i-1])
}

// table is a file of comma-separated values, without its head.
func table(path string) (head []string, rows [][]string, err error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	all, err := r.ReadAll()
	if err != nil || len(all) < 3 {
		return nil, nil, fmt.Errorf("%s: no table of places and times: %w", path, err)
	}
	return all[0], all[1:], nil
}

// ReadRecorded reads a folder that holds score.csv, the highest note of every part at every
// place, and alignment.csv, the times of recordings.
func ReadRecorded(folder string) (*Recorded, error) {
	head, rows, err := table(filepath.Join(folder, "score.csv"))
	if err != nil {
		return nil, err
	}
	m := &Recorded{Name: filepath.Base(folder), Score: &expr.Score{Parts: head[4:]}}
	type open struct {
		q, t float64
		key  int
	}
	sounding := make([]*open, len(head)-4)
	end := func(j int, q, t float64) {
		if o := sounding[j]; o != nil && q > o.q && t > o.t {
			m.Score.Notes = append(m.Score.Notes, expr.Written{
				On: seconds(o.t), Off: seconds(t), Beat: o.q, Length: q - o.q, Key: uint8(o.key), Part: uint16(j), Channel: uint8(j % 9), Port: uint16(j / 9),
			})
		}
		sounding[j] = nil
	}
	q, t := 0.0, 0.0
	for i, row := range rows {
		q, t = number(row[0]), number(row[1])
		if i == 0 || row[2] != rows[i-1][2] {
			m.Bars = append(m.Bars, q)
		}
		for j := range sounding {
			if 4+j >= len(row) || row[4+j] == "" {
				continue
			}
			end(j, q, t)
			if key, ok := keyOf(row[4+j]); ok {
				sounding[j] = &open{q, t, key}
			}
		}
	}
	for j := range sounding {
		end(j, q+1, t+0.5)
	}
	sort.SliceStable(m.Score.Notes, func(a, b int) bool { return m.Score.Notes[a].On < m.Score.Notes[b].On })
	head, rows, err = table(filepath.Join(folder, "alignment.csv"))
	if err != nil {
		return nil, err
	}
	for c := 4; c < len(head); c++ {
		var r Recording
		for _, row := range rows {
			if c < len(row) && row[c] != "" {
				r.Quarters, r.Seconds = append(r.Quarters, number(row[1])), append(r.Seconds, number(row[c]))
			}
		}
		if len(r.Quarters) > 8 {
			m.Takes = append(m.Takes, r)
		}
	}
	return m, nil
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func number(s string) float64 {
	x, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return 0
	}
	return x
}

// keyOf is the MIDI note of a name such as B-3 or F#4.
func keyOf(name string) (int, bool) {
	if name == "" {
		return 0, false
	}
	step := strings.IndexByte("C D EF G A B", name[0])
	octave := strings.IndexAny(name, "0123456789")
	if step < 0 || octave < 1 {
		return 0, false
	}
	key := step + 12*(int(number(name[octave:]))+1)
	for _, c := range name[1:octave] {
		switch c {
		case '#':
			key++
		case 'x':
			key += 2
		case 'b', '-':
			key--
		}
	}
	return key, key >= 0 && key < 128
}

// clipRecorded is how far a bar may move against the score and count: more is a fault of the alignment.
const clipRecorded = 0.6

// addRecorded adds a movement's bars, and how long each recording makes them. Recordings are aligned
// by their sound, in steps of 25 to 50 ms, so that a bar says more than its beats.
func (s *Study) addRecorded(m *Recorded) {
	b := pace.Read(m.Score)
	bars := barred(b, m.Bars)
	if len(bars) < leastPlaces || len(m.Takes) == 0 {
		return
	}
	x := &Sample{Name: m.Name, Target: make([]float64, len(bars))}
	names := len(s.Names) == 0
	for _, t := range b.Terms() {
		if names {
			s.Names = append(s.Names, t.Group.String()+": "+t.Name)
		}
		v := make([]float32, len(bars))
		for i, of := range bars {
			v[i] = float32(mean(t.Values[of.from:of.to]))
		}
		x.Terms = append(x.Terms, v)
	}
	times := b.Times(m.Score)
	var takes [][]float64
	for i := range m.Takes {
		t := make([]float64, len(bars))
		for k, of := range bars {
			played := m.Takes[i].at(b.From+float64(of.to)*b.Unit) - m.Takes[i].at(b.From+float64(of.from)*b.Unit)
			t[k] = math.Log(max(played, 1e-3) / max((times[of.to]-times[of.from]).Seconds(), 1e-3))
		}
		mid := medianOf(t)
		for k := range t {
			t[k] -= mid
			x.Target[k] += min(max(t[k], -clipRecorded), clipRecorded) / float64(len(m.Takes))
		}
		takes = append(takes, t)
	}
	c := mean(x.Target)
	for k := range x.Target {
		x.Target[k] -= c
	}
	x.Weight = 1 / (math.Pow(float64(len(bars)), 0.7) * math.Sqrt(max(deviation(x.Target), 0.02)))
	s.Samples, s.Takes = append(s.Samples, x), append(s.Takes, takes)
}

// beats are some of a piece, one after another.
type beats struct{ from, to int }

// barred are the beats of each bar.
func barred(b *pace.Beats, bars []float64) (all []beats) {
	const inTime = 1e-6
	at := func(q float64) int { return min(max(int(math.Ceil((q-b.From)/b.Unit-inTime)), 0), b.Count) }
	for i, q := range bars {
		end := b.Count
		if i+1 < len(bars) {
			end = at(bars[i+1])
		}
		if from := at(q); from < end {
			all = append(all, beats{from, end})
		}
	}
	return all
}

// fitEnsemble fits what orchestras do with the tempo. There are few movements, so the penalty is
// great and every term stays. What beats of a bar do cannot be had from whole bars.
func (s *Study) fitEnsemble() (to []byte, said string, err error) {
	r, err := s.Fit(Options{Penalty: 3, Use: func(name string) bool {
		return fromNotes(name) && !strings.HasPrefix(name, pace.Bar.String()+":")
	}})
	if err != nil {
		return nil, "", err
	}
	about := fmt.Sprintf(`ensemble is what each term adds to the log of a beat's duration in an orchestra, and its standard
error.

Written by "make fit". Fitted by ridge regression to the bars of %d orchestral movements as recorded (OpenScore
Orchestra and Hauptstimme, Gotham et al.). On works left out its agreement with recordings is %.3f
(mean correlation of log bar durations), theirs among themselves %.3f; what it predicts has a
standard deviation of %.3f, theirs is %.3f.`, len(s.Samples), r.Agreement, r.Among, r.SD, r.TheirSD)
	to, err = source("pace", about, s.Names, r)
	return to, r.String(), err
}
