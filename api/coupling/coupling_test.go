package coupling

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

// sound is a rig with nothing wrong in its coupling; tests change one thing.
const sound = `{
  "towing": {
    "gvwr": {"lb": 22000}, "gcwr": {"lb": 30000}, "actual": {"weight": {"lb": 21000}, "how": "scale", "on": "2026-09-02"},
    "front_axle": {"rating": {"lb": 8000}, "actual": {"lb": 7400}}, "rear_axle": {"rating": {"lb": 14500}, "actual": {"lb": 13600}},
    "tow_limit_braked": {"lb": 5000}, "tow_limit_unbraked": {"lb": 1500}
  },
  "towed": {
    "variant": {"year": 2019, "engine": "1.8 L petrol", "gearbox": "6-speed manual", "drivetrain": "front-wheel drive"},
    "curb": {"lb": 3650}, "actual": {"weight": {"lb": 4000}, "how": "scale"}, "gvwr": {"lb": 4900},
    "front_axle": {"rating": {"lb": 2700}, "actual": {"lb": 2250}}, "rear_axle": {"rating": {"lb": 2600}, "actual": {"lb": 1750}}
  },
  "permission": {
    "manual_says": "allowed", "read_by": "owner", "page": "p. 214",
    "read_for": {"year": 2019, "engine": "1.8 L petrol", "gearbox": "6-speed manual", "drivetrain": "front-wheel drive"}
  },
  "coupling": {
    "parts": {
      "receiver": {"kind": "receiver", "rating": {"lb": 5000}}, "bar": {"kind": "tow_bar", "rating": {"lb": 6500}},
      "plate": {"kind": "base_plate", "rating": {"lb": 6500}}
    },
    "cables": {
      "left": {"order": 1, "strength": {"lb": 6000}, "kind": "working_load", "length": {"in": 74}, "towing_point": "receiver", "towed_point": "frame"},
      "right": {"order": 2, "strength": {"lb": 6000}, "kind": "working_load", "length": {"in": 74}, "towing_point": "receiver", "towed_point": "frame"}
    },
    "cables_crossed": true,
    "geometry": {
      "towing_pin_height": {"in": 17}, "towed_pin_height": {"in": 16}, "arm_length": {"in": 50}, "gap": {"in": 60},
      "pivot_behind_anchors": {"in": 6}, "towing_spread": {"in": 20}, "towed_spread": {"in": 24}, "full_lock_deg": 60, "cable_height": {"in": 20}
    }
  },
  "harness": {"umbilical_length": {"in": 90}},
  "brake_unit": {"fitted": true},
  "breakaway": {"fitted": true, "lanyard_length": {"in": 68}}
}`

// mustRig returns the sound rig changed by one statement: a JSON Pointer and the
// value to put there, or nothing to remove it.
func mustRig(tb testing.TB, changes ...string) rig.Input {
	tb.Helper()
	var doc map[string]any
	if err := json.Unmarshal([]byte(sound), &doc); err != nil {
		tb.Fatal(err)
	}
	for _, c := range changes {
		pointer, value, given := strings.Cut(c, " ")
		steps := strings.Split(pointer[1:], "/")
		at := doc
		for _, s := range steps[:len(steps)-1] {
			next, ok := at[s].(map[string]any)
			if !ok {
				next = map[string]any{}
				at[s] = next
			}
			at = next
		}
		last := steps[len(steps)-1]
		if !given {
			delete(at, last)
			continue
		}
		var v any
		if err := json.Unmarshal([]byte(value), &v); err != nil {
			tb.Fatal(err)
		}
		at[last] = v
	}
	b, err := json.Marshal(doc)
	if err != nil {
		tb.Fatal(err)
	}
	var r rig.Rig
	if err := strictjson.Unmarshal(b, &r); err != nil {
		tb.Fatal(err)
	}
	in := rig.Input{Rig: &r}
	if err := in.Validate(); err != nil {
		tb.Fatal(err)
	}
	return in
}

func find(r Report, id string) *finding.Finding {
	i := slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.ID == id })
	if i < 0 {
		return nil
	}
	return &r.Findings[i]
}

