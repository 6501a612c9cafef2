package rules

import (
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/unit"
)

// One unbraked car at three weights, everywhere that was looked at closely. Each
// line was written from what the statute says, as it was read, not from what the
// program answers. The car weighs the same loaded, empty and by its rating; the
// motorhome weighs 24,000 lb (20,000 lb empty, rated 26,000 lb), so no share is
// reached but where the line says so; the pair stops from 20 mph in 25 ft; it is
// planned to drive 50 mph; safety chains are fitted; the car is of 2012.
//
// A law on trailers reaches a towed car only where the code's own definition
// covers a vehicle with motive power; otherwise it "may not cover" it, which is
// not the same as "not required".
func TestBrakesEverywhereAtThreeWeights(t *testing.T) {
	const (
		no     = NotRequired
		must   = Required
		may    = MayNotCover
		silent = Silent
		unread = NotRead
	)
	// The weights are 2,500 lb (1,134 kg), exactly 3,000 lb (1,361 kg) and 5,000 lb (2,268 kg).
	tests := []struct {
		code                   string
		at2500, at3000, at5000 Requirement
		means                  string
		doubt                  string
	}{
		{"US-VA", no, must, must, "Va. Code 46.2-1070: any separate vehicle joined by drawbar that weighs 3,000 lb or more", ""},
		{"US-NC", no, no, must, "N.C.G.S. 20-124(f): any separate vehicle on a drawbar, of two tons gross", "says of two tons; read as from 4,000 lb"},
		{"US-AK", no, no, no, "13 AAC 04.205(d): a towed vehicle of more than 5,000 lb; exactly 5,000 lb is not more", "the weight is from a digest, the quoted text breaks off before it"},
		{"US-AZ", no, must, must, "A.R.S. 28-952: trailers of 3,000 lb gross or more; a trailer may have motive power (28-101)", "from a digest of the section"},
		{"US-TN", no, must, must, "Tenn. Code 55-9-204: trailers of 3,000 lb or more; a trailer may have motive power (55-8-101)", ""},
		{"US-SC", no, no, must, "S.C. Code 56-5-4850(c): over 3,000 lb, or over 40 % of the motorhome, or the pair does not stop as 56-5-4860 asks; a trailer may have motive power", ""},
		{"US-MT", may, may, must, "Mont. Code 61-9-304: brakes are every vehicle's duty, only trailers to 3,000 lb are excused; whether a car is one is argued", "quoted on a forum page"},
		{"US-WA", may, may, may, "RCW 46.37.340: every vehicle's duty, light trailers excused; a trailer has no motive power, so the car may owe brakes at any weight", ""},
		{"US-SD", may, may, may, "SDCL 32-18-1 to 32-18-3: as in Washington", ""},
		{"US-MD", may, may, may, "Transp. 22-301: every vehicle's duty, trailers to 3,000 lb registered excused on conditions", "later exceptions were cut off in the copy read"},
		{"US-FL", may, may, may, "Fla. Stat. 316.261: every vehicle needs brakes on all wheels; does not say that they are worked from the motorhome", ""},
		{"US-PA", may, may, may, "75 Pa.C.S. 4502: every vehicle and combination able to stop and hold; a rule of performance", ""},
		{"US-OR", may, may, may, "ORS 815.125: brakes on one or more vehicles of the combination, enough to stop it; a rule of performance", ""},
		{"US-AL", may, may, may, "Ala. Admin. Code 760-X-1-.09 and Ala. Code 32-5-212: brakes on every vehicle; the list of exceptions was not read", "summaries say over 3,000 lb"},
		{"US-CO", no, may, may, "C.R.S. 42-4-223: trailers of 3,000 lb gross or more; without motive power", ""},
		{"US-IL", no, no, may, "625 ILCS 5/12-301: trailers over 3,000 lb; without motive power in operation", "a car with its engine off arguably fits"},
		{"US-GA", no, may, may, "O.C.G.A. 40-8-50: trailers of 3,000 lb gross or more; definition not read", ""},
		{"US-IA", no, may, may, "Iowa Code 321.430(3): trailers of 3,000 lb or more; without motive power", ""},
		{"US-CT", no, may, may, "C.G.S. 14-81: trailers rated 3,000 lb or more; without motive power", ""},
		{"US-DC", no, no, may, "18 DCMR 721: trailers over 3,000 lb gross; definition of the equipment rules not read", ""},
		{"US-VT", no, no, may, "23 V.S.A. 1307: trailers over 3,000 lb, or over 40 % of the motorhome; without motive power", ""},
		{"US-NH", no, may, may, "RSA 266:30: trailers but those under 3,000 lb gross and within 40 % of the axle ratings; without motive power", ""},
		{"US-NM", no, may, may, "N.M.S.A. 66-3-840: trailers unless under 3,000 lb gross; without motive power", ""},
		{"US-RI", no, no, may, "R.I.G.L. 31-23-4: trailers of 4,000 lb gross or more; without motive power", ""},
		{"US-MN", no, may, may, "Minn. Stat. 169.67: trailers of 3,000 lb or more, or heavier than the empty motorhome", "the clause that may excuse motor vehicles breaks off in the copies read"},
		{"US-WI", no, may, may, "Wis. Admin. Trans 305: trailers of 3,000 lb actual gross or more", "read through the rule, the section not"},
		{"US-AR", no, may, may, "Ark. Code 27-37-501: trailers of 3,000 lb gross or more", "from a digest"},
		{"US-LA", no, may, may, "La. R.S. 32:341: trailers of 3,000 lb or more", "2026 Act 778 is said to narrow it"},
		{"US-OH", may, may, may, "O.R.C. 4513.20 as copied by cities: trailers of 2,000 lb EMPTY, made from 1942; without motive power or silent", ""},
		{"US-ID", may, may, may, "Idaho Code 49-933: trailers of 1,500 lb UNLADEN or more; without motive power", ""},
		{"US-NV", may, may, may, "NRS 484D.250: trailers of 1,500 lb gross or more made after 1 July 1975", ""},
		{"US-MS", no, no, no, "Miss. Code 63-7-51: trailers that CARRY more than one ton; this car carries nothing", ""},
		{"US-TX", no, no, may, "Tex. Transp. Code 547.401: trailers over 4,500 lb gross, to 15,000 lb only above 30 mph", ""},
		{"US-CA", no, no, no, "Cal. Veh. Code 26302 and 26458(c)(3): trailers from 3,000 lb; a towed motor vehicle is excused where the pair meets the stopping rule, and 25 ft meets either reading of it", "the stopping figures are from second hand; the smaller is taken"},
		{"US-KS", no, no, no, "K.A.R. 36-28-1: brakes on the second towed vehicle only; one is towed", ""},
		{"US-ND", no, no, no, "N.D.C.C. 39-21-32: a trailer above 25 mph has safety chains or brakes; the chains are there", ""},
		{"US-NE", silent, silent, silent, "Neb. Rev. Stat. 60-6,246: cabin and boat trailers only", ""},
		{"US-KY", silent, silent, silent, "KRS 189.090: read in full, no duty by weight; the pair has a stopping distance", ""},
		{"US-MO", silent, silent, silent, "Mo. Rev. Stat. 307.170: read, no duty by weight", ""},
		{"US-WY", silent, silent, silent, "Wyo. Stat. 31-5-950: read, no duty by weight", ""},
		{"CA-BC", no, no, must, "B.C. Reg. 26/58 s. 5.02(7): a car on a tow bar behind a motor home from 2,000 kg, or from 40 % of the motor home's rating", "quoted on a forum page"},
		{"CA-AB", no, no, no, "Alta. Reg. 122/2009: trailers over 910 kg AND at least half the empty motorhome; no share is reached", ""},
		{"CA-PE", no, no, may, "provincial page: trailers over 1,500 kg", "a page on passenger-car trailers"},
		{"CA-QC", no, may, may, "road-control notice: trailers over 1,300 kg, or more than half the towing vehicle", ""},
		{"CA-NU", unread, unread, unread, "nothing was found", ""},
		{"US-IN", unread, unread, unread, "only second hand: 3,000 lb", "section not found"},
		{"US-NJ", unread, unread, unread, "only from memory: over 3,000 lb", "section not found"},
		{"US-NY", unread, unread, unread, "only from a table: 1,000 lb unladen, or 3,000 lb", "subdivision not reached"},
	}
	if len(tests) < 25 {
		t.Fatalf("%d jurisdictions, want 25 and more", len(tests))
	}
	for _, tt := range tests {
		for lb, want := range map[float64]Requirement{2_500: tt.at2500, 3_000: tt.at3000, 5_000: tt.at5000} {
			f := light(lb)
			f.StopFrom20MPH = at(unit.FT(25))
			if got := one(t, tt.code, Brakes, f); got.Requirement != want {
				t.Errorf("%s at %g lb: %s, want %s\n%s %s", tt.code, lb, got.Requirement, want, tt.means, tt.doubt)
			}
		}
	}
}

