package quiz

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

var noon = time.Date(2026, 3, 4, 12, 0, 0, 0, time.UTC)

// answered is a record with answers about a skill, r for right and w for wrong.
func answered(r *Record, skill *Skill, at time.Time, answers string) *Record {
	for i, c := range answers {
		r.Add(skill, r.Staircase(skill), c == 'r', at.Add(time.Duration(i)*time.Minute))
	}
	return r
}

// whole is a run that ends: ten reversals.
const whole = "rrrr" + "w" + "rr" + "w" + "rr" + "w" + "rr" + "w" + "rr" + "w" + "rr"

func written(t *testing.T, r *Record) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "home", "quiz.json")
	if err := r.Write(path); err != nil {
		t.Fatal(err)
	}
	return path
}

func text(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// A session that ends anywhere goes on where it was, from the file.
func TestRecordGoesOn(t *testing.T) {
	straight := NewStaircase(balance.Scale)
	path := written(t, NewRecord())
	for i, c := range whole {
		r, aside, err := ReadRecord(path)
		if err != nil || aside != "" {
			t.Fatal(aside, err)
		}
		s := r.Staircase(balance)
		near(t, "the level", s.Level(), straight.Level(), 1e-9)
		straight.Answer(c == 'r')
		threshold, over := r.Add(balance, s, c == 'r', noon)
		if want, wantOver := straight.Threshold(); over != wantOver || math.Abs(threshold-want) > 1e-9 {
			t.Fatalf("answer %d: threshold %g, over %v; want %g, %v", i+1, threshold, over, want, wantOver)
		}
		if over != (i == len(whole)-1) {
			t.Fatalf("answer %d of %d ends the run: %v", i+1, len(whole), over)
		}
		if err := r.Write(path); err != nil {
			t.Fatal(err)
		}
	}
	r, _, err := ReadRecord(path)
	if err != nil {
		t.Fatal(err)
	}
	if s := r.Staircase(balance); s.Level() != balance.Scale.Start {
		t.Errorf("after a whole run the next starts at %g", s.Level())
	}
	answered(r, balance, noon, "r")
	if runs := r.Skills[balance.Name]; len(runs) != 2 || len(runs[1].Answers) != 1 || runs[0].Threshold == 0 {
		t.Errorf("%d runs, want a whole one and one of 1 answer", len(runs))
	}
}

// A run that the present scale would not have asked is left, and another begun.
func TestScaleThatChanged(t *testing.T) {
	older := *balance
	older.Scale.Start = 6
	r := answered(NewRecord(), &older, noon, "rrr")
	s := r.Staircase(balance)
	if s.Level() != balance.Scale.Start {
		t.Fatalf("goes on at %g, want a new start at %g", s.Level(), balance.Scale.Start)
	}
	r.Add(balance, s, true, noon)
	r.Add(balance, r.Staircase(balance), true, noon)
	if runs := r.Skills[balance.Name]; len(runs) != 2 || len(runs[1].Answers) != 2 {
		t.Errorf("%d runs, want the old one and one of 2 answers", len(runs))
	}
}

func TestNoRecordYet(t *testing.T) {
	r, aside, err := ReadRecord(filepath.Join(t.TempDir(), "none", "quiz.json"))
	if err != nil || aside != "" || len(r.Skills) != 0 {
		t.Errorf("%+v, %q, %v", r, aside, err)
	}
}

// The file is its owner's only, also where it was not.
func TestRecordIsPrivate(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has other permissions")
	}
	path := written(t, NewRecord())
	for range 2 {
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if info.Mode().Perm() != 0o600 {
			t.Errorf("permissions %v", info.Mode())
		}
		if err := os.Chmod(path, 0o644); err != nil {
			t.Fatal(err)
		}
		if err := NewRecord().Write(path); err != nil {
			t.Fatal(err)
		}
	}
}

