package acoustics

import (
	"math"
	"testing"
)

// Absorption, radius and G at 10, 20 and 30 m by Barron of halls by their volume
// and reverberation time (L. L. Beranek 2004, from memory), as computed in the
// reference table.
func TestHalls(t *testing.T) {
	for _, c := range []struct{ v, rt, a, radius, g10, g20, g30 float64 }{
		{15000, 2.0, 1208, 4.9, 6.4, 4.8, 3.8},
		{18750, 1.85, 1632, 5.7, 5.4, 3.5, 2.4},
		{18780, 2.0, 1512, 5.5, 5.7, 3.9, 2.9},
		{15000, 2.05, 1178, 4.9, 6.5, 5.0, 4.0},
		{21000, 1.9, 1779, 6.0, 5.2, 3.2, 2.1},
		{11400, 2.05, 895, 4.3, 7.5, 6.1, 5.1},
		{21000, 2.0, 1690, 5.8, 5.4, 3.5, 2.4},
		{24270, 1.8, 2171, 6.6, 4.6, 2.4, 1.1},
		{21950, 1.45, 2437, 7.0, 4.1, 1.6, 0.1},
		{25000, 1.85, 2176, 6.6, 4.6, 2.4, 1.2},
		{86650, 2.4, 5813, 10.8, 2.4, -0.6, -2.0},
	} {
		r := Room{Volume: c.v, RT: c.rt}
		if a := r.Absorption(1000); !near(a, c.a, 0.51) {
			t.Errorf("%g m³, %g s: A %.1f m², wanted %g", c.v, c.rt, a, c.a)
		}
		// The table's radii come from the short formula, whose 0.057 is rounded.
		if got := r.Radius(); !near(got, c.radius, 0.09) {
			t.Errorf("%g m³, %g s: radius %.2f m, wanted %g", c.v, c.rt, got, c.radius)
		}
		if got, want := r.Radius(), 0.057*math.Sqrt(c.v/c.rt); !near(got, want, 0.01*want) {
			t.Errorf("%g m³, %g s: radius %.2f m, by the short formula %.2f", c.v, c.rt, got, want)
		}
		for d, want := range map[float64]float64{10: c.g10, 20: c.g20, 30: c.g30} {
			if got := r.StrengthDB(d, Receding); !near(got, want, 0.11) {
				t.Errorf("%g m³, %g s, %g m: G %.2f dB, wanted %g", c.v, c.rt, d, got, want)
			}
		}
		// Far away the classical G is 10·log10(T/V) + 45, and Lp = Lw + G - 31.
		if got, want := r.StrengthDB(1e6, Diffuse), db10(c.rt/c.v)+44.94; !near(got, want, 0.05) {
			t.Errorf("%g m³, %g s: classical G %.2f dB, wanted %.2f", c.v, c.rt, got, want)
		}
		if got, want := r.LevelDB(100, 1, 17, Receding), 100+r.StrengthDB(17, Receding)-31; !near(got, want, 0.05) {
			t.Errorf("%g m³, %g s: level %.2f dB, wanted %.2f", c.v, c.rt, got, want)
		}
	}
}

// Barron's early and late sound, computed apart as he does, are our receding field.
//
// Source: M. Barron, Auditorium Acoustics, 2nd ed., app. B.3, with the factor T
// that a secondary copy has lost.
func TestBarronEarlyAndLate(t *testing.T) {
	for _, r := range []Room{{Volume: 15000, RT: 2}, {Volume: 21950, RT: 1.45}} {
		for _, d := range []float64{8, 15, 40} {
			k := 31200 * r.RT / r.Volume * math.Exp(-0.04*d/r.RT)
			early, late := k*(1-math.Exp(-1.11/r.RT)), k*math.Exp(-1.11/r.RT)
			want := db10(100/(d*d) + early + late)
			if got := r.StrengthDB(d, Receding); !near(got, want, 0.01) {
				t.Errorf("%g m³ at %g m: %.3f dB, wanted %.3f", r.Volume, d, got, want)
			}
		}
	}
}

