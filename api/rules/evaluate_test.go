package rules

import (
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/unit"
)

func at[T any](v T) *T { return &v }

// MustEvaluate evaluates a valid input.
func MustEvaluate(tb testing.TB, in EvaluateInput) Evaluation {
	tb.Helper()
	if err := in.Validate(); err != nil {
		tb.Fatalf("input refused: %v", err)
	}
	return Evaluate(in)
}

// MustItem returns the item of the only leg on a subject.
func MustItem(tb testing.TB, e Evaluation, s Subject) Item {
	tb.Helper()
	for _, i := range e.Legs[0].Items {
		if i.Subject == s {
			return i
		}
	}
	tb.Fatalf("no item on %s", s)
	return Item{}
}

func reading(tb testing.TB, i Item, id string) RowRef {
	tb.Helper()
	for _, r := range i.Rows {
		if r.ID == id {
			return r
		}
	}
	tb.Fatalf("no row %s", id)
	return RowRef{}
}

// one judges one subject of one jurisdiction.
func one(tb testing.TB, code string, s Subject, f Facts) Item {
	tb.Helper()
	return MustItem(tb, MustEvaluate(tb, EvaluateInput{Route: []string{code}, Facts: f}), s)
}

// complete is a rig that meets every rule read: a 4,000 lb car behind a
// 24,000 lb motorhome, 54 ft together.
func complete() Facts {
	return Facts{
		TowedGross: at(unit.LB(4_000)), TowedGVWR: at(unit.LB(4_600)), TowedUnladen: at(unit.LB(3_600)),
		TowingGross: at(unit.LB(24_000)), TowingGVWR: at(unit.LB(26_000)), TowingEmpty: at(unit.LB(20_000)), TowingAxleRatings: at(unit.LB(27_000)),
		HasBrakes: at(true), Breakaway: at(true), HoldMinLow: at(20.0), HoldMinHigh: at(30.0), StopFrom20MPH: at(unit.FT(25)),
		Cables: at(2), CablesCrossed: at(true), TailLamps: at(2), StopLamps: at(2), TurnSignals: at(2), ClearanceLamps: at(0), Reflectors: at(2), PlateLamp: at(true),
		CouplingLength: at(unit.FT(5)), CombinationLength: at(unit.FT(54)), TowedUnits: at(1), TowedWidth: at(unit.IN(72)), PlannedSpeed: at(unit.MPH(50)), TowedYear: at(2012),
	}
}

func light(lb float64) Facts {
	f := complete()
	f.TowedGross, f.TowedUnladen, f.TowedGVWR = at(unit.LB(lb)), at(unit.LB(lb)), at(unit.LB(lb))
	f.HasBrakes, f.Breakaway, f.HoldMinLow, f.HoldMinHigh = at(false), at(false), nil, nil
	return f
}

