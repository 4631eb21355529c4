package smf

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
)

const header1 = "0001 0001 0060" // format 1, one track, 96 ticks a quarter

func TestReadSound(t *testing.T) {
	for _, c := range []struct {
		name string
		b    []byte
		want string
		div  Division
	}{
		{"running status", one("00 903C40 60 3C00 00FF2F00"), "0:903C40 96:903C00 end:96", Division{TicksPerQuarter: 96}},
		{"running status of one data byte", one("00 C001 05 02 00FF2F00"), "0:C001 5:C002 end:5", Division{TicksPerQuarter: 96}},
		{"end after the last event", one("00 903C40 60 803C00 8360FF2F00"), "0:903C40 96:803C00 end:576", Division{TicksPerQuarter: 96}},
		{"meta of unknown type", one("00 FF6603010203 00FF2F00"), "0:FF66010203 end:0", Division{TicksPerQuarter: 96}},
		{"sysex", one("00 F0057E7F0901F7 00FF2F00"), "0:F07E7F0901F7 end:0", Division{TicksPerQuarter: 96}},
		{"sysex in packets", one("00 F003431200 60 F703436C72 60 F70443207FF7 00FF2F00"), "0:F0431200 96:F7436C72 192:F743207FF7 end:192", Division{TicksPerQuarter: 96}},
		{"escape packet", one("00 F701F3 00 F702F301 00FF2F00"), "0:F7F3 0:F7F301 end:0", Division{TicksPerQuarter: 96}},
		{"empty packets", one("00 F000 00 F700 00 FF0100 00FF2F00"), "0:F0 0:F7 0:FF01 end:0", Division{TicksPerQuarter: 96}},
		{
			"header of 8 bytes", slices.Concat(chunk("MThd", "0000 0001 0060 CAFE"), chunk("MTrk", "00FF2F00")),
			"end:0", Division{TicksPerQuarter: 96},
		},
		{
			"alien chunks", slices.Concat(chunk("MThd", header1), chunk("XFIH", "01"), chunk("MTrk", "00FF2F00"), chunk("XFKM", ""), chunk("abcd", "9090")),
			"XFIH:01 | end:0 | XFKM: | abcd:9090", Division{TicksPerQuarter: 96},
		},
		{
			"format 2", slices.Concat(chunk("MThd", "0002 0002 0060"), chunk("MTrk", "05FF2F00"), chunk("MTrk", "06FF2F00")),
			"end:5 | end:6", Division{TicksPerQuarter: 96},
		},
		{
			"SMPTE division", slices.Concat(chunk("MThd", "0000 0001 E728"), chunk("MTrk", "00FF2F00")),
			"end:0", Division{FramesPerSecond: 25, TicksPerFrame: 40},
		},
		{
			"SMPTE division with a time signature", slices.Concat(chunk("MThd", "0000 0001 E728"), chunk("MTrk", "00FF580404021808 00FF2F00")),
			"0:FF5804021808 end:0", Division{FramesPerSecond: 25, TicksPerFrame: 40},
		},
		{
			"SMPTE division with drop frame", slices.Concat(chunk("MThd", "0000 0001 E3FF"), chunk("MTrk", "00FF2F00")),
			"end:0", Division{FramesPerSecond: 29, TicksPerFrame: 255},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(c.b)
			if err != nil {
				t.Fatal(err)
			}
			if got := summary(f); got != c.want {
				t.Errorf("read\n%s\nwant\n%s", got, c.want)
			}
			if f.Division != c.div {
				t.Errorf("division %v, want %v", f.Division, c.div)
			}
			if len(f.Warnings) > 0 {
				t.Errorf("a sound file gave warnings: %q", f.Warnings)
			}
		})
	}
}

