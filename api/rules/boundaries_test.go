package rules

import (
	"slices"
	"strings"
	"testing"

	"pintail/api/unit"
)

// Conditions that a section puts beside its weight, at their edges.
func TestBoundariesOfConditions(t *testing.T) {
	car := func(change func(*Facts)) Facts {
		f := light(3_001)
		change(&f)
		return f
	}
	built := func(year int, lb float64) Facts {
		f := light(lb)
		f.TowedYear = at(year)
		return f
	}
	braked := func(lb float64) Facts {
		f := light(lb)
		f.HasBrakes = at(true)
		return f
	}
	tests := []struct {
		name    string
		code    string
		subject Subject
		facts   Facts
		want    Requirement
	}{
		// S.C. Code § 56-5-4850(c): every vehicle made after 7 June 1949.
		{"SC of 1948", "US-SC", Brakes, built(1948, 4_000), NotRequired},
		{"SC of 1951", "US-SC", Brakes, built(1951, 4_000), Required},
		{"SC of the model year 1949, built on either side of the day", "US-SC", Brakes, built(1949, 4_000), Depends},
		// S.C. Code § 56-5-4850(d): over 3,000 lb, and any with air or vacuum brakes.
		{"SC 3,000 lb without brakes", "US-SC", Breakaway, light(3_000), NotRequired},
		{"SC 3,000 lb with brakes worked by who knows what", "US-SC", Breakaway, braked(3_000), Depends},
		{"SC 3,001 lb with brakes", "US-SC", Breakaway, braked(3_001), Required},
		// RCW 46.37.340(4): over 3,000 lb and made after 1 January 1964.
		{"WA of 1965", "US-WA", Breakaway, built(1966, 3_001), MayNotCover},
		{"WA of 1963", "US-WA", Breakaway, built(1963, 3_001), NotRequired},
		// 19 VAC 30-70-100: 3,000 lb or more, built after 1 January 1964, rated under 10,000 lb.
		{"VA rated 9,999 lb", "US-VA", Breakaway, car(func(f *Facts) { f.TowedGVWR = at(unit.LB(9_999)) }), MayNotCover},
		{"VA rated 10,000 lb", "US-VA", Breakaway, car(func(f *Facts) { f.TowedGVWR = at(unit.LB(10_000)) }), NotRequired},
		// O.R.C. § 4513.20(A)(4): 2,000 lb or more EMPTY, however heavy its load.
		{"OH 1,999 lb empty, 2,600 lb loaded", "US-OH", Breakaway, car(func(f *Facts) { f.TowedUnladen, f.TowedGross = at(unit.LB(1_999)), at(unit.LB(2_600)) }), NotRequired},
		{"OH 2,000 lb empty", "US-OH", Breakaway, light(2_000), MayNotCover},
		// Miss. Code § 63-7-51(3): a load of MORE than one ton.
		{"MS carries 2,000 lb", "US-MS", Brakes, car(func(f *Facts) { f.TowedUnladen, f.TowedGross = at(unit.LB(3_000)), at(unit.LB(5_000)) }), NotRequired},
		{"MS carries 2,001 lb", "US-MS", Brakes, car(func(f *Facts) { f.TowedUnladen, f.TowedGross = at(unit.LB(3_000)), at(unit.LB(5_001)) }), MayNotCover},
		// Conn. Gen. Stat. § 14-81(a): RATED 3,000 lb or more, whatever it weighs.
		{"CT rated 2,999 lb, 3,100 lb on the scale", "US-CT", Brakes, car(func(f *Facts) { f.TowedGVWR, f.TowedGross = at(unit.LB(2_999)), at(unit.LB(3_100)) }), NotRequired},
		{"CT rated 3,000 lb, 2,500 lb on the scale", "US-CT", Brakes, car(func(f *Facts) { f.TowedGVWR, f.TowedGross = at(unit.LB(3_000)), at(unit.LB(2_500)) }), MayNotCover},
		// N.H. RSA 266:30 II(a): under 3,000 lb, over 40 percent of the AXLE RATINGS.
		{"NH 2,800 lb, exactly 40 percent", "US-NH", Brakes, ofAxles(2_800, 7_000), NotRequired},
		{"NH 2,801 lb, over 40 percent", "US-NH", Brakes, ofAxles(2_801, 7_000), MayNotCover},
		// Tex. Transp. Code § 547.401: over 4,500 lb, left off to 15,000 lb at 30 mph or less.
		{"TX 4,501 lb at 30 mph", "US-TX", Brakes, planned(4_501, 30), NotRequired},
		{"TX 4,501 lb at 31 mph", "US-TX", Brakes, planned(4_501, 31), MayNotCover},
		{"TX 4,500 lb at 31 mph", "US-TX", Brakes, planned(4_500, 31), NotRequired},
		// N.D. Cent. Code § 39-21-32: above 25 mph, chains or brakes.
		{"ND no chains at 25 mph", "US-ND", Brakes, unchained(25), NotRequired},
		{"ND no chains at 26 mph", "US-ND", Brakes, unchained(26), MayNotCover},
		// Mont. Code § 61-9-208(6): a ceiling, 3,000 lb or less.
		{"MT 3,000 lb", "US-MT", SafetyChain, light(3_000), MayNotCover},
		{"MT 3,001 lb", "US-MT", SafetyChain, light(3_001), NotRequired},
		// C-24.2, s. 245: let off with a breakaway brake.
		{"QC with a breakaway brake", "CA-QC", SafetyChain, complete(), NotRequired},
		// K.A.R. 36-28-1: brakes on the second of two towed cars.
		{"KS two towed", "US-KS", Brakes, car(func(f *Facts) { f.TowedUnits = at(2) }), Required},
		// A.R.S. § 28-1095: 65 ft for a recreational vehicle with TWO units in tow.
		{"AZ one towed, 66 ft", "US-AZ", CombinationLength, car(func(f *Facts) { f.CombinationLength = at(unit.FT(66)) }), NotRequired},
		{"AZ two towed, 66 ft", "US-AZ", CombinationLength, car(func(f *Facts) { f.CombinationLength, f.TowedUnits = at(unit.FT(66)), at(2) }), Required},
		// K.S.A. 8-1708(b): cars from before 1953 need no turn signals.
		{"KS of 1951", "US-KS", TurnSignals, built(1951, 2_500), NotRequired},
		{"KS of 1954", "US-KS", TurnSignals, built(1954, 2_500), Required},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := one(t, tt.code, tt.subject, tt.facts); got.Requirement != tt.want {
				t.Errorf("%s, want %s\n%+v", got.Requirement, tt.want, got.Rows)
			}
		})
	}
}