func TestBoundaries(t *testing.T) {
	tests := []struct {
		name    string
		code    string
		subject Subject
		facts   func() Facts
		want    Requirement
		met     Met
	}{
		// SDCL 32-18-17 and 18 DCMR § 721.1: trailers "over" (in excess of) 3,000 lb
		// need breakaway brakes; standards: over is not at least. Neither word
		// trailer covers a motor vehicle there.
		{"SD 3,000 lb is not over", "US-SD", Breakaway, func() Facts { return light(3_000) }, NotRequired, None},
		{"SD 3,001 lb is", "US-SD", Breakaway, func() Facts { return light(3_001) }, MayNotCover, NotMet},
		{"DC 3,000 lb is not over", "US-DC", Breakaway, func() Facts { return light(3_000) }, NotRequired, None},
		{"DC 3,001 lb is", "US-DC", Breakaway, func() Facts { return light(3_001) }, MayNotCover, NotMet},
		// S.C. Code § 56-5-4850(d), over 3,000 lb; trailer "with or without motive
		// power" by § 56-5-240, so it covers a car.
		{"SC 3,000 lb", "US-SC", Breakaway, func() Facts { return light(3_000) }, NotRequired, None},
		{"SC 3,001 lb", "US-SC", Breakaway, func() Facts { return light(3_001) }, Required, NotMet},
		// Va. Code § 46.2-1070: any separate vehicle of 3,000 lb or more.
		{"VA 2,999 lb", "US-VA", Brakes, func() Facts { return light(2_999) }, NotRequired, None},
		{"VA exactly 3,000 lb", "US-VA", Brakes, func() Facts { return light(3_000) }, Required, NotMet},
		// N.C. Gen. Stat. § 20-124(f): two tons.
		{"NC 3,999 lb", "US-NC", Brakes, func() Facts { return light(3_999) }, NotRequired, None},
		{"NC 4,000 lb", "US-NC", Brakes, func() Facts { return light(4_000) }, Required, NotMet},
		// 13 AAC 04.205(d): over 5,000 lb.
		{"AK 5,000 lb", "US-AK", Brakes, func() Facts { return light(5_000) }, NotRequired, None},
		{"AK 5,001 lb", "US-AK", Brakes, func() Facts { return light(5_001) }, Required, NotMet},
		// Idaho Code § 49-933(3): unladen, trailers without motive power.
		{"ID 1,499 lb unladen, 2,000 lb loaded", "US-ID", Brakes, func() Facts {
			f := light(1_499)
			f.TowedGross = at(unit.LB(2_000))
			return f
		}, NotRequired, None},
		{"ID 1,500 lb unladen", "US-ID", Brakes, func() Facts { return light(1_500) }, MayNotCover, NotMet},
		// Miss. Code § 63-7-51(3): the load carried, over one ton; a 4,000 lb car
		// that carries 400 lb is far from it.
		{"MS carries 400 lb", "US-MS", Brakes, func() Facts {
			f := complete()
			f.HasBrakes = at(false)
			return f
		}, NotRequired, None},
		// Minn. Stat. § 169.67, subd. 3(a): at least 3,000 lb, or heavier than the
		// empty towing vehicle.
		{"MN 2,900 lb behind 20,000 lb empty", "US-MN", Brakes, func() Facts { return light(2_900) }, NotRequired, None},
		{"MN 2,900 lb behind 2,899 lb empty", "US-MN", Brakes, func() Facts {
			f := light(2_900)
			f.TowingEmpty = at(unit.LB(2_899))
			return f
		}, MayNotCover, NotMet},
		// Alta. Reg. 122/2009: over 910 kg AND at least half the empty weight.
		{"AB 1,000 kg, not half", "CA-AB", Brakes, func() Facts {
			f := light(2_205)
			f.TowedGross = at(unit.KG(1_000))
			return f
		}, NotRequired, None},
		{"AB 1,000 kg, exactly half", "CA-AB", Brakes, func() Facts {
			f := light(2_205)
			f.TowedGross, f.TowingEmpty = at(unit.KG(1_000)), at(unit.KG(2_000))
			return f
		}, MayNotCover, NotMet},
		{"AB 910 kg, more than half", "CA-AB", Brakes, func() Facts {
			f := light(2_000)
			f.TowedGross, f.TowingEmpty = at(unit.KG(910)), at(unit.KG(1_000))
			return f
		}, NotRequired, None},
		// 15 minutes, as 49 CFR 393.43(d) has it for trailers.
		{"SC holds 14.9 min", "US-SC", Breakaway, func() Facts {
			f := complete()
			f.HoldMinLow, f.HoldMinHigh = at(14.9), at(14.9)
			return f
		}, Required, NotMet},
		{"SC holds 15.0 min", "US-SC", Breakaway, func() Facts {
			f := complete()
			f.HoldMinLow, f.HoldMinHigh = at(15.0), at(15.0)
			return f
		}, Required, IsMet},
		{"SC holds 12 to 20 min", "US-SC", Breakaway, func() Facts {
			f := complete()
			f.HoldMinLow, f.HoldMinHigh = at(12.0), at(20.0)
			return f
		}, Required, NotKnown},
		// Coupling of 15.0 and 15.1 ft, Fla. Stat. § 316.530(1).
		{"FL 15.0 ft", "US-FL", CouplingLength, func() Facts {
			f := complete()
			f.CouplingLength = at(unit.FT(15))
			return f
		}, Required, IsMet},
		{"FL 15.1 ft", "US-FL", CouplingLength, func() Facts {
			f := complete()
			f.CouplingLength = at(unit.FT(15.1))
			return f
		}, Required, NotMet},
		// R.I. Gen. Laws § 31-23-5 and O.C.G.A. § 40-8-53: 40 ft where not every
		// wheel is braked, 30 ft where each is.
		{"RI unbraked 40 ft", "US-RI", StoppingDistance, func() Facts { return stops(40, false) }, Required, IsMet},
		{"RI unbraked 41 ft", "US-RI", StoppingDistance, func() Facts { return stops(41, false) }, Required, NotMet},
		{"RI braked 38 ft", "US-RI", StoppingDistance, func() Facts { return stops(38, true) }, Required, NotMet},
		{"GA unbraked 40 ft", "US-GA", StoppingDistance, func() Facts { return stops(40, false) }, Required, IsMet},
		{"GA unbraked 41 ft", "US-GA", StoppingDistance, func() Facts { return stops(41, false) }, Required, NotMet},
		// Va. Code § 46.2-1067: every combination 40 ft.
		{"VA braked 38 ft", "US-VA", StoppingDistance, func() Facts { return stops(38, true) }, Required, IsMet},
		// C.R.S. § 42-4-207(2): clearance lamps on vehicles over 80 in.
		{"CO 80 in", "US-CO", ClearanceLamps, func() Facts { return wide(80) }, NotRequired, None},
		{"CO 80.1 in", "US-CO", ClearanceLamps, func() Facts { return wide(80.1) }, Required, NotMet},
		// 15 NYCRR 43.2: from 80 in.
		{"NY 80 in", "US-NY", ClearanceLamps, func() Facts { return wide(80) }, Required, NotMet},
		// Cal. Veh. Code § 22406(b).
		{"CA 55 mph", "US-CA", Speed, func() Facts { return drives(55) }, Required, IsMet},
		{"CA 56 mph", "US-CA", Speed, func() Facts { return drives(56) }, Required, NotMet},
		// 75 Pa.C.S. § 4904(a): one.
		{"PA two towed", "US-PA", TowedUnits, func() Facts {
			f := complete()
			f.TowedUnits = at(2)
			return f
		}, Required, NotMet},
		// 75 Pa.C.S. § 4905(d): crossed chains on a ball hitch, which no fact tells.
		{"PA chains not crossed", "US-PA", SafetyChain, func() Facts {
			f := complete()
			f.CablesCrossed = at(false)
			return f
		}, Depends, NotMet},
		// Neb. Rev. Stat. § 60-6,246(2) names cabin trailers, which no car is.
		{"NE camp trailers only", "US-NE", Brakes, func() Facts { return light(4_000) }, Silent, None},
		// Two of the sources that conflict are no law.
		{"AZ chains in conflict", "US-AZ", SafetyChain, func() Facts { return light(4_000) }, NotRead, None},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := one(t, tt.code, tt.subject, tt.facts())
			if got.Requirement != tt.want || got.Met != tt.met {
				t.Errorf("%s %s, want %s %s\n%+v", got.Requirement, got.Met, tt.want, tt.met, got.Rows)
			}
		})
	}
}

