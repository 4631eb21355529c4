package nuance

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
)

// music is notes of two hands, of our own making: a tune over broken chords.
func music(n int) []Note {
	rng := rand.New(rand.NewPCG(1, 2))
	tune := []uint8{72, 74, 76, 79, 77, 76, 74, 71}
	var all []Note
	for i := range n {
		at := time.Duration(i) * 125 * time.Millisecond
		if i%4 == 0 {
			key := tune[(i/4+rng.IntN(2))%len(tune)]
			all = append(all, Note{On: at, Off: at + 450*time.Millisecond, Key: uint8(40 + i/4%3*5), Hand: Left, Metre: int8(3 - i/4%4%3)})
			all = append(all, Note{On: at, Off: at + 480*time.Millisecond, Key: key, Hand: Right, Metre: int8(3 - i/4%4%3)})
			continue
		}
		all = append(all, Note{On: at, Off: at + 120*time.Millisecond, Key: uint8(55 + i%4*4), Hand: Left})
	}
	return all
}

// hear has a scene hear notes as they come, and tells after each.
func hear(s *Scene, notes []Note, told func(i int, number int64)) {
	numbers := make([]int64, len(notes))
	ended := make([]bool, len(notes))
	for i := range notes {
		for j := max(0, i-40); j < i; j++ {
			if !ended[j] && notes[j].Off <= notes[i].On {
				s.End(numbers[j], notes[j].Off)
				ended[j] = true
			}
		}
		n := notes[i]
		n.Off, n.Hand, n.Metre = Sounds, AnyHand, 0
		numbers[i] = s.Begin(&n)
		told(i, numbers[i])
	}
}

// The table has a row for each term, in the order of the terms, and no term has no weight at all.
func TestTable(t *testing.T) {
	names := Names()
	if len(names) != NumTerms || len(table) != NumTerms {
		t.Fatalf("%d names, %d rows, %d terms", len(names), len(table), NumTerms)
	}
	for i, row := range table {
		if row.name != names[i] {
			t.Errorf("row %d is of %q and should be of %q", i, row.name, names[i])
		}
		if row.of == ([Grades]fitted{}) {
			t.Errorf("%s: %q helps at no grade: it should go", HabitOf(i), row.name)
		}
		if slices.Index(names, row.name) != i {
			t.Errorf("%q comes twice", row.name)
		}
		for g, f := range row.of {
			if math.IsNaN(f.db) || math.Abs(f.db) > 20 || f.db != 0 && !(f.se > 0) {
				t.Errorf("%q weighs %v at grade %s", row.name, f, Known(g))
			}
		}
	}
}

// Every group fills as many terms as it has names.
func TestGroups(t *testing.T) {
	s := &Scene{whole: true, end: 20}
	for _, n := range music(40) {
		s.Begin(&n)
	}
	for k := range groups {
		g := &groups[k]
		if len(g.names) > maxTerms {
			t.Fatalf("%s has %d terms", g.habit, len(g.names))
		}
		s.view.look(s, 17, AllSigns)
		sink := sink{to: make([]float64, maxTerms)}
		g.terms(&s.view, &sink)
		if sink.n != len(g.names) || int(g.habit) != k {
			t.Errorf("%s (%d) has %d names and %d terms", g.habit, k, len(g.names), sink.n)
		}
	}
}

// What has been forgotten long ago makes no difference, and numbers go on counting.
func TestForgets(t *testing.T) {
	notes := music(6000)
	long, to := NewScene(), make([]float64, NumTerms)
	var late [][]float64
	from := len(notes) - 300
	hear(long, notes, func(i int, number int64) {
		if int(number) != i {
			t.Fatalf("note %d has number %d", i, number)
		}
		if i >= from {
			long.Terms(number, Sounded, to)
			late = append(late, slices.Clone(to))
		}
	})
	if long.dropped == 0 || cap(long.notes) > maxNotes {
		t.Fatalf("the scene has forgotten %d notes and holds room for %d", long.dropped, cap(long.notes))
	}
	short := NewScene()
	start := from - 900 // 80 s and more: by then a beginning is past
	names := Names()
	hear(short, notes[start:], func(i int, number int64) {
		if i < from-start {
			return
		}
		short.Terms(number, Sounded, to)
		for k, x := range to {
			if d := x - late[i-(from-start)][k]; math.Abs(d) > 1e-4 {
				t.Fatalf("note %d: %s is %v, and with more past %v", i, names[k], x, late[i-(from-start)][k])
			}
		}
	})
}