func TestSoundRig(t *testing.T) {
	r := Check(mustRig(t))
	if r.Verdict != finding.OK {
		t.Errorf("verdict %s", r.Verdict)
	}
	for _, f := range r.Findings {
		if f.Verdict != finding.OK {
			t.Errorf("%s %s: %s", f.ID, f.Verdict, f.Says.Sentence)
		}
		if len(f.Basis) == 0 {
			t.Errorf("%s is OK without a basis", f.ID)
		}
	}
	if g := r.Governing; g == nil || !g.Complete || g.Limit.Name.ID != "limit.car_gvwr" || !*g.Within || !*g.WithReserve {
		t.Errorf("governing %+v", g)
	}
}

func TestFindings(t *testing.T) {
	for _, tt := range []struct {
		name    string
		change  []string
		id      string
		verdict finding.Verdict
		decides bool
	}{
		{"Forbidden", []string{`/permission/manual_says "forbidden"`}, "permission.forbidden", finding.NoGo, true},
		{"EmergencyOnly", []string{`/permission/manual_says "emergency_only"`}, "permission.emergency-only", finding.NoGo, true},
		{"Silent", []string{`/permission/manual_says "silent"`}, "permission.silent", finding.FindOut, true},
		{"NotRead", []string{`/permission/manual_says`}, "permission.not-read", finding.FindOut, true},
		{"OtherYear", []string{`/permission/read_for/year 2018`}, "permission.other-car", finding.FindOut, true},
		{"OtherGearbox", []string{`/permission/read_for/gearbox "automatic"`}, "permission.other-car", finding.FindOut, true},
		{"SameGearboxTypedOtherwise", []string{`/permission/read_for/gearbox " 6-Speed  Manual"`}, "permission.allowed", finding.OK, true},
		{"NotExact", []string{`/towed/variant/engine`}, "permission.not-exact", finding.FindOut, true},
		{"NoPage", []string{`/permission/page`}, "permission.record", finding.Mind, false},

		{"NoTicket", []string{`/towing/actual`}, "coupling.motorhome-weight", finding.FindOut, true},
		{"NoTicketArithmetic", []string{`/towing/actual`}, "coupling.gcwr", finding.FindOut, true},
		{"Estimate", []string{`/towing/actual/how "estimate"`}, "coupling.motorhome-weight", finding.FindOut, true},
		{"BrochureCar", []string{`/towed/actual/how "brochure"`}, "coupling.car-weight", finding.FindOut, true},
		{"OverGVWR", []string{`/towing/actual/weight {"lb":22001}`}, "coupling.motorhome-gvwr", finding.NoGo, true},
		{"AtGVWR", []string{`/towing/actual/weight {"lb":22000}`}, "coupling.motorhome-gvwr", finding.OK, true},
		{"AxleOver", []string{`/towing/rear_axle/actual {"lb":14501}`}, "coupling.motorhome-axle", finding.NoGo, true},
		{"AxleMissing", []string{`/towing/rear_axle`}, "coupling.motorhome-axle-missing", finding.FindOut, false},
		{"AxlesDisagree", []string{`/towing/rear_axle/actual {"lb":12000}`}, "coupling.motorhome-axle-sum", finding.FindOut, true},
		{"BelowCurb", []string{`/towed/actual/weight {"lb":3600}`}, "coupling.car-below-curb", finding.FindOut, true},
		{"CarOverGVWR", []string{`/towed/actual/weight {"lb":4901}`}, "coupling.car-gvwr", finding.NoGo, true},

		{"GCWROver", []string{`/towing/gcwr {"lb":24999}`}, "coupling.gcwr", finding.NoGo, true},
		{"GCWRExact", []string{`/towing/gcwr {"lb":25000}`}, "coupling.gcwr", finding.OK, true},
		{"GCWRKilograms", []string{`/towing/gcwr {"kg":11339}`}, "coupling.gcwr", finding.NoGo, true}, // 24,998.2 lb
		{"GCWRBelowGVWR", []string{`/towing/gcwr {"lb":21000}`}, "coupling.gcwr-below-gvwr", finding.FindOut, true},
		{"TowLimitOver", []string{`/towing/tow_limit_braked {"lb":3999}`}, "coupling.tow-limit", finding.NoGo, true},
		{"TowLimitMissing", []string{`/towing/tow_limit_braked`}, "coupling.tow-limit", finding.FindOut, true},
		{"UnbrakedLimitDoes", []string{`/towing/tow_limit_braked`, `/towing/tow_limit_unbraked {"lb":4000}`}, "coupling.tow-limit", finding.OK, true},
		{"Unbraked", []string{`/brake_unit/fitted false`}, "coupling.unbraked-limit", finding.NoGo, true},
		{"UnbrakedUnknown", []string{`/brake_unit`}, "coupling.unbraked-limit", finding.FindOut, true},
		{"UnbrakedLight", []string{`/brake_unit/fitted false`, `/towing/tow_limit_unbraked {"lb":4000}`}, "coupling.unbraked-limit", finding.OK, true},

		{"ReceiverWeak", []string{`/coupling/parts/receiver/rating {"lb":3999}`}, "coupling.part-rating.receiver", finding.NoGo, true},
		{"BarUnrated", []string{`/coupling/parts/bar/rating`}, "coupling.part-rating.bar", finding.FindOut, true},
		{"BarBreaking", []string{`/coupling/parts/bar/rating_kind "breaking_strength"`}, "coupling.part-rating.bar", finding.FindOut, true},
		{"NoPlate", []string{`/coupling/parts/plate`}, "coupling.part-missing.base_plate", finding.FindOut, true},
		{"Stacked", []string{`/coupling/parts/drop {"kind":"adapter","rating":{"lb":5000}}`, `/coupling/parts/ext {"kind":"extension","rating":{"lb":5000}}`}, "coupling.stacked", finding.Mind, true},
		{"Reserve", []string{`/coupling/parts/receiver/rating {"lb":4400}`}, "coupling.reserve", finding.Mind, false},

		{"NoCables", []string{`/coupling/cables`}, "coupling.cables", finding.FindOut, true},
		{"OneCable", []string{`/coupling/cables/right`}, "coupling.cables-one", finding.Mind, true},
		{"CableUnrated", []string{`/coupling/cables/left/kind`}, "coupling.cable-strength.left", finding.FindOut, true},
		{"CableBreaking", []string{`/coupling/cables/left/kind "breaking_strength"`}, "coupling.cable-strength.left", finding.FindOut, true},
		{"CableOnBar", []string{`/coupling/cables/left/towing_point "tow_bar"`}, "coupling.cable-point.left", finding.NoGo, true},
		{"CableOnPlate", []string{`/coupling/cables/left/towed_point "base_plate"`}, "coupling.cable-point.left", finding.Mind, false},
		{"PointWeak", []string{`/coupling/cables/left/point_rating {"lb":3500}`}, "coupling.cable-point-rating.left", finding.NoGo, true},
		{"NotCrossed", []string{`/coupling/cables_crossed false`}, "coupling.cables-crossed", finding.Mind, false},

		{"SlopeUnmeasured", []string{`/coupling/geometry/towed_pin_height`}, "coupling.slope", finding.FindOut, false},
		{"Slope3", []string{`/coupling/geometry/towing_pin_height {"in":19}`}, "coupling.slope", finding.OK, false},
		{"Slope4", []string{`/coupling/geometry/towing_pin_height {"in":20}`}, "coupling.slope", finding.Mind, false},
		{"Slope41", []string{`/coupling/geometry/towing_pin_height {"in":20.1}`}, "coupling.slope", finding.Mind, true},

		{"CableShort", []string{`/coupling/cables/left/length {"in":62}`}, "coupling.cable-length.left", finding.NoGo, true},
		{"CableDrags", []string{`/coupling/cables/left/length {"in":110}`}, "coupling.cable-length.left", finding.Mind, true},
		{"LanyardShort", []string{`/breakaway/lanyard_length {"in":55}`}, "coupling.lanyard-length", finding.NoGo, true},
		{"LanyardDoubtful", []string{`/breakaway/lanyard_length {"in":60}`}, "coupling.lanyard-length", finding.Mind, false},
		{"LanyardLong", []string{`/breakaway/lanyard_length {"in":73}`}, "coupling.lanyard-cables", finding.Mind, false},
		{"UmbilicalShort", []string{`/harness/umbilical_length {"in":50}`}, "coupling.umbilical-length", finding.NoGo, true},
		{"Unmeasured", []string{`/coupling/geometry/full_lock_deg`}, "coupling.lines", finding.FindOut, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := Check(mustRig(t, tt.change...))
			f := find(r, tt.id)
			if f == nil {
				t.Fatalf("no finding %s among %v", tt.id, ids(r))
			}
			if f.Verdict != tt.verdict || f.Decides != tt.decides {
				t.Errorf("%s: %s, decides %v: %s", tt.id, f.Verdict, f.Decides, f.Says.Sentence)
			}
			if tt.decides && tt.verdict.Worse(r.Verdict) {
				t.Errorf("the report says %s", r.Verdict)
			}
			if strings.ContainsAny(f.Says.Sentence, "{}") || f.Says.Sentence == f.Says.ID {
				t.Errorf("sentence not filled in: %s", f.Says.Sentence)
			}
		})
	}
}

