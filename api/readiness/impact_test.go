package readiness_test

import (
	"testing"

	"pintail/api/finding"
	"pintail/api/readiness"
	"pintail/api/rig"
	"pintail/api/rules"
)

// saved is the sound rig, without its brake unit, on a trip through Virginia and
// one through Vermont.
func saved(t *testing.T) readiness.ImpactInput {
	t.Helper()
	in, _ := sixJurisdictions(t)
	r, no := *in.Rig, false
	r.BrakeUnit = rig.BrakeUnit{Fitted: &no}
	r.Breakaway = rig.Breakaway{Fitted: &no}
	trip := func(code string) *readiness.Trip {
		trip := *in.Trip
		trip.Route = []string{code}
		return &trip
	}
	return readiness.ImpactInput{
		Rigs: map[string]rig.Rig{"braked": *in.Rig, "bare": r},
		Trips: map[string]readiness.SavedTrip{
			"a-braked": {Rig: "braked", Trip: trip("US-WY")}, "b-bare": {Rig: "bare", Trip: trip("US-WY")},
			"c-elsewhere": {Rig: "bare", Trip: trip("US-VT")}, "d-gone": {Rig: "sold", Trip: trip("US-WY")},
		},
	}
}

// A row that asks every towed vehicle for brakes turns away the rig without
// them, where it counts, and nobody else.
func TestImpact(t *testing.T) {
	in := saved(t)
	row := rules.Row{
		ID: "US-WY.brakes.own-1", Jurisdiction: "US-WY", Subject: rules.Brakes, Covers: rules.AnyTowedVehicle, Requirement: "Every towed vehicle needs brakes.",
		Citation: "Invented Act s. 1", SourceKind: rules.StatuteText, Known: rules.High,
	}
	in.Changes = []rules.Change{{Row: row.ID, Yours: &row, By: "desk", At: 1, Reason: "read"}}
	if err := in.Validate(); err != nil {
		t.Fatal(err)
	}
	by := map[string]readiness.TripImpact{}
	report := readiness.Impact(in)
	for _, x := range report.Trips {
		by[x.Trip] = x
	}
	if x := by["b-bare"]; x.After != finding.NoGo || !hasMoved(x, "law.brakes.not_met") {
		t.Errorf("without brakes: %+v", x)
	}
	if x := by["a-braked"]; x.Flips || x.Before != x.After {
		t.Errorf("with brakes: %s, then %s", x.Before, x.After)
	}
	if x := by["c-elsewhere"]; x.Flips || len(x.Moved) != 0 {
		t.Errorf("elsewhere: %+v", x)
	}
	if x := by["d-gone"]; x.Before != "" || x.After != "" || x.Flips {
		t.Errorf("a rig that is not there: %+v", x)
	}
	// In force already, the same change moves nothing; withdrawn again, it moves
	// back.
	in.RuleChanges = in.Changes
	if again := readiness.Impact(in); again.Flips != 0 || again.Moves != 0 {
		t.Errorf("the same change twice: %d flips, %d moves", again.Flips, again.Moves)
	}
	in.Changes = []rules.Change{{Row: row.ID, Withdrawn: true, By: "desk", At: 2, Reason: "wrong"}}
	if back := readiness.Impact(in); back.Flips != report.Flips || back.Moves != report.Moves {
		t.Errorf("withdrawn: %d flips, %d moves; added: %d, %d", back.Flips, back.Moves, report.Flips, report.Moves)
	}
}

func hasMoved(x readiness.TripImpact, id string) bool {
	for _, m := range x.Moved {
		if m.ID == id {
			return true
		}
	}
	return false
}
