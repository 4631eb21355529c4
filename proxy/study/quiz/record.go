package quiz

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"time"

	"swellbox/profiles/atomicfile"
)

// recordVersion is the version of the file. It changes when an older swellbox could
// not read what a newer one wrote.
const recordVersion = 1

// maxRecordBytes bounds a file: an answer takes about 100 bytes, and nobody gives
// a hundred thousand.
const maxRecordBytes = 16 << 20

// Record is all that a listener has answered. It is private: nobody but its owner
// can read its file, and neither names nor music are in it.
type Record struct {
	Version int               `json:"swellbox_quiz"`
	Skills  map[string][]*Run `json:"skills"` // by skill, the runs in the order of time
}

// Run is one run of a staircase.
type Run struct {
	Answers []Answer `json:"answers"`
	// Threshold is in the skill's unit; 0 while the run goes on.
	Threshold float64 `json:"threshold,omitempty"`
}

// Answer is one answer.
type Answer struct {
	At     time.Time `json:"at"`
	Amount float64   `json:"amount"` // in the skill's unit
	Right  bool      `json:"right"`
}

// NewRecord is an empty record.
func NewRecord() *Record { return &Record{Version: recordVersion, Skills: map[string][]*Run{}} }

// errDamaged marks a record that cannot be read and is to be set aside.
var errDamaged = errors.New("damaged")

// ReadRecord reads the record in a file, or makes an empty one if there is none. A
// damaged file is kept under another name, which is returned, and an empty record takes
// its place. A file of a newer version is an error.
func ReadRecord(path string) (r *Record, aside string, err error) {
	b, err := readRecordFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return NewRecord(), "", nil
	}
	if err != nil {
		return nil, "", fmt.Errorf("the record of the quiz cannot be read: %w", err)
	}
	r, err = decode(b)
	switch {
	case errors.Is(err, errDamaged):
		if aside, err = setAside(path); err != nil {
			return nil, "", err
		}
		return NewRecord(), aside, nil
	case err != nil:
		return nil, "", fmt.Errorf("%s: %w", path, err)
	}
	return r, "", nil
}

func readRecordFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxRecordBytes+1))
}

func decode(b []byte) (*Record, error) {
	if len(b) > maxRecordBytes {
		return nil, errDamaged
	}
	var version struct {
		Version int `json:"swellbox_quiz"`
	}
	if err := json.Unmarshal(b, &version); err != nil || version.Version < 1 {
		return nil, errDamaged
	}
	if version.Version > recordVersion {
		return nil, fmt.Errorf("this record has version %d, and this swellbox knows version %d; use a newer swellbox", version.Version, recordVersion)
	}
	r := NewRecord()
	if err := json.Unmarshal(b, r); err != nil || !r.sound() {
		return nil, errDamaged
	}
	return r, nil
}

// sound reports whether a record can have been written by us.
func (r *Record) sound() bool {
	if r.Skills == nil {
		return false
	}
	for _, runs := range r.Skills {
		for _, run := range runs {
			if run == nil || len(run.Answers) == 0 || run.Threshold < 0 {
				return false
			}
			for _, a := range run.Answers {
				if !(a.Amount > 0) {
					return false
				}
			}
		}
	}
	return true
}

// maxAside bounds how many damaged records are kept; nobody has as many by accident.
const maxAside = 1000

// setAside renames a file to the first free name, so that its owner can look into it.
func setAside(path string) (string, error) {
	for i := 1; i <= maxAside; i++ {
		aside := fmt.Sprintf("%s.damaged-%d", path, i)
		if _, err := os.Lstat(aside); errors.Is(err, fs.ErrNotExist) {
			if err := os.Rename(path, aside); err != nil {
				return "", fmt.Errorf("the damaged record of the quiz cannot be set aside: %w", err)
			}
			return aside, nil
		}
	}
	return "", fmt.Errorf("%s is damaged, and %d like it were kept already; remove some", path, maxAside)
}

// Write replaces the file, which only its owner can read from then on. The folder is
// made if need be.
func (r *Record) Write(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("the folder of the quiz's record cannot be made: %w", err)
	}
	const private = 0o600
	if err := os.Chmod(path, private); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("the record of the quiz cannot be kept private: %w", err)
	}
	return atomicfile.WriteSeek(path, func(w io.WriteSeeker) error {
		if f, ok := w.(*os.File); ok {
			if err := f.Chmod(private); err != nil { // before there is anything to read in it
				return err
			}
		}
		b, err := json.MarshalIndent(r, "", " ")
		if err != nil {
			return err
		}
		_, err = w.Write(append(b, '\n'))
		return err
	})
}

// Staircase is where the listener stands in a skill: in the run that goes on, or at
// the start of another. A run whose amounts are not what the staircase would have
// asked for, because the skill has changed since, is left as it is.
func (r *Record) Staircase(skill *Skill) *Staircase {
	s := NewStaircase(skill.Scale)
	run := r.open(skill)
	if run == nil {
		return s
	}
	for _, a := range run.Answers {
		if math.Abs(a.Amount/s.Level()-1) > 1e-6 {
			return NewStaircase(skill.Scale)
		}
		s.Answer(a.Right)
	}
	return s
}

// open is the run that goes on, or nil.
func (r *Record) open(skill *Skill) *Run {
	runs := r.Skills[skill.Name]
	if len(runs) == 0 || runs[len(runs)-1].Threshold > 0 {
		return nil
	}
	return runs[len(runs)-1]
}

// Add takes an answer at the level of the skill's staircase, which it moves, and
// reports the run's threshold when it is over.
func (r *Record) Add(skill *Skill, s *Staircase, right bool, at time.Time) (threshold float64, over bool) {
	run := r.open(skill)
	if run == nil || len(run.Answers) > 0 && s.fresh() {
		run = &Run{}
		r.Skills[skill.Name] = append(r.Skills[skill.Name], run)
	}
	run.Answers = append(run.Answers, Answer{At: at.UTC().Truncate(time.Second), Amount: s.Level(), Right: right})
	s.Answer(right)
	if threshold, over = s.Threshold(); over {
		run.Threshold = threshold
	}
	return threshold, over
}