func ids(r Report) []string {
	var all []string
	for _, f := range r.Findings {
		all = append(all, f.ID+"="+string(f.Verdict))
	}
	return all
}

// A worked example of the trade (common practice, no published source): GCWR
// 26,000 lb, motorhome 21,400 lb on the scale, receiver and drop 5,000 lb, bar
// and base plate 6,500 lb, car 4,300 lb: 4,600 lb governs; 4,140 lb with a 10 %
// reserve, so the car passes the rating and fails the reserve.
func TestWorkedWeakestLink(t *testing.T) {
	r := Check(mustRig(t, `/towing/gcwr {"lb":26000}`, `/towing/actual/weight {"lb":21400}`, `/towing/front_axle/actual {"lb":7600}`,
		`/towing/rear_axle/actual {"lb":13800}`, `/coupling/parts/drop {"kind":"adapter","rating":{"lb":5000}}`, `/towed/actual/weight {"lb":4300}`,
		`/towed/front_axle/actual {"lb":2400}`, `/towed/rear_axle/actual {"lb":1900}`))
	g := r.Governing
	if g == nil || g.Limit.Allowed.Compare(unit.LB(4600)) != 0 || g.Limit.Name.ID != "limit.gcwr" {
		t.Fatalf("governing %+v", g)
	}
	if !*g.Within || *g.WithReserve {
		t.Errorf("within %v, with reserve %v; want true, false", *g.Within, *g.WithReserve)
	}
	f := find(r, "coupling.reserve")
	if f == nil || f.Says.Params.Get("reserve").Form().Mass.Compare(unit.LB(4140)) != 0 {
		t.Errorf("reserve finding %+v", f)
	}
}