func stops(ft float64, braked bool) Facts {
	f := complete()
	f.StopFrom20MPH, f.HasBrakes = at(unit.FT(ft)), at(braked)
	return f
}

func wide(in float64) Facts {
	f := complete()
	f.TowedWidth = at(unit.IN(in))
	return f
}

func drives(mph float64) Facts {
	f := complete()
	f.PlannedSpeed = at(unit.MPH(mph))
	return f
}

// 1,360 kg is 2,998.29 lb (1 lb = 0.45359237 kg exactly), so 2,999 lb is over
// it and 2,998 lb is not: check values 6c and 6d. The row is only a lead (low).
func TestThresholdInItsOwnUnit(t *testing.T) {
	for lb, want := range map[float64]Requirement{2_999: MayNotCover, 2_998: NotRequired} {
		got := reading(t, one(t, "CA-ON", Brakes, light(lb)), "CA-ON.brakes.1")
		if got.Reading != want {
			t.Errorf("%g lb: %s, want %s", lb, got.Reading, want)
		}
	}
}

// B.C. Reg. 26/58 s. 5.02(7): brakes from 2,000 kg laden, or from 40 percent of
// the motor home's rating. 2,000 kg is 4,409.25 lb; 40 percent of 11,030 lb is
// 4,412 lb and of 10,000 lb 4,000 lb.
func TestBritishColumbia(t *testing.T) {
	tests := []struct {
		car, rating float64
		want        Requirement
	}{
		{4_405, 11_030, NotRequired}, {4_409, 11_030, NotRequired}, {4_410, 11_030, Required}, {4_412, 11_030, Required},
		{3_999, 10_000, NotRequired}, {4_000, 10_000, Required}, {4_001, 10_000, Required},
	}
	for _, tt := range tests {
		f := light(tt.car)
		f.TowingGVWR = at(unit.LB(tt.rating))
		got := one(t, "CA-BC", Brakes, f)
		if got.Requirement != tt.want {
			t.Errorf("%g lb behind %g lb: %s, want %s", tt.car, tt.rating, got.Requirement, tt.want)
		}
	}
	// Without the rating the share is not known, and nothing is guessed.
	f := light(4_000)
	f.TowingGVWR = nil
	e := MustEvaluate(t, EvaluateInput{Route: []string{"CA-BC"}, Facts: f})
	if got := MustItem(t, e, Brakes); got.Requirement != Depends || got.Verdict != finding.FindOut {
		t.Errorf("without a rating: %s %s", got.Requirement, got.Verdict)
	}
	if got := MustFinding(t, e, "law.brakes.depends"); !slices.Contains(got.Fields, "/towing/gvwr") || !got.Decides {
		t.Errorf("fields %v, decides %v", got.Fields, got.Decides)
	}
}

