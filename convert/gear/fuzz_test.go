package gear

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"fourmarks.example/convert/interval"
)

// sound fails on a result that is not a number, or an error without a reason.
func sound(t *testing.T, err error, results ...float64) bool {
	t.Helper()
	if err != nil {
		if err.Error() == "" {
			t.Error("an error without a reason")
		}
		return false
	}
	for i, x := range results {
		if math.IsNaN(x) {
			t.Errorf("result %d is not a number", i)
		}
	}
	return true
}

// soundSpan is sound for intervals, which must not be empty either.
func soundSpan(t *testing.T, x interval.Interval, err error) bool {
	t.Helper()
	if !sound(t, err, x.Lo, x.Hi) {
		return false
	}
	if x.IsEmpty() {
		t.Error("an empty result without an error")
	}
	return true
}

func FuzzParseTrain(f *testing.F) {
	f.Add("crankshaft > idler > camshaft", int8(1), int8(1))
	f.Add("a>b + c>d", int8(0), int8(4))
	f.Add(" > + ", int8(-1), int8(9))
	f.Fuzz(func(t *testing.T, text string, sense, kind int8) {
		wheels := map[string]Wheel{}
		for i, name := range strings.FieldsFunc(text, func(r rune) bool { return r == '>' || r == '+' }) {
			wheels[strings.TrimSpace(name)] = Wheel{Teeth: i + 10, Hand: Hand(i%3 - 1), Back: Facing(i % 3)}
		}
		tr, err := ParseTrain(text, Turning{Sense: Sense(sense), SeenFrom: "timing end"}, wheels, Mesh{Kind: Kind(kind), DrivenPoints: RightHand})
		if !sound(t, err) {
			return
		}
		for _, w := range tr.Wheels() {
			turns, err := tr.Turns(w.Name)
			if err != nil || turns.Sign() <= 0 {
				t.Errorf("%s turns %v, %v", w.Name, turns, err)
			}
			if turning, err := tr.Turning(w.Name); err != nil || (turning.Sense == NotDetermined) != (turning.Reason != "") {
				t.Errorf("%s turns %v, %v", w.Name, turning, err)
			}
		}
	})
}

func FuzzTrain(f *testing.F) {
	f.Add(28, 45, 45, 56, int8(1), int8(2), int8(1), int8(2), "timing end", "top")
	f.Add(22, 23, 23, 44, int8(3), int8(3), int8(0), int8(1), "timing end", "")
	f.Add(-1, 0, 10001, 1<<40, int8(9), int8(-9), int8(7), int8(-7), "", "")
	f.Fuzz(func(t *testing.T, z1, z2, z3, z4 int, kind1, kind2, hand, facing int8, end1, end2 string) {
		crank := Turning{Sense: Clockwise, SeenFrom: end1}
		tr, err := NewTrain(crank, [][]Wheel{
			{{Name: "a", Teeth: z1, Hand: Hand(hand), Back: Facing(facing)}},
			{{Name: "b", Teeth: z2, Back: Toward, SeenFrom: end2}, {Name: "c", Teeth: z3, Hand: Hand(hand)}},
			{{Name: "d", Teeth: z4, Back: Away, SeenFrom: end1}},
		}, []Mesh{{Kind: Kind(kind1), DrivenPoints: Hand(hand)}, {Kind: Kind(kind2), DrivenPoints: LeftHand}})
		if !sound(t, err) {
			return
		}
		// Speeds: driving teeth over driven, at either mesh, without exception.
		turns, _ := tr.Turns("d")
		if want := new(big.Rat).Mul(rat(int64(z1), int64(z2)), rat(int64(z3), int64(z4))); turns.Cmp(want) != 0 {
			t.Errorf("turns %v, not %v", turns, want)
		}
		n, err := tr.MeetAgain()
		if sound(t, err) {
			for _, w := range tr.Wheels() {
				turns, _ := tr.Turns(w.Name)
				if !turns.Mul(turns, new(big.Rat).SetInt(n)).IsInt() {
					t.Errorf("%s is not home after %v turns", w.Name, n)
				}
			}
		}
		for _, slid := range tr.Wheels() {
			step, err := tr.ToothStep(slid.Name)
			if err != nil || step.Sign() <= 0 {
				t.Errorf("step of %s: %v, %v", slid.Name, step, err)
			}
			for _, wheel := range tr.Wheels() {
				s, err := tr.Slide(slid.Name, Facing(facing), wheel.Name)
				if sound(t, err) && (s.Teeth.Sign() < 0 || s.Turning.Sense != NotDetermined && s.Teeth.Sign() == 0) {
					t.Errorf("%s slid: %s %v", slid.Name, wheel.Name, s)
				}
			}
		}
	})
}