// TestReadWithWarnings holds what is wrong but certain. The offset and a part of
// each warning are given.
func TestReadWithWarnings(t *testing.T) {
	head := chunk("MThd", header1)
	two := chunk("MThd", "0001 0002 0060")
	for _, c := range []struct {
		name  string
		b     []byte
		want  string
		warns []string
	}{
		{"running status after a meta event", one("00 903C40 60 FF0100 00 3C00 00FF2F00"), "0:903C40 96:FF01 96:903C00 end:96", []string{"byte 31: track 1 goes on with running status"}},
		{"running status after sysex", one("00 903C40 60 F001F7 00 3C00 00FF2F00"), "0:903C40 96:F0F7 96:903C00 end:96", []string{"byte 31: track 1 goes on with running status"}},
		{"no end of track", one("00 903C40 60 803C00"), "0:903C40 96:803C00 end:96", []string{"byte 30: track 1 has no end of track"}},
		{"event cut at the chunk's end", one("00 903C40 60 80"), "0:903C40 end:0", []string{"byte 26: track 1 is cut off: its last 2 bytes"}},
		{"file cut in a note", one("00 903C40 60 803C00 00FF2F00")[:29], "0:903C40 end:0", []string{"byte 26: track 1 is cut off: its last 3 bytes"}},
		{"file cut in a meta event", one("00 903C40 60 FF"), "0:903C40 end:0", []string{"byte 26: track 1 is cut off: its last 2 bytes"}},
		{"file cut between notes", one("00 903C40 60 803C00 00FF2F00")[:30], "0:903C40 96:803C00 end:96", []string{"byte 30: track 1 has no end of track"}},
		{"file cut in a long sysex", one("00 903C40 00 F08740 0102"), "0:903C40 end:0", []string{"byte 26: track 1 is cut off"}},
		{"file cut in a chunk's head", slices.Concat(two, chunk("MTrk", "00FF2F00"), []byte("MTrk\x00")), "end:0", []string{"byte 26: 5 bytes after the last chunk", "byte 10: the header says 2 tracks, the file has 1"}},
		{"end of track with a payload", one("00FF2F0100"), "end:0", nil},
		{"bytes after the end of track", one("00FF2F00 00 903C40"), "end:0", []string{"byte 26: 4 bytes after the end of track 1"}},
		{"chunk too long, next track inside", slices.Concat(two, sized("MTrk", 9, "05FF2F00"), chunk("MTrk", "06FF2F00")), "end:5 | end:6", []string{"byte 18: track 1 is 4 bytes long, not 9"}},
		{"chunk of unknown length", slices.Concat(two, sized("MTrk", 0xFFFFFFFF, "05FF2F00"), chunk("MTrk", "06FF2F00")), "end:5 | end:6", []string{"byte 18: track 1 is 4 bytes long, not 4294967295"}},
		{"chunk longer than the file", slices.Concat(head, sized("MTrk", 99, "05FF2F00")), "end:5", []string{"byte 18: track 1 is 4 bytes long, not 99"}},
		{"chunk longer than the file, foreign chunk inside", slices.Concat(head, sized("MTrk", 99, "05FF2F00"), chunk("XFIH", "01")), "end:5 | XFIH:01", []string{"byte 18: track 1 is 4 bytes long, not 99"}},
		{"chunk too short", slices.Concat(two, sized("MTrk", 5, "00903C40 60803C00 00FF2F00"), chunk("MTrk", "06FF2F00")), "0:903C40 96:803C00 end:96 | end:6", []string{"byte 18: track 1 is 12 bytes long, not 5"}},
		{"length never filled in", slices.Concat(head, sized("MTrk", 0, "00903C40 60803C00 00FF2F00")), "0:903C40 96:803C00 end:96", []string{"byte 18: track 1 is 12 bytes long, not 0"}},
		{"length never filled in, cut off", slices.Concat(head, sized("MTrk", 0, "00903C40 60803C00 0090")), "0:903C40 96:803C00 end:96", []string{"byte 18: track 1 is 8 bytes long, not 0", "byte 30: track 1 is cut off: its last 2 bytes"}},
		{"empty track chunk", slices.Concat(two, chunk("MTrk", ""), chunk("MTrk", "06FF2F00")), "end:0 | end:6", []string{"byte 22: track 1 has no end of track"}},
		{"no end of track before a foreign chunk", slices.Concat(head, chunk("MTrk", "00903C40"), chunk("XFIH", "0102")), "0:903C40 end:0 | XFIH:0102", []string{"byte 26: track 1 has no end of track"}},
		{"fewer tracks", slices.Concat(two, chunk("MTrk", "00FF2F00")), "end:0", []string{"byte 10: the header says 2 tracks, the file has 1"}},
		{"more tracks", slices.Concat(head, chunk("MTrk", "05FF2F00"), chunk("MTrk", "06FF2F00")), "end:5 | end:6", []string{"byte 10: the header says 1 tracks, the file has 2"}},
		{"format 0 of two tracks", slices.Concat(chunk("MThd", "0000 0002 0060"), chunk("MTrk", "05FF2F00"), chunk("MTrk", "06FF2F00")), "end:5 | end:6", []string{"byte 8: format 0 has one track, this file has 2; read as format 1"}},
		{"padding after the last chunk", append(one("00FF2F00"), make([]byte, 100)...), "end:0", []string{"byte 26: 100 bytes after the last chunk"}},
		{"foreign chunk cut off", slices.Concat(one("00FF2F00"), sized("XFIH", 2, "01")), "end:0", []string{`byte 26: chunk "XFIH" is cut off`}},
		{"tempo 0", one("00FF5103000000 00FF2F00"), "0:FF51000000 end:0", []string{"byte 23: a tempo must be over 0"}},
		{"short tempo", one("00FF51020102 00FF2F00"), "0:FF510102 end:0", []string{"byte 23: a tempo must be over 0"}},
		{"time signature without beats", one("00FF580400021808 00FF2F00"), "0:FF5800021808 end:0", []string{"byte 23: a time signature without beats"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(c.b)
			if err != nil {
				t.Fatal(err)
			}
			if got := summary(f); got != c.want {
				t.Errorf("read\n%s\nwant\n%s", got, c.want)
			}
			if !slices.EqualFunc(f.Warnings, c.warns, strings.HasPrefix) {
				t.Errorf("warnings\n%q\nwant them to start with\n%q", f.Warnings, c.warns)
			}
			again(t, f)
		})
	}
}