// Sabine's formula both ways, and what air does to it, by hand: 0.161·15000/(1208)
// is 2.0 s, and 4·0.001·15000 = 60 m² of air make it 1.905.
func TestSabine(t *testing.T) {
	for _, c := range []struct{ v, sa, m, want float64 }{
		{15000, 1207.5, 0, 2.000},
		{15000, 1207.5, 0.001, 1.905},
		{200, 20, 0, 1.610},
	} {
		if got := SabineRT(c.v, c.sa, c.m); !near(got, c.want, 0.0005) {
			t.Errorf("V %g, A %g, m %g: %.4f s, wanted %g", c.v, c.sa, c.m, got, c.want)
		}
	}
	r := Room{Volume: 15000, RT: 2}
	if SabineRT(r.Volume, r.Absorption(500), 0) != 2 {
		t.Error("the reverberation time of the absorption is not the room's")
	}
	// 105 and 4.66 dB/km at 8 and 1 kHz (ISO 9613-1, from memory): 0.0231 1/m more, 1386 m² in 15000 m³.
	if got := r.Absorption(8000) - r.Absorption(1000); !near(got, 1386, 2) {
		t.Errorf("air at 8 kHz adds %.0f m², wanted 1386", got)
	}
}

// The room formula, by hand: 100 dB at 2 m with Q = 2 in A = 100 m².
// 2/(4π·4) + 4/100 = 0.0798, and 10·log10 of it -10.98 dB.
func TestRoomFormula(t *testing.T) {
	r := Room{Volume: 100 / 0.161, RT: 1}
	if got := r.LevelDB(100, 2, 2, Diffuse); !near(got, 89.02, 0.01) {
		t.Errorf("%.2f dB, wanted 89.02", got)
	}
	// At the radius direct and reverberant sound are equal.
	d, rev := direct(r.Radius()), r.reverberant(Diffuse, 0, 1000)
	if !near(d/rev, 1, 1e-9) {
		t.Errorf("at the radius direct is %.4f of reverberant", d/rev)
	}
}

func TestPresets(t *testing.T) {
	last := 0.0
	for _, r := range Rooms() {
		if r.Volume <= last || r.RT < 1 || r.RT > 2.5 {
			t.Errorf("%s: %g m³, %g s, after %g m³", r.Name, r.Volume, r.RT, last)
		}
		last = r.Volume
		if got, ok := LookupRoom(r.Name); !ok || got != r {
			t.Errorf("%s is not found", r.Name)
		}
	}
	if _, ok := LookupRoom("bathroom"); ok {
		t.Error("an unknown room was found")
	}
}

// On every seating the sections have their own places in front of the audience, the
// strings before the winds, the winds before the drums.
func TestSeatings(t *testing.T) {
	for _, s := range Seatings() {
		taken := map[Position]string{}
		for _, name := range []string{"violins-1", "violins-2", "violas", "cellos", "double-basses", "flute", "oboe", "clarinet", "bassoon", "horn", "trumpet", "trombone", "tuba", "timpani", "harp"} {
			p := s.Seat(instrument(t, name))
			if other, twice := taken[p]; twice {
				t.Errorf("%s: %s and %s sit on one seat", s.Name, other, name)
			}
			taken[p] = name
			if p.Y <= 0 || p.Y > 15 || math.Abs(p.X) > 10 {
				t.Errorf("%s: %s sits at %v, off the stage", s.Name, name, p)
			}
		}
		depth := func(name string) float64 { return s.Seat(instrument(t, name)).Y }
		if depth("violins-1") >= depth("flute") || depth("flute") >= depth("trumpet") || depth("trumpet") >= depth("timpani") {
			t.Errorf("%s: the rows are not in order", s.Name)
		}
		if s.Seat(instrument(t, "tubular-bells")) != s.Seat(instrument(t, "snare-drum")) {
			t.Errorf("%s: percussion does not sit together", s.Name)
		}
		if got := s.Seat(&Instrument{Name: "unknown"}); got.Y <= 0 {
			t.Errorf("%s: the unknown sits at %v", s.Name, got)
		}
		if found, ok := LookupSeating(s.Name); !ok || found.Name != s.Name {
			t.Errorf("%s is not found", s.Name)
		}
	}
	facing, _ := LookupSeating("violins-facing")
	if a, b := facing.Seat(instrument(t, "violins-1")), facing.Seat(instrument(t, "violins-2")); a.X >= 0 || b.X != -a.X {
		t.Errorf("violins facing sit at %v and %v", a, b)
	}
	if d := Row(5).Distance(Podium()) - Row(4).Distance(Podium()); !near(d, rowPitch, 1e-9) {
		t.Errorf("a row is %.2f m deep", d)
	}
	if Row(0) != Row(1) || Podium().Distance(Podium()) != nearest {
		t.Error("the first row or the least distance is not held")
	}
}