func FuzzMeetAgain(f *testing.F) {
	f.Add(22, 23)
	f.Add(0, -5)
	f.Add(1<<62, 10000)
	f.Fuzz(func(t *testing.T, z1, z2 int) {
		m, err := MeetAgain(z1, z2)
		if sound(t, err) && (m.First*z1 != m.Teeth || m.Second*z2 != m.Teeth || m.Common*m.Teeth != z1*z2) {
			t.Errorf("%d and %d: %+v", z1, z2, m)
		}
	})
}

func FuzzForm(f *testing.F) {
	f.Add(1.0, 15.0, 20.0, 17, 35, 0.2, -0.1, 27.5, int8(1))
	f.Add(3.0, 30.0, 20.0, 12, 60, 0.09809, 0.0, 80.0, int8(2))
	f.Add(math.NaN(), math.Inf(1), -1.0, 0, -1, 1e300, math.NaN(), 0.0, int8(-3))
	f.Fuzz(func(t *testing.T, module, helix, pressure float64, z1, z2 int, x1, x2, centre float64, kind int8) {
		form := Form{module, helix, pressure}
		p, err := form.Pitches()
		if sound(t, err, p.TransverseModule, p.TransversePressureDeg, p.BaseHelixDeg, p.Normal, p.Transverse, p.Axial, p.NormalBase, p.TransverseBase) && p.TransverseModule < module {
			t.Errorf("transverse module %v is less than the normal %v", p.TransverseModule, module)
		}
		d, err := form.Wheel(z1, x1)
		if sound(t, err, d.ReferenceDiameter, d.BaseDiameter, d.TipDiameter, d.RootDiameter, d.Lead) && !(d.RootDiameter < d.TipDiameter && d.BaseDiameter < d.ReferenceDiameter) {
			t.Errorf("%+v", d)
		}
		pair, err := form.Pair(Kind(kind), [2]int{z1, z2}, [2]float64{x1, x2})
		if !sound(t, err, pair.CentreDistance, pair.ReferenceCentreDistance, pair.WorkingPressureDeg, pair.Shortening) {
			return
		}
		w, err := pair.At(centre)
		sound(t, err, w.PressureDeg, w.Diameters[0], w.Diameters[1], w.Backlash, w.BacklashDeg[0], w.BacklashDeg[1])
	})
}

func FuzzTravel(f *testing.F) {
	f.Add(41.5, 41.8, 22.5, 22.5, 2.54, 2.54, 28, 56, int8(1))
	f.Add(-1.0, 1.0, 0.0, 45.0, 1e-5, 1e5, 1, 10000, int8(2))
	f.Add(math.NaN(), math.Inf(1), -1.0, 95.0, 0.0, -1.0, 0, -1, int8(0))
	f.Fuzz(func(t *testing.T, t0, t1, h0, h1, m0, m1 float64, z1, z2 int, kind int8) {
		travel, helix, module := interval.Interval{Lo: t0, Hi: t1}, interval.Interval{Lo: h0, Hi: h1}, interval.Interval{Lo: m0, Hi: m1}
		turned, err := TeethTurned(travel, helix, module)
		if soundSpan(t, turned, err) {
			if back, err := TravelFor(turned, helix, module); err == nil && !travel.Within(back) {
				t.Errorf("%v comes back as %v", travel, back)
			}
		}
		back, err := TravelFor(travel, helix, module)
		soundSpan(t, back, err)
		rotation, err := RotationFromTravel(travel, helix, module, z1)
		soundSpan(t, rotation, err)
		centre, err := ReferenceCentreDistance(Kind(kind), z1, z2, helix, module)
		if soundSpan(t, centre, err) && centre.Lo <= 0 {
			t.Errorf("centre distance %v", centre)
		}
		pitch, err := ModuleOfDiametralPitch(module)
		soundSpan(t, pitch, err)
	})
}