// MustFinding returns the finding of that id.
func MustFinding(tb testing.TB, e Evaluation, id string) finding.Finding {
	tb.Helper()
	for _, f := range e.Findings {
		if f.ID == id {
			return f
		}
	}
	ids := []string{}
	for _, f := range e.Findings {
		ids = append(ids, f.ID)
	}
	tb.Fatalf("no finding %s among %v", id, ids)
	return finding.Finding{}
}

// S.C. Code § 56-5-4850(c): a car of 3,000 lb or less is excused only while its
// share is not over 40 percent and the pair meets § 56-5-4860.
func TestThreeLimbs(t *testing.T) {
	tests := []struct {
		name          string
		towing        float64
		stop          *unit.Length
		want          Requirement
		alsoFieldStop bool
	}{
		{"exactly 40 percent, stops", 7_000, at(unit.FT(38)), NotRequired, false},
		{"a pound lighter motorhome, over 40 percent", 6_999, at(unit.FT(38)), Required, false},
		{"does not stop", 7_000, at(unit.FT(51)), Required, false},
		{"stop not measured", 7_000, nil, Depends, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := light(2_800)
			f.TowingGross, f.StopFrom20MPH = at(unit.LB(tt.towing)), tt.stop
			e := MustEvaluate(t, EvaluateInput{Route: []string{"US-SC"}, Facts: f})
			if got := MustItem(t, e, Brakes); got.Requirement != tt.want {
				t.Errorf("%s, want %s", got.Requirement, tt.want)
			}
			if tt.alsoFieldStop && !slices.Contains(MustFinding(t, e, "law.brakes.depends").Fields, "/stopping/pair_from_20_mph") {
				t.Error("does not ask for the stop")
			}
		})
	}
}

// Cal. Veh. Code § 26458(c)(3): a pair that meets the stopping rule is excused;
// one that is not measured is not.
func TestCaliforniaRelief(t *testing.T) {
	f := light(4_000)
	f.StopFrom20MPH = at(unit.FT(40))
	if got := one(t, "US-CA", Brakes, f); got.Requirement != NotRequired {
		t.Errorf("stops in 40 ft: %s", got.Requirement)
	}
	f.StopFrom20MPH = nil
	if got := one(t, "US-CA", Brakes, f); got.Requirement != MayNotCover {
		t.Errorf("not measured: %s", got.Requirement)
	}
	// A rig that has brakes is told that it meets the rule, not that none binds it.
	if got := one(t, "US-CA", Brakes, complete()); got.Met != IsMet {
		t.Errorf("braked: %s", got.Met)
	}
	// § 24605(c): the car's own stop lamps may be missing where the motorhome's
	// are plainly seen behind it, which only a look can tell.
	f.StopLamps = at(0)
	e := MustEvaluate(t, EvaluateInput{Route: []string{"US-CA"}, Facts: f})
	if got := MustFinding(t, e, "law.stop_lamps.relief"); got.Verdict != finding.FindOut || !got.Decides {
		t.Errorf("%s decides %v", got.Verdict, got.Decides)
	}
}

// A driveaway-towaway clause never lifts a duty from a holiday tow: RCW
// 46.04.165 speaks of the vehicle as the commodity moved.
func TestDriveawayNeverLifts(t *testing.T) {
	for _, code := range []string{"US-FL", "US-MT", "US-NM", "US-SC", "US-SD", "US-WA"} {
		got := one(t, code, Brakes, light(4_000))
		if got.Requirement == NotRequired {
			t.Errorf("%s: lifted", code)
		}
		if !slices.ContainsFunc(got.Rows, func(r RowRef) bool { return r.ID == code+".towed_brake_exempt.1" }) {
			t.Errorf("%s: the clause is not shown", code)
		}
	}
}