// The whole piece moved in time is the same piece; a lookahead shows what comes within it and no more.
func TestTimeAndLookahead(t *testing.T) {
	notes := music(200)
	at := func(shift time.Duration, upto, i int, known Known) []float64 {
		s := NewScene()
		for k := range notes[:upto] {
			n := notes[k]
			n.On, n.Off = n.On+shift, n.Off+shift
			s.Begin(&n)
		}
		to := make([]float64, NumTerms)
		s.Terms(int64(i), known, to)
		return to
	}
	near := func(a, b []float64) bool {
		for k := range a {
			if math.Abs(a[k]-b[k]) > 1e-6 {
				return false
			}
		}
		return true
	}
	const i = 100
	base := at(0, 200, i, Ahead)
	if !near(base, at(time.Hour, 200, i, Ahead)) {
		t.Error("an hour later the terms are others")
	}
	within := i + 1
	for notes[within].On <= notes[i].On+Lookahead {
		within++
	}
	if !near(base, at(0, within, i, Ahead)) {
		t.Error("what comes after the lookahead counts")
	}
	if near(base, at(0, within-3, i, Ahead)) {
		t.Error("what comes within the lookahead does not count")
	}
}

// At every grade the top of a chord is played louder than the notes within, and a peak of the line
// louder than where it starts; all together within what a pianist has.
func TestTune(t *testing.T) {
	for known := range Grades {
		s := &Scene{whole: known >= AllNotes, end: 48}
		var tops, inner []float64
		var notes []Note
		for i := range 120 {
			at := time.Duration(i) * 400 * time.Millisecond
			for _, k := range []uint8{48, 60, 64, uint8(70 + i*5%7)} {
				h := Right
				if k == 48 {
					h = Left
				}
				if known < AllSigns {
					h = AnyHand
				}
				notes = append(notes, Note{On: at, Off: at + 390*time.Millisecond, Key: k, Hand: h})
			}
		}
		sum := func(number int64) (db float64) {
			var touch expr.Touch
			s.Touch(number, known, &touch)
			for _, x := range touch {
				db += x
			}
			return db
		}
		take := func(i int, db float64) {
			if math.Abs(db) > 2*expr.MaxTouchDB {
				t.Errorf("%s: note %d is played at %.1f dB", known, i, db)
			}
			switch {
			case i < 80:
			case i%4 == 3:
				tops = append(tops, db)
			case i%4 == 1, i%4 == 2:
				inner = append(inner, db)
			}
		}
		if known < AllNotes {
			hear(s, notes, func(i int, number int64) {
				if known == Sounded {
					take(i, sum(number))
				} else if i >= 16 {
					take(i-16, sum(number-16))
				}
			})
		} else {
			for i := range notes {
				s.Begin(&notes[i])
			}
			for i := range notes {
				take(i, sum(int64(i)))
			}
		}
		mean := func(v []float64) (m float64) {
			for _, x := range v {
				m += x / float64(len(v))
			}
			return m
		}
		if over := mean(tops) - mean(inner); over < 2 || over > 9 {
			t.Errorf("%s: the top has %.1f dB over the notes within", known, over)
		}
	}
}

func TestAllocatesNothing(t *testing.T) {
	notes := music(4000)
	s := NewScene()
	i := 0
	var touch expr.Touch
	step := func() {
		n := notes[i%len(notes)]
		n.On += time.Duration(i/len(notes)) * time.Hour
		n.Off = Sounds
		number := s.Begin(&n)
		s.Touch(number, Sounded, &touch)
		s.End(number, n.On+100*time.Millisecond)
		i++
	}
	if got := testing.AllocsPerRun(5000, step); got != 0 {
		t.Errorf("%v allocations a note", got)
	}
}

