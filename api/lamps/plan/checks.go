package plan

import (
	"pintail/api/finding"
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// littleMargin is how near to its limit a junction may run before it is worth a
// word, in °C: the models' voltages are good to a tenth.
const littleMargin = 20

// diodeHeat holds the hottest diode to its limit.
func diodeHeat(a *assessment) *finding.Finding {
	h := hottest(a.heats)
	if h == nil {
		return nil
	}
	d, _ := parts.FindDiode(string(h.Kind))
	params := finding.Params{
		"watts": finding.Num(h.AverageW, "W"), "air": finding.Num(h.AirC, "c"), "junction": finding.Num(h.JunctionC, "c"),
		"limit": finding.Num(h.LimitC, "c"), "step": stepWord(h.Step),
	}
	basis := []finding.Basis{solved, d.Origin.Basis(), onItsLeads}
	f := found("plan.diode-heat", finding.OK, "plan.diode_cool", params, basis...)
	switch {
	case h.JunctionC > h.LimitC:
		f = found("plan.diode-hot", finding.NoGo, "plan.diode_hot", params, basis...)
		f.Fields, f.Remedy = []string{"/harness/diodes/kind"}, finding.Advise("plan.diode_hot.remedy", nil)
	case h.JunctionC > h.LimitC-littleMargin:
		f = found("plan.diode-warm", finding.Mind, "plan.diode_warm", params, basis...)
		f.Fields, f.Remedy = []string{"/harness/diodes/kind"}, finding.Advise("plan.diode_hot.remedy", nil)
	}
	f.Figures = []finding.Figure{figure("plan.figure.junction", h.JunctionC, "c"), figure("plan.figure.heat", h.AverageW, "W")}
	return f
}

// leak warns of what a hot Schottky diode lets through backwards.
func leak(a *assessment) *finding.Finding {
	h := &a.s.h
	if h.Approach != rig.SteeringDiodes || h.DiodeKind != rig.Schottky || !h.TailBulb.LED && !h.StopBulb.LED && !rig.Is(a.r.Towed.Circuits.Monitored, true) {
		return nil
	}
	d, _ := parts.FindDiode(string(h.DiodeKind))
	f := found("plan.leak", finding.Mind, "plan.leak", finding.Params{"leak": finding.Num(d.LeakMilliamps, "mA")}, d.Origin.Basis())
	f.Fields = []string{"/harness/diodes/kind"}
	return f
}

// fuseOverWire finds a fuse that lets more through than the wire or contact
// behind it may carry. Only a recorded fuse is judged.
func fuseOverWire(a *assessment) *finding.Finding {
	for i := range a.fuses {
		u := &a.fuses[i]
		if u.How == wiring.Template || u.MostA == nil || u.RatingA <= *u.MostA {
			continue
		}
		f := found("plan.fuse-over-wire", finding.Mind, "plan.fuse_over_wire", finding.Params{
			"feed": feedWord(u.Function), "fuse": finding.Num(u.RatingA, "A"), "most": finding.Num(*u.MostA, "A"), "short": finding.Num(u.ShortA, "A"),
		}, parts.AmpacityOrigin().Basis(), parts.BundleOrigin().Basis(), practice)
		f.Fields, f.Remedy = []string{fuseField(u)}, finding.Advise("plan.fuse_none_fits", finding.Params{"least": finding.Num(u.LeastA, "A")})
		if u.FitA != nil {
			f.Remedy = finding.Advise("plan.fuse_fits", finding.Params{"fit": finding.Num(*u.FitA, "A")})
		}
		return f
	}
	return nil
}

// fuseSmall finds a fuse that the load ages or opens.
func fuseSmall(a *assessment) *finding.Finding {
	for i := range a.fuses {
		u := &a.fuses[i]
		if u.How == wiring.Template || u.RatingA >= u.LeastA {
			continue
		}
		params := finding.Params{"feed": feedWord(u.Function), "fuse": finding.Num(u.RatingA, "A"), "load": finding.Num(u.LoadA, "A"), "least": finding.Num(u.LeastA, "A")}
		f := found("plan.fuse-small", finding.Mind, "plan.fuse_small", params, solved, parts.FuseOrigin().Basis())
		if u.LoadA > u.RatingA {
			f = found("plan.fuse-small", finding.NoGo, "plan.fuse_opens", params, solved, parts.FuseOrigin().Basis())
		}
		f.Fields, f.Remedy = []string{fuseField(u)}, finding.Advise("plan.fuse_small.remedy", nil)
		return f
	}
	return nil
}

func fuseField(u *Fusing) string { return "/towing/circuits/" + string(u.Function) + "/fuse_a" }

// overload finds a wire or contact that carries more than it may.
func overload(a *assessment) *finding.Finding {
	h := &a.s.h
	for i := range lanes {
		l := &lanes[i]
		if !a.s.has(l) || !h.Wires[l.feed] {
			continue
		}
		umbilical, car := a.s.partAmps("umbilical_"+l.feed.Name()), a.s.partAmps("car_"+l.feed.Name())
		if f := a.over(l.function, umbilical, a.rating.umbilical(h.Runs.Umbilical.AWG, l.function), "/harness/umbilical_wire/awg"); f != nil {
			return f
		}
		if f := a.over(l.function, car, a.rating.car(h.Runs.Car.AWG), "/harness/car_wire/awg"); f != nil {
			return f
		}
	}
	if f := a.over(GroundWire, a.s.partAmps("umbilical_ground"), a.rating.umbilical(h.Runs.UmbilicalGround.AWG, GroundWire), "/harness/umbilical_wire/ground_awg"); f != nil {
		return f
	}
	return a.over(GroundWire, a.s.partAmps("car_ground"), a.rating.car(h.Runs.CarGround.AWG), "/harness/ground/wire/awg")
}

func (a *assessment) over(what Function, amps, most float64, field string) *finding.Finding {
	if most == 0 || unit.Round9(amps) <= most {
		return nil
	}
	f := found("plan.wire-overloaded", finding.NoGo, "plan.wire_overloaded", finding.Params{
		"feed": feedWord(what), "amps": finding.Num(amps, "A"), "most": finding.Num(most, "A"),
	}, solved, parts.AmpacityOrigin().Basis(), parts.BundleOrigin().Basis())
	f.Fields, f.Remedy = []string{field, "/harness/connector/contact_a"}, finding.Advise("plan.wire_overloaded.remedy", nil)
	return f
}

// The thinnest wires of 33 CFR 183.425: alone, and inside a sheath.
const thinnestAlone, thinnestSheathed = 16, 18

// thin finds wires thinner than a rule for boats allows.
func thin(a *assessment) *finding.Finding {
	runs := &a.s.h.Runs
	for _, w := range [...]struct {
		awg, thinnest int
		run, field    string
	}{
		{runs.Umbilical.AWG, thinnestSheathed, "plan.run.umbilical", "/harness/umbilical_wire/awg"},
		{runs.Car.AWG, thinnestAlone, "plan.run.car", "/harness/car_wire/awg"},
		{runs.CarGround.AWG, thinnestAlone, "plan.run.ground", "/harness/ground/wire/awg"},
		{runs.Jumper.AWG, thinnestAlone, "plan.run.jumper", "/harness/jumper_wire/awg"},
	} {
		if w.awg > w.thinnest {
			f := found("plan.wire-thin", finding.Mind, "plan.wire_thin", finding.Params{
				"run": finding.Word(w.run), "awg": finding.Num(float64(w.awg), ""), "thinnest": finding.Num(float64(w.thinnest), ""),
			}, parts.AmpacityOrigin().Basis())
			f.Decides, f.Fields = false, []string{w.field}
			return f
		}
	}
	return nil
}

// unsuited holds the car's own lamps against an approach that feeds them.
func unsuited(a *assessment) *finding.Finding {
	h, c := &a.s.h, &a.r.Towed.Circuits
	if h.Added() {
		return nil
	}
	facts := []struct {
		is          *bool
		field, says string
		verdict     finding.Verdict
	}{
		{c.GroundSwitched, "/towed/circuits/ground_switched", "plan.unsuited_ground", finding.NoGo},
		{c.Bus, "/towed/circuits/bus", "plan.unsuited_bus", finding.NoGo},
		{c.PWM, "/towed/circuits/pwm", "plan.unsuited_pwm", finding.NoGo},
		{c.Monitored, "/towed/circuits/monitored", "plan.unsuited_monitored", finding.Mind},
	}
	if h.Approach == rig.RelayBypass {
		// Relays hand the whole lamp over, so how the car drives it does not matter;
		// that the lamp is missed, and on which side it is switched, does.
		facts = append(facts[:1], facts[3])
	}
	var unknown []string
	for _, x := range facts {
		switch {
		case rig.Is(x.is, true):
			f := found("plan.unsuited", x.verdict, x.says, nil, practice)
			f.Fields, f.Remedy = []string{x.field, "/harness/approach"}, finding.Advise("plan.unsuited.remedy", nil)
			return f
		case x.is == nil:
			unknown = append(unknown, x.field)
		}
	}
	if unknown == nil {
		return nil
	}
	f := found("plan.unsuited", finding.FindOut, "plan.unsuited_unknown", nil, practice)
	f.Fields, f.Remedy = unknown, finding.Advise("plan.unsuited_unknown.remedy", nil)
	return f
}

// onItsLeads is the heat of a diode without a heat spreader.
var onItsLeads = finding.Basis{Kind: finding.Standard, Reference: "data sheet of the JEDEC type 1N5822: 40 °C a watt from junction to air on its leads; silicon may run to 150 °C (from memory), Schottky to 125 °C", Known: "medium"}
