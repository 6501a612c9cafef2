package plan

import (
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// choices are what makes a harness another harness: a typical one in their place
// is a guess at the car.
var choices = [...]string{"/harness/signals", "/harness/approach", "/towed/rear_lamps"}

// choicesOpen asks for the choices that nobody recorded.
func choicesOpen(a *assessment) *finding.Finding {
	var open []string
	for _, field := range choices {
		if !entered(&a.s.h, field) {
			open = append(open, field)
		}
	}
	if open == nil {
		return nil
	}
	f := found("plan.choices", finding.FindOut, "plan.choices", nil, asDescribed)
	f.Fields, f.Remedy = open, finding.Advise("plan.choices.remedy", nil)
	return f
}

// figuresTypical says how many figures are typical ones. It does not decide: the
// answer says of each which it is.
func figuresTypical(a *assessment) *finding.Finding {
	var typical []string
	for i := range a.s.h.Values {
		v := &a.s.h.Values[i]
		if v.How == wiring.Template && v.Number != nil {
			typical = append(typical, v.Field)
		}
	}
	if a.r.Harness.InsulationC == nil {
		typical = append(typical, "/harness/insulation_c")
	}
	if typical == nil {
		return nil
	}
	f := found("plan.typical", finding.FindOut, "plan.typical", finding.Params{"count": finding.Num(float64(len(typical)), "")}, asDescribed)
	f.Decides, f.Fields = false, typical
	return f
}

func fusesUnknown(a *assessment) *finding.Finding {
	var unknown []string
	for i := range a.fuses {
		if a.fuses[i].How == wiring.Template {
			unknown = append(unknown, fuseField(&a.fuses[i]))
		}
	}
	if unknown == nil {
		return nil
	}
	f := found("plan.fuses-unknown", finding.FindOut, "plan.fuses_unknown", nil, asDescribed)
	f.Decides, f.Fields = false, unknown
	return f
}

func contactUnknown(a *assessment) *finding.Finding {
	if a.rating.contact > 0 {
		return nil
	}
	f := found("plan.contact-unknown", finding.FindOut, "plan.contact_unknown", nil, practice)
	f.Decides, f.Fields = false, []string{"/harness/connector/contact_a"}
	if a.rating.connector.ID == "" {
		f.Fields = append(f.Fields, "/harness/connector/kind")
	}
	return f
}

// interrupter minds what cuts off the car's stop switch: if it does not let go
// by itself the car drives without stop lamps.
func interrupter(a *assessment) *finding.Finding {
	h := &a.s.h
	if !h.Interrupted {
		return nil
	}
	const field = "/harness/interrupter_fail_safe"
	f := found("plan.interrupter", finding.Mind, "plan.interrupter", nil, practice)
	f.Fields, f.Remedy = []string{field}, finding.Advise("plan.interrupter.remedy", nil)
	switch {
	case !entered(h, field):
		f.Verdict, f.Decides, f.Says = finding.FindOut, false, finding.Say("plan.interrupter_unknown", nil)
	case h.InterrupterFailSafe:
		return nil
	}
	return f
}

// tailSplit minds connectors with a tail contact for each side.
func tailSplit(a *assessment) *finding.Finding {
	if !a.rating.connector.SplitsTail() {
		return nil
	}
	f := found("plan.tail-split", finding.Mind, "plan.tail_split", finding.Params{"standard": finding.Plain(a.rating.connector.Standard)}, a.rating.connector.Origin.Basis())
	f.Fields = []string{"/harness/connector/kind"}
	return f
}

// bulbFromMemory says which recorded bulb has figures that nobody read.
func bulbFromMemory(a *assessment) *finding.Finding {
	b := &a.r.Harness.Bulbs
	for _, x := range [...]struct {
		bulb  rig.Bulb
		field string
	}{{b.Tail, "tail"}, {b.Stop, "stop"}, {b.Turn, "turn"}, {b.Plate, "plate"}} {
		known, ok := parts.FindBulb(string(x.bulb.ID))
		if !ok || x.bulb.A != nil || !slices.Contains([]parts.Known{parts.Memory, parts.Assumed}, known.Bright().Origin.Known) {
			continue
		}
		f := found("plan.bulb-memory", finding.FindOut, "plan.bulb_memory", finding.Params{"bulb": finding.Plain(string(x.bulb.ID))}, known.Bright().Origin.Basis())
		f.Decides, f.Fields = false, []string{"/harness/bulbs/" + x.field + "/a"}
		return f
	}
	return nil
}
