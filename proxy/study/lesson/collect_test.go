package lesson

import (
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"hash/crc32"
	"math"
	"strings"
	"testing"
)

// codeOf is a code as the page makes it.
func codeOf(t *testing.T, r Result) string {
	t.Helper()
	b, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return "ear1:" + base64.RawURLEncoding.EncodeToString(binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b)))
}

func answers(right ...bool) (all []Answer) {
	for i, r := range right {
		all = append(all, Answer{"vibrato", 50 / math.Pow(2, float64(i)), "cents", r})
	}
	return all
}

func TestReadResults(t *testing.T) {
	one := codeOf(t, Result{Lesson: "Boats", Answers: answers(true, false)})
	all, err := ReadResults("Dear teacher,\n"+one+"\n\nAnna – "+one+"\n", "letter")
	if err != nil || len(all) != 2 || all[0].Who != "letter" || all[1].Who != "Anna" || len(all[1].Answers) != 2 {
		t.Errorf("read %+v, %v", all, err)
	}
	for _, text := range []string{"", "no code", one[:len(one)-1], strings.Replace(one, "A", "B", 1), "ear1:AAAA"} {
		if all, err := ReadResults(text, "x"); err == nil {
			t.Errorf("%.40q reads as %+v", text, all)
		}
	}
}

func TestThreshold(t *testing.T) {
	for _, c := range []struct {
		right []bool
		want  float64
	}{
		{[]bool{true, true, true}, 12.5}, {[]bool{true, false, true}, 50}, {[]bool{false, true, true}, math.Inf(1)}, {nil, math.Inf(1)},
	} {
		if got := Threshold(answers(c.right...)); got != c.want {
			t.Errorf("%v: %g, want %g", c.right, got, c.want)
		}
	}
}

func TestClassTable(t *testing.T) {
	c := Class{Results: []Result{{Who: "Anna", Answers: answers(true, true)}, {Who: "Group 2", Answers: answers(false, true)}}}
	var b strings.Builder
	if err := c.Table(&b, 60); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Anna", "2 of 2, to 25", "Group 2", "1 of 2", "vibrato: 50 told by 1 of 2, 25 told by 2 of 2 (cents)"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the table lacks %q:\n%s", want, b.String())
		}
	}
}

func FuzzReadResults(f *testing.F) {
	f.Add("ear1:e30AAAAA")
	f.Fuzz(func(t *testing.T, text string) {
		if all, err := ReadResults(text, "x"); err == nil && len(all) == 0 {
			t.Error("nothing is read, and nothing said")
		}
	})
}
