package coupling

import (
	"strings"

	"pintail/api/finding"
	"pintail/api/rig"
)

// permission is the gate: without a recorded yes for exactly this car there is
// no OK.
func (j *judge) permission() {
	p := j.rig.Permission
	f := finding.Finding{Area: finding.Permission, Decides: true, Fields: []string{"/permission/manual_says"}}
	switch p.ManualSays {
	case rig.Forbidden:
		f.ID, f.Verdict = "permission.forbidden", finding.NoGo
		f.Says = finding.Say("permission.forbidden", nil)
		f.Remedy = finding.Advise("permission.forbidden_remedy", nil)
	case rig.EmergencyOnly:
		f.ID, f.Verdict = "permission.emergency-only", finding.NoGo
		f.Says = finding.Say("permission.emergency_only", nil)
		f.Remedy = finding.Advise("permission.forbidden_remedy", nil)
	case rig.Silent:
		f.ID, f.Verdict = "permission.silent", finding.FindOut
		f.Says = finding.Say("permission.silent", nil)
		f.Remedy = finding.Advise("permission.silent_remedy", nil)
	case rig.Allowed:
		j.permissionForThisCar(f)
		return
	default:
		f.ID, f.Verdict = "permission.not-read", finding.FindOut
		f.Says = finding.Say("permission.not_read", nil)
		f.Remedy = finding.Advise("permission.not_read_remedy", nil)
	}
	f.Basis = []finding.Basis{manualBasis(p)}
	j.add(f)
}

// permissionForThisCar judges a yes: it counts only for the year, engine,
// gearbox and drivetrain that it was read for.
func (j *judge) permissionForThisCar(f finding.Finding) {
	p, car := j.rig.Permission, j.rig.Towed.Variant
	f.Basis = []finding.Basis{manualBasis(p)}
	missing := append(missingOf(p.ReadFor, "/permission/read_for"), missingOf(car, "/towed/variant")...)
	differs := differing(p.ReadFor, car)
	switch {
	case len(differs) > 0:
		f.ID, f.Verdict, f.Fields = "permission.other-car", finding.FindOut, differs
		f.Says = finding.Say("permission.other_car", finding.Params{
			"read": finding.Plain(describe(p.ReadFor)), "car": finding.Plain(describe(car)),
		})
		f.Remedy = finding.Advise("permission.not_read_remedy", nil)
	case len(missing) > 0:
		f.ID, f.Verdict, f.Fields = "permission.not-exact", finding.FindOut, missing
		f.Says = finding.Say("permission.not_exact", nil)
		f.Remedy = finding.Advise("permission.not_exact_remedy", nil)
	default:
		f.ID, f.Verdict = "permission.allowed", finding.OK
		f.Says = finding.Say("permission.allowed", finding.Params{"car": finding.Plain(describe(car))})
	}
	j.add(f)
	j.permissionRecord()
}

// permissionRecord asks for who read the page, so that a second person can
// check it.
func (j *judge) permissionRecord() {
	p := j.rig.Permission
	var missing []string
	if p.ReadBy == "" {
		missing = append(missing, "/permission/read_by")
	}
	if p.Page == "" {
		missing = append(missing, "/permission/page")
	}
	if len(missing) == 0 {
		return
	}
	j.add(finding.Finding{
		ID: "permission.record", Area: finding.Permission, Verdict: finding.Mind,
		Says: finding.Say("permission.record", nil), Fields: missing,
		Basis: []finding.Basis{practice("A permission nobody can look up again is hearsay")},
	})
}

func manualBasis(p rig.Permission) finding.Basis {
	b := finding.Basis{Kind: finding.Rating, Reference: "Owner's manual"}
	if p.Page != "" {
		b.Reference += ", " + p.Page
	}
	if p.ReadBy != "" {
		b.Reference += ", read by " + p.ReadBy
	}
	if p.ReadOn != "" {
		b.Reference += " on " + string(p.ReadOn)
	}
	return b
}

func missingOf(v rig.Variant, at string) []string {
	var missing []string
	if v.Year == nil {
		missing = append(missing, at+"/year")
	}
	for _, f := range []struct{ name, value string }{{"engine", v.Engine}, {"gearbox", v.Gearbox}, {"drivetrain", v.Drivetrain}} {
		if strings.TrimSpace(f.value) == "" {
			missing = append(missing, at+"/"+f.name)
		}
	}
	return missing
}

// differing lists the fields in which both are known and disagree.
func differing(read, car rig.Variant) []string {
	var fields []string
	if read.Year != nil && car.Year != nil && *read.Year != *car.Year {
		fields = append(fields, "/permission/read_for/year")
	}
	for _, f := range []struct{ name, read, car string }{
		{"engine", read.Engine, car.Engine}, {"gearbox", read.Gearbox, car.Gearbox}, {"drivetrain", read.Drivetrain, car.Drivetrain},
	} {
		a, b := plainWords(f.read), plainWords(f.car)
		if a != "" && b != "" && a != b {
			fields = append(fields, "/permission/read_for/"+f.name)
		}
	}
	return fields
}

// plainWords drops what two people may type differently for the same thing.
func plainWords(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