// What is damaged is kept under another name, each under its own, and an empty record
// takes its place.
func TestDamagedRecords(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "quiz.json")
	for i, damaged := range []string{
		"", "not JSON", "{", `{"swellbox_quiz": 1`, "[]", "null", "{}", `{"swellbox_quiz": 0}`, `{"swellbox_quiz": -1}`,
		`{"swellbox_quiz": "one"}`, `{"swellbox_quiz": 1, "skills": null}`, `{"swellbox_quiz": 1, "skills": []}`,
		`{"swellbox_quiz": 1, "skills": {"balance": [null]}}`, `{"swellbox_quiz": 1, "skills": {"balance": [{}]}}`,
		`{"swellbox_quiz": 1, "skills": {"balance": [{"answers": [{"amount": 0}]}]}}`,
		`{"swellbox_quiz": 1, "skills": {"balance": [{"answers": [{"amount": 8, "at": "yesterday"}]}]}}`,
		`{"swellbox_quiz": 1, "skills": {"balance": [{"answers": [{"amount": 8}], "threshold": -1}]}}`,
	} {
		if err := os.WriteFile(path, []byte(damaged), 0o600); err != nil {
			t.Fatal(err)
		}
		r, aside, err := ReadRecord(path)
		if err != nil || aside == "" || len(r.Skills) != 0 {
			t.Fatalf("%q: %+v, kept as %q, %v", damaged, r, aside, err)
		}
		if got := text(t, aside); got != damaged {
			t.Errorf("%q was kept as %q", damaged, got)
		}
		if _, err := os.Stat(path); err == nil {
			t.Errorf("%q is still in its place", damaged)
		}
		if kept, err := filepath.Glob(path + ".damaged-*"); err != nil || len(kept) != i+1 {
			t.Errorf("%d were kept (%v), want %d", len(kept), err, i+1)
		}
	}
}

// A newer version's file is neither read nor touched.
func TestNewerRecord(t *testing.T) {
	path := filepath.Join(t.TempDir(), "quiz.json")
	const newer = `{"swellbox_quiz": 2, "skills": "otherwise"}`
	if err := os.WriteFile(path, []byte(newer), 0o600); err != nil {
		t.Fatal(err)
	}
	_, _, err := ReadRecord(path)
	if err == nil || !strings.Contains(err.Error(), "version 2") || !strings.Contains(err.Error(), path) {
		t.Errorf("error %v", err)
	}
	if text(t, path) != newer {
		t.Error("it was touched")
	}
}

func TestUnreadableRecord(t *testing.T) {
	if _, _, err := ReadRecord(t.TempDir()); err == nil {
		t.Error("a folder was read as a record")
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := NewRecord().Write(filepath.Join(file, "quiz.json")); err == nil {
		t.Error("a record was written into a file")
	}
}

func TestTooLongARecord(t *testing.T) {
	path := filepath.Join(t.TempDir(), "quiz.json")
	long := append([]byte(`{"swellbox_quiz": 1, "skills": {}}`), bytes.Repeat([]byte(" "), maxRecordBytes)...)
	if err := os.WriteFile(path, long, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, aside, err := ReadRecord(path); err != nil || aside == "" {
		t.Errorf("kept as %q, %v", aside, err)
	}
}

func TestProgress(t *testing.T) {
	r := answered(NewRecord(), balance, noon, whole)
	answered(r, balance, noon.AddDate(0, 0, 7), "rrrr"+whole)
	answered(r, vibrato, noon, "rr")
	all := r.Progress()
	names := []string{}
	for _, p := range all {
		names = append(names, p.Skill)
	}
	if !slices.Equal(names, []string{"vibrato", "balance"}) || all[0].Open != 2 || len(all[0].Thresholds) != 0 || all[1].Open != 0 {
		t.Fatalf("progress %+v", all)
	}
	first, second := all[1].Thresholds[0], all[1].Thresholds[1]
	if first.Answers != 19 || first.Right != 14 || !first.At.Equal(noon.Add(18*time.Minute)) || second.Amount >= first.Amount {
		t.Errorf("thresholds %+v, %+v", first, second)
	}
	var b strings.Builder
	if err := PrintProgress(&b, all, 100); err != nil {
		t.Fatal(err)
	}
	want := `vibrato: hear how wide a vibrato is; in cents peak to peak, less is finer
  answers towards the next threshold: 2

balance: hear that one family is stronger against the rest; in dB, less is finer
  2026-03-04    3.7  ########################################  14 of 19 right
  2026-03-11   0.92  ##########                                18 of 23 right
`
	if got := b.String(); got != want {
		t.Errorf("drawn:\n%s\nwant:\n%s", got, want)
	}
	bytes, err := json.Marshal(NewRecord().Progress())
	if err != nil || string(bytes) != "[]" {
		t.Errorf("nothing is %s, %v", bytes, err)
	}
}
