package rules

import "testing"

// What else hangs on the weight: one unbraked car without a breakaway kit at
// three weights, as in TestBrakesEverywhereAtThreeWeights, each line written from
// what the statute says. Its two cables are crossed, its lamps lit.
func TestEquipmentEverywhereAtThreeWeights(t *testing.T) {
	const (
		no     = NotRequired
		must   = Required
		may    = MayNotCover
		open   = Depends
		silent = Silent
		unread = NotRead
	)
	tests := []struct {
		code                   string
		subject                Subject
		at2500, at3000, at5000 Requirement
		means                  string
	}{
		{"US-SC", Breakaway, no, no, must, "S.C. Code 56-5-4850(d): trailers over 3,000 lb, and any with air or vacuum brakes; a trailer may have motive power"},
		{"US-MT", Breakaway, no, no, may, "Mont. Code 61-9-305: as in South Carolina, from a digest; a trailer is built to carry property, which a car may not be"},
		{"US-TN", Breakaway, no, must, must, "Tenn. Code 55-9-204(c)(1): trailers of 3,000 lb or more; a trailer may have motive power"},
		{"US-PA", Breakaway, open, open, must, "75 Pa.C.S. 4502(c): a towed vehicle that has brakes or weighs over 3,000 lb; whether brakes that nothing works count is open"},
		{"US-VA", Breakaway, no, may, may, "19 VAC 30-70-100: trailers built after 1 January 1964 of 3,000 lb or more; without motive power"},
		{"US-FL", Breakaway, no, no, may, "Fla. Stat. 316.261(4): trailers over 3,000 lb, or with air or vacuum brakes"},
		{"US-SD", Breakaway, no, no, may, "SDCL 32-18-17: trailers over 3,000 lb made after 1 July 1967; without motive power"},
		{"US-WA", Breakaway, no, no, may, "RCW 46.37.340(4): trailers over 3,000 lb made after 1 January 1964; without motive power"},
		{"US-DC", Breakaway, no, no, may, "18 DCMR 721.1: trailers over 3,000 lb"},
		{"US-VT", Breakaway, no, no, may, "23 V.S.A. 1307: trailers over 3,000 lb; without motive power"},
		{"US-MN", Breakaway, no, no, may, "Minn. Stat. 169.67, subd. 3(b): trailers over 3,000 lb, although brakes are owed from 3,000 lb"},
		{"US-CO", Breakaway, no, may, may, "C.R.S. 42-4-223(1)(c): trailers of 3,000 lb or more; without motive power"},
		{"US-LA", Breakaway, no, may, may, "La. R.S. 32:341(C): trailers of 3,000 lb or more; without motive power"},
		{"US-AR", Breakaway, no, may, may, "Ark. Code 27-37-501: trailers of 3,000 lb or more, from a digest"},
		{"US-RI", Breakaway, no, no, may, "R.I.G.L. 31-23-4(c): trailers of 4,000 lb or more; without motive power"},
		{"US-IL", Breakaway, no, no, no, "625 ILCS 5/12-301: over 5,000 lb; exactly 5,000 lb is not over"},
		{"US-AK", Breakaway, no, no, no, "13 AAC 04.205: over 5,000 lb, from a digest"},
		{"US-ID", Breakaway, may, may, may, "Idaho Code 49-933(3): trailers of 1,500 lb UNLADEN or more; without motive power"},
		{"US-OH", Breakaway, may, may, may, "O.R.C. 4513.20(A)(4): trailers of 2,000 lb EMPTY or more, made from 1942"},
		{"US-MS", Breakaway, no, no, no, "Miss. Code 63-7-51(3): trailers that CARRY over one ton; this car carries nothing"},
		{"US-ND", Breakaway, no, no, no, "N.D.C.C. 39-21-32: where brakes take the place of safety chains; the chains are there"},
		{"US-CA", Breakaway, no, no, no, "Cal. Veh. Code 26304: where brakes are owed; a towed car that stops is excused from them (26458)"},
		{"CA-SK", Breakaway, no, no, no, "provincial manual: trailers that have brakes; this car has none that is worked"},
		{"US-KS", Breakaway, silent, silent, silent, "K.S.A. 8-1734: read in full, says nothing of it"},
		{"US-NH", Breakaway, silent, silent, silent, "RSA 266:30 and 266:63: read, say nothing of it"},
		{"CA-BC", Breakaway, unread, unread, unread, "only second hand: trailers over 1,400 kg, cars from 2,000 kg"},
		{"US-MD", Breakaway, unread, unread, unread, "only second hand: trailers over 3,000 lb built after 1 June 1970"},

		{"US-MT", SafetyChain, may, may, no, "Mont. Code 61-9-208(6): trailers of 3,000 lb OR LESS; whether a car is one is argued"},
		{"US-LA", SafetyChain, may, may, may, "La. R.S. 32:384(D): trailers RATED 6,000 lb or less; without motive power"},
		{"CA-QC", SafetyChain, may, may, may, "C-24.2, s. 245: trailers whose own brakes would not stop them when they part"},
		{"US-MS", SafetyChain, may, may, may, "Miss. Code 63-5-25(1): trailers above 20 mph, at any weight; without motive power"},
		{"US-VA", SafetyChain, must, must, must, "Va. Code 46.2-1118: any two vehicles joined for towing, at any weight"},
		{"US-PA", SafetyChain, open, open, open, "75 Pa.C.S. 4905(d): with a ball hitch or a pintle hook without a lock, which no fact tells"},

		{"US-IA", StopLamps, must, must, must, "Iowa Code 321.404: every motor vehicle; the 3,000 lb of 321.392 is for trailers"},
		{"US-AR", StopLamps, no, no, may, "Ark. Code 27-36-218: trailers over 3,000 lb"},
		{"US-IN", StopLamps, no, no, may, "Ind. Code 9-19-6-7(4)(F): trailers over 3,000 lb; without motive power"},
		{"US-MS", StopLamps, may, may, may, "Miss. Code 63-7-15: trailers over 3,000 lb, and lighter ones that hide the motorhome's lamps"},
		{"US-SC", StopLamps, open, open, may, "S.C. Code 56-5-4580: trailers of 3,000 lb or less that hide the motorhome's lamps; 56-5-4560: motor vehicles, perhaps"},

		{"US-MT", ClearanceLamps, no, no, may, "Mont. Code 61-9-208(4)(d): trailers over 3,000 lb; whether a car is one is argued"},
		{"US-FL", ClearanceLamps, no, no, may, "Fla. Stat. 316.2225(4): trailers over 3,000 lb"},
		{"US-IA", ClearanceLamps, no, no, may, "Iowa Code 321.392(4)(c): trailers over 3,000 lb; without motive power"},
		{"US-ID", ClearanceLamps, no, no, may, "Idaho Code 49-909: trailers over 3,000 lb; without motive power"},
		{"US-CO", ClearanceLamps, no, no, no, "C.R.S. 42-4-207(2): vehicles over 80 in wide, at any weight; this car is 72 in"},
		{"US-MT", Reflectors, no, no, may, "Mont. Code 61-9-208(4)(d): as the clearance lamps"},
		{"US-DC", Reflectors, no, no, may, "18 DCMR 707.5: trailers over 3,000 lb"},
	}
	places := map[string]bool{}
	for _, tt := range tests {
		places[tt.code] = true
		for lb, want := range map[float64]Requirement{2_500: tt.at2500, 3_000: tt.at3000, 5_000: tt.at5000} {
			if got := one(t, tt.code, tt.subject, light(lb)); got.Requirement != want {
				t.Errorf("%s %s at %g lb: %s, want %s\n%s", tt.code, tt.subject, lb, got.Requirement, want, tt.means)
			}
		}
	}
	if len(places) < 25 {
		t.Errorf("%d jurisdictions, want 25 and more", len(places))
	}
}