func FuzzBacklash(f *testing.F) {
	f.Add(0.05, 0.06, 99.9, 100.1, 20.0, 20.0)
	f.Add(0.0, 0.0, 1e-5, 1e5, 0.0, 60.0)
	f.Add(math.NaN(), -1.0, 0.0, math.Inf(1), 61.0, -1.0)
	f.Fuzz(func(t *testing.T, j0, j1, d0, d1, a0, a1 float64) {
		backlash, diameter, angle := interval.Interval{Lo: j0, Hi: j1}, interval.Interval{Lo: d0, Hi: d1}, interval.Interval{Lo: a0, Hi: a1}
		deg, err := BacklashDeg(backlash, diameter)
		if soundSpan(t, deg, err) {
			if back, err := BacklashAlong(deg, diameter); err == nil && !backlash.Within(back) {
				t.Errorf("%v comes back as %v", backlash, back)
			}
		}
		along, err := BacklashAlong(backlash, diameter)
		soundSpan(t, along, err)
		round, err := CircumferentialBacklash(backlash, angle, angle)
		if soundSpan(t, round, err) && round.Hi < backlash.Lo {
			t.Errorf("%v along the circle is less than %v square to the tooth", round, backlash)
		}
	})
}

func FuzzCrossed(f *testing.F) {
	f.Add(23, 44, 90.0, 45.0, 45.0, 2.0, int8(1), int8(1))
	f.Add(0, -1, math.NaN(), math.Inf(1), -1.0, 0.0, int8(0), int8(9))
	f.Fuzz(func(t *testing.T, z1, z2 int, angle, h1, h2, module float64, hand1, hand2 int8) {
		first, second, err := BevelPitchAngles(z1, z2, angle)
		if sound(t, err, first, second) && !(first > 0 && second > -1e-9 && math.Abs(first+second-angle) < 1e-9) {
			t.Errorf("%v and %v at %v", first, second, angle)
		}
		between, err := SkewShaftAngle(point(h1), point(h2), Hand(hand1), Hand(hand2))
		soundSpan(t, between, err)
		centre, err := SkewCentreDistance(point(module), z1, z2, point(h1), point(h2))
		soundSpan(t, centre, err)
	})
}

func FuzzChain(f *testing.F) {
	f.Add(9.525, 200.0, 19, 38, 52)
	f.Add(1e-5, 1e5, 5, 10000, 10000)
	f.Add(math.NaN(), math.Inf(1), 0, -1, 0)
	f.Fuzz(func(t *testing.T, pitch, centres float64, z1, z2, pitches int) {
		d, err := ChainPitchDiameter(pitch, z1)
		if sound(t, err, d) && d <= pitch {
			t.Errorf("pitch diameter %v of pitch %v", d, pitch)
		}
		sound(t, CheckPitches(pitches))
		length, err := ChainPitches(pitch, centres, z1, z2)
		if sound(t, err, length) && length < float64(min(z1, z2)) {
			t.Errorf("%v pitches round %d and %d teeth", length, z1, z2)
		}
		found, err := ChainCentres(pitch, pitches, z1, z2)
		if !sound(t, err, found) {
			return
		}
		if again, err := ChainPitches(pitch, found, z1, z2); err != nil || math.Abs(again-float64(pitches)) > 1e-6 {
			t.Errorf("centres %v for %d pitches give %v, %v", found, pitches, again, err)
		}
	})
}