// SDCL 32-18-3: excused on a share and a stop are trailers to 3,000 lb, and to
// 7,000 lb those made before July 1974. The distance of the heavier pairs was
// lost in the copy read, so their stop stays open; the light ones stop.
func TestSouthDakotaOlderTrailers(t *testing.T) {
	row := builtIn().byID["US-SD.brakes.1"]
	for _, tt := range []struct {
		year int
		lb   float64
		want answer
	}{{1976, 3_001, yes}, {1976, 3_000, no}, {1973, 3_001, unknown}, {1973, 7_000, unknown}, {1973, 7_001, yes}, {1974, 7_000, unknown}} {
		f := light(tt.lb)
		f.TowedYear = at(tt.year)
		l := leg{place: builtIn().place("US-SD"), facts: &f, room: make([]judged, builtIn().place("US-SD").judged)}
		if got := l.holds(row.When, new(need)); got != tt.want {
			t.Errorf("%g lb of %d: %d, want %d", tt.lb, tt.year, got, tt.want)
		}
	}
}

// ofAxles is a car behind a motorhome whose axles are rated so much together.
func ofAxles(lb, ratings float64) Facts {
	f := light(lb)
	f.TowingAxleRatings = at(unit.LB(ratings))
	return f
}

func planned(lb, mph float64) Facts {
	f := light(lb)
	f.PlannedSpeed = at(unit.MPH(mph))
	return f
}

func unchained(mph float64) Facts {
	f := planned(3_000, mph)
	f.Cables = at(0)
	return f
}

// N.H. RSA 266:44 speaks of the night: by day its tail lamps are not asked for,
// and a trip whose hours are not known is asked for them.
func TestByNightOnly(t *testing.T) {
	f := complete()
	f.TailLamps = at(1)
	for _, tt := range []struct {
		night *bool
		want  Requirement
	}{{at(true), Required}, {at(false), NotRequired}, {nil, Depends}} {
		e := MustEvaluate(t, EvaluateInput{Route: []string{"US-NH"}, Night: tt.night, Facts: f})
		if got := MustItem(t, e, TailLamps); got.Requirement != tt.want {
			t.Errorf("%v: %s, want %s", tt.night, got.Requirement, tt.want)
		}
	}
}

