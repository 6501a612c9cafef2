package record

import (
	"slices"
	"strconv"
	"strings"

	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// conditions are entries that say how it was on the day, not how the rig is
// made.
var conditions = []string{"/towing/circuits/supply_v", "/towed/circuits/supply_v", "/harness/wire_temperature"}

// parts are the beginnings of the pointers that a kind hangs on, nil for every
// entry of the circuit.
var parts = map[Kind][]string{
	LightTest:    {"/"},
	Bench:        {"/towed/", "/harness/", "/brake_unit/"},
	SocketSurvey: {"/towing/", "/harness/signals", "/harness/connector/kind"},
	LampSurvey:   {"/towed/"},
}

// HangsOn are the entries of a rig that a test of this kind hangs on: those of
// its part of the circuit, recorded or typical, and what tells one vehicle from
// another. Conditions of the day are not among them. The rig has been checked.
func HangsOn(k Kind, r rig.Rig) []wiring.Value {
	var all []wiring.Value
	for _, v := range slices.Concat(identity(r), wiring.Describe(r).Values) {
		mine := func(beginning string) bool { return strings.HasPrefix(v.Field, beginning) }
		if slices.ContainsFunc(parts[k], mine) && !slices.Contains(conditions, v.Field) {
			all = append(all, v)
		}
	}
	return all
}

// identity is what tells one vehicle from another, and the connector's kind,
// which the circuit does not ask for. What nobody entered is an empty template.
func identity(r rig.Rig) []wiring.Value {
	all := []wiring.Value{
		{Field: "/towing/description", Word: r.Towing.Description},
		{Field: "/towed/description", Word: r.Towed.Description},
		{Field: "/harness/connector/kind", Word: string(r.Harness.Connector.Kind)},
		{Field: "/towed/variant/year"},
	}
	if year := r.Towed.Variant.Year; year != nil {
		all[3].Word = strconv.Itoa(*year)
	}
	for i := range all {
		all[i].How = wiring.Entered
		if all[i].Word == "" {
			all[i].How = wiring.Template
		}
	}
	return all
}

// Changed are the pointers of those entries that the record hangs on and that
// say something else in the rig as it is now. A figure that is entered or
// measured in place of a typical one is learned, not changed; so is a name that
// was not known. An entry that the rig no longer asks for has gone with the
// entry that asked for it.
func (r *Record) Changed(now rig.Rig) []string {
	var changed []string
	is := HangsOn(r.Kind, now)
	for i := range r.HangsOn {
		was := &r.HangsOn[i]
		at := slices.IndexFunc(is, func(v wiring.Value) bool { return v.Field == was.Field })
		if at >= 0 && !stays(was, &is[at]) && !r.gave(&is[at]) {
			changed = append(changed, was.Field)
		}
	}
	return changed
}

// stays reports whether an entry still says what it said when a test was made.
func stays(was, is *wiring.Value) bool {
	if is.How == wiring.Template {
		// Nobody says any more what it is, or nobody ever did: then it follows from
		// another entry.
		return was.How == wiring.Template
	}
	if was.Number != nil && is.Number != nil {
		return *was.Number == *is.Number || was.How == wiring.Template || is.How == wiring.Measured
	}
	return was.Word == is.Word || was.How == wiring.Template && (was.Word == "" || is.How == wiring.Measured)
}

// gave reports whether an entry says what the survey found.
func (r *Record) gave(is *wiring.Value) bool {
	return slices.ContainsFunc(r.Gives, func(v wiring.Value) bool {
		return v.Field == is.Field && v.Word == is.Word && (v.Number == nil) == (is.Number == nil) && (v.Number == nil || *v.Number == *is.Number)
	})
}