func FuzzCoupling(f *testing.F) {
	f.Add(19, 20, 1, 3.0)
	f.Add(12, 18, -18, -180.0)
	f.Add(0, 201, 1<<62, math.NaN())
	f.Fuzz(func(t *testing.T, ring1, ring2, steps int, wanted float64) {
		c := Coupling{ring1, ring2}
		step, err := c.Step()
		if !sound(t, err) {
			return
		}
		for _, move := range []func() (CouplingMove, error){
			func() (CouplingMove, error) { return c.Move(steps) },
			func() (CouplingMove, error) { return c.Nearest(wanted) },
		} {
			m, err := move()
			if !sound(t, err, m.OffDeg) {
				continue
			}
			turned := new(big.Rat).Add(rat(int64(360*m.Holes[0]), int64(ring1)), rat(int64(360*m.Holes[1]), int64(ring2)))
			if want := new(big.Rat).Mul(step, rat(int64(m.Steps), 1)); turned.Cmp(want) != 0 || math.Abs(m.OffDeg) > 180 {
				t.Errorf("%v: %+v turns %v, not %v", c, m, turned, want)
			}
		}
	})
}

func FuzzFixing(f *testing.F) {
	f.Add(38, 4, int64(1), int64(8))
	f.Add(0, 361, int64(3), int64(-2))
	f.Fuzz(func(t *testing.T, teeth, keyways int, num, den int64) {
		step, err := KeywayStep(keyways, teeth)
		if sound(t, err) && (step.Sign() <= 0 || step.Cmp(rat(1, 1)) > 0) {
			t.Errorf("step %v", step)
		}
		fixing := Fixing{Teeth: teeth, Keyways: keyways}
		if den != 0 {
			fixing.OffLine = rat(num, den)
		}
		positions, err := fixing.Positions()
		if !sound(t, err) {
			return
		}
		for i, p := range positions {
			if p.Sign() < 0 || p.Cmp(rat(1, 1)) >= 0 || i > 0 && p.Cmp(positions[i-1]) <= 0 {
				t.Errorf("position %d of %v", i, positions)
			}
		}
	})
}

func FuzzBestCorrection(f *testing.F) {
	f.Add(17.3, 0.5, 22, 23, 24, 16, 19, 20, 3, int64(3), int64(2))
	f.Add(-360.0, 0.0, 28, 56, 56, 28, 1, 1, 1, int64(-2), int64(1))
	f.Add(math.NaN(), -1.0, 0, 0, 0, 0, 0, 0, 0, int64(1), int64(0))
	f.Fuzz(func(t *testing.T, late, tolerance float64, z1, z2, z3, z4, ring1, ring2, keyways int, num, den int64) {
		tr, err := NewTrain(clockwise, [][]Wheel{
			{{Name: "a", Teeth: z1}}, {{Name: "b", Teeth: z2}, {Name: "c", Teeth: z3}}, {{Name: "d", Teeth: z4}},
		}, []Mesh{{Kind: External}, {Kind: Chain}})
		if !sound(t, err) {
			return
		}
		var ways []Adjustment
		take := func(a Adjustment, err error) {
			if sound(t, err) && len(a.settings) < 200 { // larger ones only take longer
				ways = append(ways, a)
			}
		}
		take(tr.Teeth("b"))
		take(tr.Teeth("d"))
		take(tr.Coupling("d", Coupling{ring1, ring2}))
		take(tr.Keyways("d", keyways))
		if den != 0 {
			take(tr.Fittings("c", "offset key", rat(num, den)))
		}
		c, err := BestCorrection(late, tolerance, ways...)
		if !sound(t, err, c.LateDeg) {
			return
		}
		left := late
		for _, m := range c.Moves {
			left -= m.CrankDeg
			if m.Moved < 1 || m.String() == "" {
				t.Errorf("%+v", m)
			}
		}
		if math.Abs(left-c.LateDeg) > 1e-6 || c.Within != (math.Abs(c.LateDeg) <= tolerance) || math.Abs(c.LateDeg) > math.Abs(late) && !c.Within {
			t.Errorf("late %v within %v: %v leaves %v", late, tolerance, c, left)
		}
	})
}