// Where the weight is not entered, an empty weight over the line settles it and
// a rating does not: a car may be overloaded.
func TestUnknownWeight(t *testing.T) {
	f := light(2_500)
	f.TowedGross, f.TowedUnladen = nil, nil
	if got := one(t, "US-VA", Brakes, f); got.Requirement != Depends || got.Verdict != finding.FindOut {
		t.Errorf("rating 2,500 lb only: %s %s", got.Requirement, got.Verdict)
	}
	f.TowedUnladen = at(unit.LB(3_200))
	if got := one(t, "US-VA", Brakes, f); got.Requirement != Required || got.Verdict != finding.NoGo {
		t.Errorf("3,200 lb empty: %s %s", got.Requirement, got.Verdict)
	}
	f = Facts{HasBrakes: at(true)}
	if got := one(t, "US-VA", Brakes, f); got.Verdict != finding.OK {
		t.Errorf("braked at any weight: %s", got.Verdict)
	}
}

func TestUnreadLaw(t *testing.T) {
	// Nothing of Nunavut was read. A rig that meets the strictest rule known
	// anywhere may go, minding it; one that does not has to find out.
	e := MustEvaluate(t, EvaluateInput{Route: []string{"CA-NU"}, Facts: complete()})
	f := MustFinding(t, e, "law.unread")
	if e.Verdict != finding.OK || f.Verdict != finding.Mind || f.Decides || len(e.Findings) != 1 {
		t.Errorf("verdict %s, finding %s decides %v, %d findings", e.Verdict, f.Verdict, f.Decides, len(e.Findings))
	}
	for _, i := range e.Legs[0].Items {
		if i.Requirement != NotRead || len(i.Rows) != 0 {
			t.Errorf("%s: %s", i.Subject, i.Requirement)
		}
	}
	bad := complete()
	bad.Breakaway = at(false)
	e = MustEvaluate(t, EvaluateInput{Route: []string{"CA-NU", "CA-YT"}, Facts: bad})
	f = MustFinding(t, e, "law.unread")
	if e.Verdict != finding.FindOut || f.Verdict != finding.FindOut || !f.Decides || len(e.Findings) != 1 {
		t.Errorf("verdict %s, finding %s decides %v", e.Verdict, f.Verdict, f.Decides)
	}
	if len(e.Unread) != 28 { // 14 subjects that must be read, twice
		t.Errorf("%d unread", len(e.Unread))
	}
}

// A weak row never decides: Delaware's 4,000 lb is from a page that another
// contradicts.
func TestWeakRowsNeverDecide(t *testing.T) {
	got := one(t, "US-DE", Brakes, light(4_500))
	if got.Requirement != NotRead {
		t.Errorf("%s", got.Requirement)
	}
	// Beside a row that counts and is met, it is a lead that does not decide:
	// 18 DCMR § 721.1 over 3,000 lb, and a share from memory.
	f := light(2_900)
	f.TowingGross = at(unit.LB(7_000))
	w := MustFinding(t, MustEvaluate(t, EvaluateInput{Route: []string{"US-DC"}, Facts: f}), "law.brakes_share.weak")
	if w.Verdict != finding.FindOut || w.Decides {
		t.Errorf("%s decides %v", w.Verdict, w.Decides)
	}
}

func TestSilentIsNotPermission(t *testing.T) {
	// KRS 189.090 was read in full and names no brakes on what is towed.
	e := MustEvaluate(t, EvaluateInput{Route: []string{"US-KY"}, Facts: light(4_000)})
	i := MustItem(t, e, Brakes)
	if i.Requirement != Silent || i.Met != None || len(i.Rows) != 1 || i.Rows[0].Citation == "" {
		t.Errorf("%+v", i)
	}
	if f := MustFinding(t, e, "law.silent"); f.Verdict != finding.Mind || f.Decides {
		t.Errorf("%s decides %v", f.Verdict, f.Decides)
	}
}

func TestStoppingNotMeasured(t *testing.T) {
	f := complete()
	f.StopFrom20MPH = nil
	e := MustEvaluate(t, EvaluateInput{Route: []string{"US-CO"}, Facts: f})
	if got := MustFinding(t, e, "law.stopping_distance.not_known"); got.Verdict != finding.FindOut || got.Decides {
		t.Errorf("braked: %s decides %v", got.Verdict, got.Decides)
	}
	f.HasBrakes = at(false)
	e = MustEvaluate(t, EvaluateInput{Route: []string{"US-CO"}, Facts: f})
	if got := MustFinding(t, e, "law.stopping_distance.not_known"); !got.Decides {
		t.Error("unbraked: does not decide")
	}
}