// A towed vehicle "that has brakes or weighs over 3,000 lb" (75 Pa.C.S.
// § 4502(c)) needs a breakaway brake: a lighter one once it is braked, a heavier
// one in any case. What the text leaves open, whether a car's own brakes count
// when nothing works them, stays open.
func TestHasBrakesOrOver3000(t *testing.T) {
	for _, tt := range []struct {
		lb     float64
		braked bool
		want   Requirement
	}{{2_999, false, Depends}, {3_000, false, Depends}, {3_001, false, Required}, {2_999, true, Required}, {3_001, true, Required}} {
		f := light(tt.lb)
		f.HasBrakes = at(tt.braked)
		if got := one(t, "US-PA", Breakaway, f); got.Requirement != tt.want {
			t.Errorf("%g lb, braked %t: %s, want %s", tt.lb, tt.braked, got.Requirement, tt.want)
		}
	}
}

// Adding a brake unit adds the duty of a breakaway brake where the law says so,
// and the rig without one then breaks it: 75 Pa.C.S. § 4502(c).
func TestEquipmentThatAddsADuty(t *testing.T) {
	f := light(2_500)
	if got := one(t, "US-PA", Breakaway, f); got.Requirement == Required {
		t.Errorf("before: %s", got.Requirement)
	}
	// It is said before the brake is bought.
	e := MustEvaluate(t, EvaluateInput{Route: []string{"US-PA", "US-VT"}, Facts: f})
	if got := MustFinding(t, e, "law.added"); got.Decides || !strings.Contains(got.Says.Sentence, "Pennsylvania: a breakaway brake") {
		t.Errorf("%+v", got)
	}
	f.HasBrakes = at(true)
	if got := one(t, "US-PA", Breakaway, f); got.Requirement != Required || got.Met != NotMet {
		t.Errorf("after: %s %s", got.Requirement, got.Met)
	}
	if e := MustEvaluate(t, EvaluateInput{Route: []string{"US-PA"}, Facts: f}); slices.ContainsFunc(e.Findings, func(f finding.Finding) bool { return f.ID == "law.added" }) {
		t.Error("with the brake there, nothing is added")
	}
}