// Any notes at all have terms that are numbers.
func FuzzTerms(f *testing.F) {
	f.Add([]byte("abcdefghijklmnop"), byte(0))
	f.Add([]byte{0, 0, 0, 0, 255, 255, 1, 0, 127, 3}, byte(3))
	f.Fuzz(func(t *testing.T, b []byte, grade byte) {
		known := Known(grade) % Grades
		s := &Scene{whole: known >= AllNotes, end: 10}
		at, to := time.Duration(0), make([]float64, NumTerms)
		var touch expr.Touch
		for len(b) >= 4 && len(s.notes) < 3000 {
			at += time.Duration(b[0]) * time.Duration(b[0]) * time.Millisecond
			n := Note{On: at, Off: Sounds, Key: b[1] & 127, Hand: Hand(b[2] % 3), Metre: int8(b[2] / 3 % 4), Marks: expr.Marks(b[2]) << (b[3] % 8)}
			if b[3]&1 > 0 {
				n.Off = at + time.Duration(b[3])*10*time.Millisecond
			}
			if b[3]&2 > 0 {
				n.Written = Written{Marked: true, Level: float32(b[3]%8) - 4, Line: float32(b[3]%8) - 4, Age: 1, Left: never}
			}
			number := s.Begin(&n)
			if b[3]&4 > 0 {
				s.End(number-int64(b[3]/8), at)
			}
			b = b[4:]
		}
		for i := range s.notes {
			s.Terms(s.dropped+int64(i), known, to)
			s.Touch(s.dropped+int64(i), known, &touch)
			for k, x := range to {
				if math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1000 {
					t.Fatalf("note %d: %s is %v", i, Names()[k], x)
				}
			}
		}
	})
}

func BenchmarkTouch(b *testing.B) {
	s := &Scene{whole: true, end: 20}
	for _, n := range music(5000) {
		s.Begin(&n)
	}
	var touch expr.Touch
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		s.Touch(int64(i%len(s.notes)), AllSigns, &touch)
		i++
	}
}

// How hard a note is struck is what the habits add by their amounts, and so in the mean of its chord.
func TestStroke(t *testing.T) {
	s := &expr.Score{End: 3 * time.Second}
	for i := range 6 {
		on := time.Duration(i) * 500 * time.Millisecond
		for _, key := range []uint8{48, 64, 67, 76}[:1+i%4] {
			s.Notes = append(s.Notes, expr.Written{On: on, Off: on + 400*time.Millisecond, Beat: float64(i), Length: 0.8, Key: key + uint8(i)})
		}
	}
	r := Read(s, 0)
	by := expr.Touch{expr.TopLine: 1, expr.Height: 0.5}
	for number := int64(0); number < int64(len(s.Notes)); {
		var strokes []float64
		first := number
		for ; number < int64(len(s.Notes)) && s.Notes[number].On == s.Notes[first].On; number++ {
			var touch expr.Touch
			r.scene.Touch(number, r.known, &touch)
			strokes = append(strokes, touch[expr.TopLine]+touch[expr.Height]/2)
		}
		mean := 0.0
		for _, x := range strokes {
			mean += x / float64(len(strokes))
		}
		for k, want := range strokes {
			db, all := r.Stroke(first+int64(k), &by)
			if math.Abs(db-want) > 1e-9 || math.Abs(all-mean) > 1e-9 {
				t.Errorf("note %d is struck by %.3f dB and its chord by %.3f, want %.3f and %.3f", first+int64(k), db, all, want, mean)
			}
		}
		if n := len(strokes); n > 2 && strokes[n-1] < mean+0.5 {
			t.Errorf("the highest of a chord is struck by %.2f dB, all by %.2f", strokes[n-1], mean)
		}
	}
	if db, mean := r.Stroke(int64(len(s.Notes)), &by); db != 0 || mean != 0 {
		t.Errorf("a note that is not there is struck by %g dB", db)
	}
}