func TestReadRefuses(t *testing.T) {
	head := chunk("MThd", header1)
	two := chunk("MThd", "0001 0002 0060")
	for _, c := range []struct {
		name   string
		b      []byte
		offset int64
		track  int
		reason string
	}{
		{"nothing", nil, 0, 0, "starts with MThd"},
		{"another file", []byte("RIFF\x00\x00\x00\x00WAVEfmt "), 0, 0, "starts with MThd"},
		{"header cut off", head[:13], 13, 0, "ends within its header"},
		{"header of 5 bytes", sized("MThd", 5, "0001 0001 00 00"), 4, 0, "must be 6 bytes or more"},
		{"header longer than the file", sized("MThd", 7, header1), 4, 0, "ends before"},
		{"format 3", chunk("MThd", "0003 0001 0060"), 8, 0, "format 3 is not defined"},
		{"division 0", chunk("MThd", "0001 0001 0000"), 12, 0, "division of 0"},
		{"division of 26 frames", chunk("MThd", "0001 0001 E628"), 12, 0, "24, 25, 29 or 30 frames a second, found 26"},
		{"division of 128 frames", chunk("MThd", "0001 0001 8028"), 12, 0, "found 128"},
		{"division of no ticks in a frame", chunk("MThd", "0001 0001 E700"), 12, 0, "1 to 255 ticks in a frame, found 0"},
		{"no track", head, 14, 0, "without a track"},
		{"foreign chunk alone", slices.Concat(head, chunk("XFIH", "01")), 23, 0, "without a track"},
		{"two files joined", slices.Concat(one("00FF2F00"), one("00FF2F00")), 26, 0, "two files were joined"},
		{"garbage between tracks", slices.Concat(two, chunk("MTrk", "00FF2F00"), unhex("00010203 04050607"), chunk("MTrk", "00FF2F00")), 26, 0, "no chunk stands where track 2 of 2 is due"},
		{"foreign chunk too long, tracks inside", slices.Concat(head, sized("XFIH", 999, "01"), chunk("MTrk", "00FF2F00")), 18, 0, "more than the file has"},
		{"running status at track start", one("00 3C40 00FF2F00"), 23, 1, "byte 3C stands where the first event of a track needs a status byte"},
		{"running status after the first meta event", one("00 FF0100 00 3C40 00FF2F00"), 27, 1, "byte 3C stands where the first event"},
		{"running status of another track", slices.Concat(two, chunk("MTrk", "00903C40 00FF2F00"), chunk("MTrk", "00 3C40 00FF2F00")), 39, 2, "byte 3C stands where the first event"},
		{"delta time of 5 bytes", one("8180808000 903C40 00FF2F00"), 22, 1, "over four bytes long"},
		{"meta length of 5 bytes", one("00 FF018080808000 00FF2F00"), 25, 1, "over four bytes long"},
		{"sysex length of 5 bytes", one("00 F08080808001F7 00FF2F00"), 24, 1, "over four bytes long"},
		{"status for a data byte", one("00 903C90 00FF2F00"), 25, 1, "byte 90 stands where a data byte of message 90 is due"},
		{"status for a running data byte", one("00 903C40 00 3DFF 00FF2F00"), 28, 1, "byte FF stands where a data byte"},
		{"meta type over 7F", one("00 FF8001 00FF2F00"), 24, 1, "types end at 7F"},
		{"clock in a track", one("00 F8 00FF2F00"), 23, 1, "status F8 belongs on a wire"},
		{"clock within a message", one("00 90F83C40 00FF2F00"), 24, 1, "byte F8 stands where a data byte"},
		{"song position in a track", one("00 F20000 00FF2F00"), 23, 1, "status F2 belongs on a wire"},
		{"active sensing in a track", one("00 FE 00FF2F00"), 23, 1, "status FE belongs on a wire"},
		{"chunk too short, then garbage", slices.Concat(head, sized("MTrk", 5, "00903C40 60F1")), 27, 1, "status F1 belongs on a wire"},
		{"chunk too short, then no end", slices.Concat(head, sized("MTrk", 5, "00903C40 60803C00")), 27, 1, "the track's chunk ends here"},
		{"chunk too short, next track would pass for programs", slices.Concat(two, sized("MTrk", 3, "00C001 6002"), chunk("MTrk", "00FF2F00")), 25, 1, "the track's chunk ends here"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(c.b)
			if f != nil {
				t.Errorf("read %s", summary(f))
			}
			var se *SyntaxError
			if !errors.As(err, &se) {
				t.Fatalf("error %v, want a SyntaxError", err)
			}
			if se.Offset != c.offset || se.Track != c.track || !strings.Contains(se.Reason, c.reason) {
				t.Errorf("%v\nwant %q at byte %d, track %d", err, c.reason, c.offset, c.track)
			}
		})
	}
}