// Class limits. Source: SAE J684 classes as printed in COMAR 11.13.08.10 Table
// 1 and 15 NYCRR 57.3: 2,000 / 3,500 / 5,000 / 10,000 lb.
func TestHitchClass(t *testing.T) {
	for _, tt := range []struct {
		class int
		lb    float64
		over  bool
	}{{1, 2000, false}, {1, 2001, true}, {2, 3500, false}, {2, 3501, true}, {3, 5000, false}, {3, 5001, true}, {4, 10000, false}, {4, 10001, true}} {
		allowed, basis, ok := partRating(rig.Part{Kind: rig.Receiver, HitchClass: &tt.class})
		if !ok || basis.Kind != finding.Standard {
			t.Fatalf("class %d: %v %v", tt.class, ok, basis)
		}
		if got := unit.LB(tt.lb).Over(allowed); got != tt.over {
			t.Errorf("class %d, %g lb: over %v", tt.class, tt.lb, got)
		}
	}
	three, label := 3, unit.LB(4000)
	if got, _, _ := partRating(rig.Part{HitchClass: &three, Rating: &label}); got.Compare(label) != 0 {
		t.Errorf("the lower of label and class governs, got %s", got)
	}
}

// Chains read each and combined. Source: guidance to 49 CFR 393.70(d)
// (combined) against SAE J684 and N.H. RSA 266:63 (each): 4,200 lb behind two
// of 2,600 lb passes combined and fails each.
func TestCableReadings(t *testing.T) {
	r := Check(mustRig(t, `/towed/actual/weight {"lb":4200}`, `/coupling/cables/left/strength {"lb":2600}`, `/coupling/cables/right/strength {"lb":2600}`))
	if c := r.Cables; c == nil || *c.EachHolds || !*c.CombinedHolds {
		t.Fatalf("reading %+v", c)
	}
	f := find(r, "coupling.cable-strength.left")
	if f == nil || f.Verdict != finding.NoGo || f.Says.ID != "coupling.cable_weak_combined" {
		t.Errorf("finding %+v", f)
	}
	r = Check(mustRig(t, `/towed/actual/weight {"lb":4200}`, `/coupling/cables/left/kind "breaking_strength"`))
	if c := r.Cables; c == nil || c.EachHolds != nil || c.Kind != "" {
		t.Errorf("a working load was read together with a breaking strength: %+v", c)
	}
}

