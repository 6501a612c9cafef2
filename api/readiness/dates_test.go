package readiness_test

import (
	"testing"

	"pintail/api/readiness"
	"pintail/api/rules"
	"pintail/api/unit"
)

// Va. Code § 46.2-1070 as it stands, ended by a workspace on 1 July 2026, and a
// successor from that day on: the day of the trip says which of them counts, the
// day before, on it and after it, and both operations agree.
func TestTripOnEitherSideOfANewLaw(t *testing.T) {
	row := rules.ListRows(rules.RowsInput{ID: "US-VA.brakes.1"}).Rows[0].Row
	ends, follows := row, row
	ends.Until = "2026-07-01"
	follows.ID, follows.From, follows.When, follows.Requirement = "US-VA.brakes.own-1", "2026-07-01", nil, "Brakes at any weight."
	in := saved(t)
	r := in.Rigs["bare"]
	two := unit.LB(2_000)
	r.Towed.Actual.Weight, r.Towed.Curb = &two, &two
	changes := []rules.Change{
		{Row: ends.ID, Yours: &ends, Was: &row, By: "desk", At: 1, Reason: "repealed"},
		{Row: follows.ID, Yours: &follows, By: "desk", At: 1, Reason: "the new act"},
	}
	for on, want := range map[unit.Date]rules.Requirement{
		"2026-06-30": rules.NotRequired, "2026-07-01": rules.Required, "2026-07-02": rules.Required,
	} {
		trip := readiness.Trip{Route: []string{"US-VA"}, On: on}
		ask := readiness.Input{Rig: &r, Trip: &trip, RuleChanges: changes}
		if err := ask.Validate(); err != nil {
			t.Fatal(err)
		}
		if got := brakesOf(t, readiness.Evaluate(ask).Law.Legs); got.Requirement != want {
			t.Errorf("a trip on %s: %s, want %s", on, got.Requirement, want)
		}
		direct := rules.Evaluate(rules.EvaluateInput{Route: trip.Route, On: on, Facts: rules.Facts{TowedGross: &two}, RuleChanges: changes})
		if got := brakesOf(t, direct.Legs); got.Requirement != want {
			t.Errorf("rules/evaluate on %s: %s, want %s", on, got.Requirement, want)
		}
	}
}

func brakesOf(t *testing.T, legs []rules.Leg) rules.Item {
	t.Helper()
	for _, i := range legs[0].Items {
		if i.Subject == rules.Brakes {
			return i
		}
	}
	t.Fatal("nothing is said of brakes")
	return rules.Item{}
}