func TestSyntaxErrorText(t *testing.T) {
	for _, c := range []struct {
		err  SyntaxError
		want string
	}{
		{SyntaxError{Offset: 12, Reason: "odd"}, "byte 12: odd"},
		{SyntaxError{Offset: 99, Track: 3, Reason: "odd"}, "byte 99, track 3: odd"},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestReadKeepsNothingOfInput lets a caller use its buffer again.
func TestReadKeepsNothingOfInput(t *testing.T) {
	b := slices.Concat(one("00 903C40 60 3C00 00 F001F7 00FF2F00"), chunk("XFIH", "0102"))
	f, err := Read(b)
	if err != nil {
		t.Fatal(err)
	}
	want := summary(f)
	clear(b)
	if got := summary(f); got != want {
		t.Errorf("after the input was cleared: %s, want %s", got, want)
	}
	e := f.Tracks[0].Events
	_ = append(e[0].Data, 0x55)
	if got := summary(f); got != want {
		t.Errorf("after appending to an event: %s, want %s", got, want)
	}
}

func TestWarningsAreLimited(t *testing.T) {
	f, err := Read(one(strings.Repeat("00FF5100", maxWarnings+50) + "00FF2F00"))
	if err != nil {
		t.Fatal(err)
	}
	if n := len(f.Warnings); n != maxWarnings+1 || !strings.HasSuffix(f.Warnings[maxWarnings], "further warnings are left out") {
		t.Errorf("%d warnings, the last %q", n, f.Warnings[n-1])
	}
}

func TestTooManyTracks(t *testing.T) {
	b := slices.Concat(chunk("MThd", "0001 FFFF 0060"), bytes.Repeat(chunk("MTrk", "00FF2F00"), maxTracks))
	f, err := Read(b)
	if err != nil || len(f.Tracks) != maxTracks || len(f.Warnings) > 0 {
		t.Fatalf("%d tracks: %v", maxTracks, err)
	}
	var se *SyntaxError
	if _, err = Read(append(b, chunk("MTrk", "00FF2F00")...)); !errors.As(err, &se) || se.Offset != int64(len(b)) {
		t.Errorf("one track more: %v, want a SyntaxError at byte %d", err, len(b))
	}
}

func TestReadFrom(t *testing.T) {
	b := one("00FF2F00")
	f, err := ReadFrom(bytes.NewReader(b))
	if err != nil || summary(f) != "end:0" {
		t.Errorf("a sound file: %v", err)
	}
	if _, err := readUpTo(bytes.NewReader(b), len(b)); err != nil {
		t.Errorf("a file of the greatest size: %v", err)
	}
	var se *SyntaxError
	if _, err := readUpTo(bytes.NewReader(b), len(b)-1); !errors.As(err, &se) || se.Offset != int64(len(b)-1) {
		t.Errorf("a file too large by a byte: error %v, want a SyntaxError at byte %d", err, len(b)-1)
	}
	broken := errors.New("the disk is gone")
	if _, err := ReadFrom(iotest.ErrReader(broken)); !errors.Is(err, broken) {
		t.Errorf("error %v, want that of the reader", err)
	}
}