// Slope. Common practice, computed: 4 in over 48 in is 4.8°, 8.4 % of the push;
// 10 in is 12°, 21 %.
func TestSlope(t *testing.T) {
	for _, tt := range []struct{ in, deg, pct float64 }{{4, 4.8, 8.4}, {10, 12, 21}, {-4, -4.8, 8.4}} {
		deg, pct := slopeOf(unit.IN(tt.in), unit.IN(48))
		if math.Abs(deg-tt.deg) > 0.05 || math.Abs(pct-tt.pct) > 0.5 {
			t.Errorf("%g in: %.3f° %.3f %%, want %g° %g %%", tt.in, deg, pct, tt.deg, tt.pct)
		}
	}
	r := Check(mustRig(t, `/coupling/geometry/towing_pin_height {"in":22}`))
	if got := r.Slope.LevelBy; got.Compare(unit.IN(-6)) != 0 {
		t.Errorf("level by %s, want a drop of 6 in", got)
	}
}

// The closed form of the greatest distance against a fine sweep of the angle.
func TestFarthestAgainstSweep(t *testing.T) {
	for _, s := range []sweep{
		{bar: 50, back: 6, towingSpread: 20, towedSpread: 24, lock: 60 * math.Pi / 180},
		{bar: 40, back: 0, towingSpread: 30, towedSpread: 50, lock: 90 * math.Pi / 180},
		{bar: 60, back: 12, towingSpread: 8, towedSpread: 36, lock: 20 * math.Pi / 180},
		{bar: 48, back: 3, towingSpread: 0, towedSpread: 0, lock: 45 * math.Pi / 180},
	} {
		for _, crossed := range []bool{true, false} {
			best := 0.0
			for i := -20000; i <= 20000; i++ {
				a := s.lock * float64(i) / 20000
				best = math.Max(best, s.distance(a, crossed))
			}
			if got := s.farthest(crossed); math.Abs(got-best) > 1e-4 {
				t.Errorf("%+v crossed %v: %g, swept %g", s, crossed, got, best)
			}
		}
	}
}

// distance is the plain geometry: place both points, measure.
func (s sweep) distance(angle float64, crossed bool) float64 {
	y := s.towedSpread / 2
	if crossed {
		y = -y
	}
	x1, y1 := s.bar*math.Cos(angle)-y*math.Sin(angle), s.bar*math.Sin(angle)+y*math.Cos(angle)
	return math.Hypot(x1+s.back, y1-s.towingSpread/2)
}

func TestEmptyRig(t *testing.T) {
	r := Check(rig.Input{Rig: &rig.Rig{}})
	if r.Verdict != finding.FindOut {
		t.Errorf("verdict %s", r.Verdict)
	}
	if r.Governing != nil {
		t.Errorf("governing %+v out of nothing", r.Governing)
	}
}