func TestSpeedIsAnInstruction(t *testing.T) {
	f := complete()
	f.PlannedSpeed = nil
	e := MustEvaluate(t, EvaluateInput{Route: []string{"US-CA", "US-OR", "US-WA"}, Facts: f})
	got := MustFinding(t, e, "law.speed.not_known")
	if got.Verdict != finding.Mind || got.Decides {
		t.Errorf("%s decides %v", got.Verdict, got.Decides)
	}
	f.PlannedSpeed = at(unit.MPH(58))
	e = MustEvaluate(t, EvaluateInput{Route: []string{"US-CA", "US-OR", "US-WA"}, Facts: f})
	if got := MustFinding(t, e, "law.speed.not_met"); got.Verdict != finding.NoGo || !got.Decides || len(got.Basis) != 1 {
		t.Errorf("%+v", got)
	}
}

func TestStrictestAndChanges(t *testing.T) {
	// Combination length: Va. 65 ft (§ 46.2-1112), Md. 55 ft (§ 24-104.1), Pa. not read.
	e := MustEvaluate(t, EvaluateInput{Route: []string{"US-VA", "US-MD", "US-PA"}, Facts: complete()})
	i := slices.IndexFunc(e.Strictest, func(s Strictest) bool { return s.Subject == CombinationLength })
	if i < 0 || e.Strictest[i].Jurisdiction != "US-MD" || *e.Strictest[i].Value != 55 || e.Strictest[i].Row.Citation == "" {
		t.Fatalf("%+v", e.Strictest)
	}
	says := func(l Leg, id string) bool {
		return slices.ContainsFunc(l.Changes, func(x finding.Text) bool {
			return x.ID == id && (x.Params.Get("subject").Form().Word == "law.subject.combination_length" || strings.Contains(x.Params.Get("subjects").Form().Text, "the length of the pair"))
		})
	}
	if len(e.Legs[0].Changes) != 0 || !says(e.Legs[1], "law.change.differs") || !says(e.Legs[2], "law.change.not_read") {
		t.Errorf("%+v", e.Legs[1].Changes)
	}
}

func TestRowsInForce(t *testing.T) {
	r := Row{From: "2026-07-01", Until: "2027-01-01"}
	for on, want := range map[unit.Date]bool{"2026-06-30": false, "2026-07-01": true, "2026-12-31": true, "2027-01-01": false, "": false} {
		if r.inForce(on) != want {
			t.Errorf("%q: %v", on, !want)
		}
	}
	if open := (&Row{}); !open.inForce("") || !open.inForce("1950-01-01") {
		t.Error("a row without days counts always")
	}
}

func TestValidate(t *testing.T) {
	tests := []struct {
		name, pointer string
		in            EvaluateInput
	}{
		{"ErrEmptyRoute", "/route", EvaluateInput{}},
		{"ErrUnknownJurisdiction", "/route/2", EvaluateInput{Route: []string{"US-VA", "CA-BC", "us-va"}}},
		{"ErrTooLong", "/route", EvaluateInput{Route: make([]string, 101)}},
		{"ErrDate", "/on", EvaluateInput{Route: []string{"US-VA"}, On: "2026-02-30"}},
		{"ErrWeight", "/facts/towed_gross", EvaluateInput{Route: []string{"US-VA"}, Facts: Facts{TowedGross: at(unit.LB(-1))}}},
		{"ErrBand", "/facts/hold_min_high", EvaluateInput{Route: []string{"US-VA"}, Facts: Facts{HoldMinLow: at(2.0), HoldMinHigh: at(1.0)}}},
		{"ErrCount", "/facts/cables", EvaluateInput{Route: []string{"US-VA"}, Facts: Facts{Cables: at(-1)}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.in.Validate()
			if err == nil || len(err.Problems) != 1 || err.Problems[0].Pointer != tt.pointer {
				t.Errorf("%v, want one problem at %s", err, tt.pointer)
			}
		})
	}
	if err := (EvaluateInput{Route: []string{"US-VA", "US-VA"}}).Validate(); err != nil {
		t.Errorf("nothing but a route: %v", err)
	}
}