// The Whittier tunnel takes pairs to 75 ft (17 AAC 38.035(c)(2)); to a shorter
// one no road of Alaska is closed, and nothing is said.
func TestClosedToLongPairs(t *testing.T) {
	for ft, want := range map[float64]bool{75: false, 75.1: true} {
		f := complete()
		f.CombinationLength = at(unit.FT(ft))
		e := MustEvaluate(t, EvaluateInput{Route: []string{"US-AK"}, Facts: f})
		if got := slices.ContainsFunc(e.Legs[0].Items, func(i Item) bool { return i.Subject == RestrictedRoads }); got != want {
			t.Errorf("%g ft: said %t", ft, got)
		}
	}
}

// Where a duty hangs on a circumstance alone the finding names it; where a
// figure is missing as well, that is what there is to find out.
func TestNamesTheCircumstance(t *testing.T) {
	braked := light(2_900)
	braked.HasBrakes, braked.TailLamps = at(true), at(1)
	unweighed := braked
	unweighed.TowedGross, unweighed.TowedUnladen = nil, nil
	for _, tt := range []struct {
		code, id, says string
		facts          Facts
	}{
		{"US-SC", "law.breakaway.depends", "No figure shows whether the brakes are worked by air or by vacuum. If so, the law of South Carolina asks", braked},
		{"US-ID", "law.tail_lamps.depends", "No figure shows whether the car is registered there. If so, the law of Idaho asks", braked},
		{"US-SC", "law.breakaway.depends", "depends on something not entered", unweighed},
	} {
		e := MustEvaluate(t, EvaluateInput{Route: []string{tt.code}, Facts: tt.facts})
		if got := MustFinding(t, e, tt.id).Says.Sentence; !strings.Contains(got, tt.says) {
			t.Errorf("%s: %s", tt.code, got)
		}
	}
}

// RCW 46.37.351: 50 ft, or 40 ft behind a motorhome of two axles with a car of
// 3,000 lb or less. How many axles there are no fact says; so a pair that stops in
// 45 ft may break the rule, and owes brakes only perhaps. A rule about vehicles
// moved as goods, 40 ft as well, is shown and asks nothing of it.
func TestStopMissedOnlyPerhaps(t *testing.T) {
	f := stops(45, false)
	f.TowedGross, f.TowedUnladen = at(unit.LB(2_800)), at(unit.LB(2_700))
	in := EvaluateInput{Route: []string{"US-SC"}, Facts: f}
	stop := MustItem(t, MustEvaluate(t, in), StoppingDistance)
	if stop.Requirement != Depends || reading(t, stop, "US-SC.stopping_distance.3").Reading != Silent {
		t.Errorf("%s\n%+v", stop.Requirement, stop.Rows)
	}
	if got := MustItem(t, MustEvaluate(t, in), Brakes); got.Requirement != Depends {
		t.Errorf("brakes: %s", got.Requirement)
	}
	in.Facts.StopFrom20MPH = at(unit.FT(51))
	if got := MustItem(t, MustEvaluate(t, in), Brakes); got.Requirement != Required {
		t.Errorf("stops in 51 ft: %s", got.Requirement)
	}
	in.Facts.StopFrom20MPH = at(unit.FT(40))
	if got := MustItem(t, MustEvaluate(t, in), Brakes); got.Requirement != NotRequired {
		t.Errorf("stops in 40 ft: %s", got.Requirement)
	}
}

// Ala. Code § 32-5-51 names disabled vehicles; a table says 15 ft of all. The
// section decides, and the table is a lead once the gap is longer.
func TestAlabamaInDoubt(t *testing.T) {
	for ft, lead := range map[float64]bool{15: false, 15.1: true} {
		f := complete()
		f.CouplingLength = at(unit.FT(ft))
		e := MustEvaluate(t, EvaluateInput{Route: []string{"US-AL"}, Facts: f})
		if got := MustItem(t, e, CouplingLength); got.Requirement != NotRequired {
			t.Errorf("%g ft: %s", ft, got.Requirement)
		}
		if got := slices.ContainsFunc(ids(e), func(id string) bool { return id == "law.coupling_length.weak" }); got != lead {
			t.Errorf("%g ft: a lead is given: %t", ft, got)
		}
	}
}

func ids(e Evaluation) (all []string) {
	for _, f := range e.Findings {
		all = append(all, f.ID)
	}
	return all
}