// Iowa Code § 321.431(1): 45 ft over 5,000 lb together, 30 ft under; a pair of
// exactly 5,000 lb is named by neither line.
func TestPairWeight(t *testing.T) {
	for lb, want := range map[float64]Requirement{4_999: Required, 5_000: NotRequired, 5_001: Required} {
		f := light(2_000)
		f.TowingGross, f.StopFrom20MPH = at(unit.LB(lb-2_000)), at(unit.FT(40))
		got := one(t, "US-IA", StoppingDistance, f)
		if got.Requirement != want {
			t.Errorf("%g lb: %s, want %s", lb, got.Requirement, want)
		}
		if lb > 5_000 && got.Met != IsMet || lb == 4_999 && got.Met != NotMet {
			t.Errorf("%g lb stops in 40 ft: %s", lb, got.Met)
		}
	}
}

// Ala. Code § 32-5-51: 15 ft are the most when a DISABLED vehicle is towed. A car towed
// for a trip is not.
func TestDisabledOnly(t *testing.T) {
	f := complete()
	f.CouplingLength = at(unit.FT(20))
	if got := one(t, "US-AL", CouplingLength, f); got.Requirement != NotRequired {
		t.Errorf("20 ft in Alabama: %s", got.Requirement)
	}
	// Va. Code § 46.2-1070 excuses a vehicle towed in an emergency, not this one.
	if got := one(t, "US-VA", Brakes, light(4_000)); got.Requirement != Required || got.Met != NotMet {
		t.Errorf("unbraked in Virginia: %s %s", got.Requirement, got.Met)
	}
}
