package readiness

import (
	"pintail/api/finding"
	"pintail/api/lamps/record"
	"pintail/api/rig"
	"pintail/api/rules"
	"pintail/api/unit"
)

// Input is the input of readiness: a rig and a trip.
type Input struct {
	Rig  *rig.Rig `json:"rig"`
	Trip *Trip    `json:"trip"`
	// RuleChanges are a workspace's changes of law rows.
	RuleChanges []rules.Change `json:"rule_changes,omitzero"`
	// TestRecords are the tests of this rig that are on record. Absent, nothing is
	// said of them; an empty list says that there are none.
	TestRecords []record.Record `json:"test_records,omitzero"`
}

// Trip is where and when the rig is to go. Only the route is required.
type Trip struct {
	// Route is the jurisdictions in order, as ISO 3166-2 codes.
	Route []string  `json:"route"`
	On    unit.Date `json:"on,omitzero"`
	Night *bool     `json:"night,omitzero"`
	// Coldest is the lowest temperature expected on the way.
	Coldest *unit.Temperature `json:"coldest,omitzero"`
	// DrivingH is the hours of driving in a day.
	DrivingH         *float64     `json:"driving_h,omitzero"`
	SteepestGradePct *float64     `json:"steepest_grade_pct,omitzero"`
	PlannedSpeed     *unit.Speed  `json:"planned_speed,omitzero"`
	Distance         *unit.Length `json:"distance,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	if in.Trip == nil {
		c.In("trip").Bad("missing")
	} else {
		in.Trip.check(c.In("trip"))
	}
	rules.CheckChanges(c.In("rule_changes"), in.RuleChanges)
	checkRecords(c.In("test_records"), in.TestRecords)
	return c.Err()
}

func (t Trip) check(c rig.Checker) {
	rules.CheckRoute(c.In("route"), t.Route)
	c.Date("on", t.On)
	c.Temperature("coldest", t.Coldest)
	c.Number("driving_h", t.DrivingH, 0, 24)
	c.Number("steepest_grade_pct", t.SteepestGradePct, 0, 30)
	c.Speed("planned_speed", t.PlannedSpeed)
	c.Distance("distance", t.Distance, 20_000)
}
