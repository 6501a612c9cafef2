package plan

import (
	"math"
	"slices"

	"pintail/api/finding"
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// assessment is one harness solved and judged.
type assessment struct {
	r        *rig.Rig
	s        *survey
	rating   rating
	heats    []Heat
	fuses    []Fusing
	findings []finding.Finding
	// signals is how many of the findings are about signals; they come first.
	signals int
}

// assess solves a rig's harness in the steps given, near the answer of one like it
// if there is one, and judges what it does.
func assess(r *rig.Rig, steps []wiring.Step, air float64, like *survey) (*assessment, error) {
	s, err := solve(wiring.Describe(*r), steps, like)
	if err != nil {
		return nil, err
	}
	a := &assessment{r: r, s: s, rating: ratingOf(r, &s.h)}
	a.heats = s.heats(air)
	a.fuses = a.fusings()
	return a, nil
}

// shown judge which signals show, and what else the circuit lights or wakes.
var shown = []func(*assessment) *finding.Finding{
	dark, turnHidden, converter, converterMemory, turnMasked, backFeed, intoMotorhome, turnLitByBrake, plate, unsuited, interrupter,
}

// given judge what lamps, diodes, wires and fuses get.
var given = []func(*assessment) *finding.Finding{
	lowVolts, unequal, diodeHeat, leak, fuseOverWire, fuseSmall, overload, thin,
}

// recorded judge what is and is not recorded; no change of the harness clears
// them.
var recorded = []func(*assessment) *finding.Finding{
	choicesOpen, figuresTypical, fusesUnknown, contactUnknown, tailSplit, bulbFromMemory,
}

func (a *assessment) judge(by []func(*assessment) *finding.Finding) {
	for _, f := range by {
		if found := f(a); found != nil {
			a.findings = append(a.findings, *found)
		}
	}
}

func found(id string, v finding.Verdict, says string, params finding.Params, basis ...finding.Basis) *finding.Finding {
	return &finding.Finding{ID: id, Area: finding.Lamps, Verdict: v, Decides: true, Says: finding.Say(says, params), Basis: basis}
}

// dimLight is where a lamp no longer counts as lit: a fifth of its design light.
const dimLight = 0.2

// dark finds lamps that should light in a step and do not.
func dark(a *assessment) *finding.Finding {
	var f *finding.Finding
	for lamp := range a.s.lamps {
		l := &a.s.lamps[lamp]
		if !rear(l.Lens) {
			continue
		}
		for i, step := range a.s.steps {
			w := a.s.wants(step, lamp)
			if w != wantSteady && w != wantFlash || unit.Round9(a.s.bright(i, lamp).light) >= dimLight {
				continue
			}
			if f == nil {
				f = found("plan.dark", finding.NoGo, "plan.dark", finding.Params{
					"lamp": lampWord(l.ID), "step": stepWord(step), "light": percent(a.s.bright(i, lamp).light),
				}, solved)
				f.Remedy = finding.Advise("plan.dark.remedy", nil)
			}
			f.Fields = append(f.Fields, a.causes(l)...)
			f.Figures = append(f.Figures, figure("plan.lamp."+l.ID, 100*a.s.bright(i, lamp).light, "pct"))
			break
		}
	}
	if f != nil {
		f.Fields = once(f.Fields)
	}
	return f
}

// causes are the fields that may keep a lamp dark.
func (a *assessment) causes(l *wiring.Lamp) []string {
	h := &a.s.h
	switch {
	case !h.Ground:
		return []string{"/harness/feeds/ground"}
	case !l.Connected:
		return []string{lampField(l.ID)}
	case l.Job == wiring.TailJob && !h.Wires[wiring.Tail], l.Job == wiring.PlateJob && !h.Wires[wiring.Tail]:
		return []string{"/harness/feeds/tail"}
	case l.Job == wiring.TailJob && l.Lens == wiring.RightRear && !h.Jumper:
		return []string{"/harness/far_side_jumper"}
	case l.Job == wiring.StopJob && !h.Wires[wiring.Stop] && !h.Splits():
		return []string{"/harness/feeds/brake"}
	case h.Signals == rig.SeparateSignals && !h.Apart() && !h.Combines():
		return []string{"/harness/converter"}
	case l.Lens == wiring.LeftRear || l.Lens == wiring.LeftTurn:
		return []string{"/harness/feeds/left"}
	}
	return []string{"/harness/feeds/right"}
}

// lampField is the field of the rig that says whether a lamp is connected.
func lampField(id string) string {
	for _, job := range []string{"tail", "stop", "turn", "clearance"} {
		for _, side := range []string{"left", "right"} {
			if id == job+"_"+side {
				return "/harness/lamps/" + job + "/" + side
			}
		}
	}
	return "/harness/lamps/plate"
}

// steady reports whether a lamp that should flash burns on: its dim half has more
// than half the light of its bright one.
func (a *assessment) steady(step, lamp int) bool {
	bright, dim := a.s.bright(step, lamp).light, a.s.dim(step, lamp).light
	return unit.Round9(bright) >= dimLight && unit.Round9(dim) > unit.Round9(bright/2)
}

// burnsOn finds a lamp that should flash in one of the steps and burns on.
func (a *assessment) burnsOn(steps ...wiring.Step) (step, lamp int, found bool) {
	for _, t := range steps {
		i := a.s.stepIndex(t)
		if i < 0 {
			continue
		}
		for lamp := range a.s.lamps {
			if a.s.wants(t, lamp) == wantFlash && a.steady(i, lamp) {
				return i, lamp, true
			}
		}
	}
	return 0, 0, false
}

// turnHidden finds a turn signal that does not show while the driver brakes.
func turnHidden(a *assessment) *finding.Finding {
	step, lamp, hidden := a.burnsOn(wiring.StepBrakeLeft, wiring.StepBrakeRight)
	if !hidden {
		return nil
	}
	h := &a.s.h
	id, fields := "plan.turn_hidden", []string{"/harness/approach", "/harness/diodes"}
	switch {
	case h.Combines():
		id, fields = "plan.converter_hides", []string{"/harness/converter_logic"}
	case h.Signals == rig.SeparateSignals && !h.Apart():
		id, fields = "plan.no_converter", []string{"/harness/converter"}
	}
	f := found(hyphens(id), finding.NoGo, id, finding.Params{
		"lamp": lampWord(a.s.lamps[lamp].ID), "on": percent(a.s.bright(step, lamp).light), "off": percent(a.s.dim(step, lamp).light),
	}, solved, opticallyCombined)
	f.Fields, f.Remedy = fields, finding.Advise(id+".remedy", nil)
	return f
}

// converter says what is not known of a converter, or what it costs.
func converter(a *assessment) *finding.Finding {
	h := &a.s.h
	switch {
	case h.Unfit():
		f := found("plan.converter-unfit", finding.NoGo, "plan.converter_unfit", nil, asDescribed)
		f.Fields = []string{"/harness/converter", "/harness/signals", "/towed/rear_lamps"}
		return f
	case !h.Combines():
		return nil
	case !entered(h, "/harness/converter_logic"):
		f := found("plan.converter-logic", finding.FindOut, "plan.converter_logic", nil, practice)
		f.Fields, f.Remedy = []string{"/harness/converter_logic"}, finding.Advise("plan.converter_logic.remedy", nil)
		return f
	case h.Logic == rig.ConverterInhibit:
		f := found("plan.converter-inhibits", finding.Mind, "plan.converter_inhibits", nil, practice)
		f.Fields = []string{"/harness/converter_logic"}
		return f
	}
	return nil
}

// converterMemory asks for what decides whether a converter with two feeds to read
// can tell brake and turn from hazard.
func converterMemory(a *assessment) *finding.Finding {
	if !a.s.guesses() {
		return nil
	}
	f := found("plan.converter-memory", finding.FindOut, "plan.converter_memory", nil, solved, practice)
	f.Fields, f.Remedy = []string{"/harness/converter", "/harness/feeds/brake"}, finding.Advise("plan.converter_memory.remedy", nil)
	return f
}

// turnMasked finds a turn signal that the car's own stop switch holds on while
// the brake unit presses the pedal.
func turnMasked(a *assessment) *finding.Finding {
	step, lamp, masked := a.masked()
	if !masked {
		return nil
	}
	f := found("plan.turn-masked", finding.NoGo, "plan.turn_masked", finding.Params{
		"lamp": lampWord(a.s.lamps[lamp].ID), "on": percent(a.s.bright(step, lamp).light), "off": percent(a.s.dim(step, lamp).light),
	}, solved, opticallyCombined)
	f.Fields, f.Remedy = []string{"/harness/stop_switch_interrupted"}, finding.Advise("plan.turn_masked.remedy", nil)
	var unknown []string
	for _, field := range []string{"/brake_unit/presses_pedal", "/harness/car_stop_lamps_live", "/harness/stop_switch_interrupted"} {
		if !entered(&a.s.h, field) {
			unknown = append(unknown, field)
		}
	}
	if unknown != nil {
		f.Verdict, f.Says, f.Fields = finding.FindOut, finding.Say("plan.turn_masked_unknown", nil), unknown
		f.Remedy = finding.Advise("plan.turn_masked_unknown.remedy", nil)
	}
	return f
}

// stray finds the lamp that lights most where it should be dark.
func (a *assessment) stray(among func(*wiring.Lamp) bool) (step, lamp int, light float64) {
	for i, t := range a.s.steps {
		for l := range a.s.lamps {
			if a.s.wants(t, l) != wantOff || !among(&a.s.lamps[l]) {
				continue
			}
			if g := a.s.bright(i, l); g.light > light {
				step, lamp, light = i, l, g.light
			}
		}
	}
	return step, lamp, unit.Round9(light)
}

// strayLight is where a lamp that should be dark is seen to glow.
const strayLight = 0.02

// ownWires are the car's own wires by the part that joins them to a lamp, with
// what hangs on them.
var ownWires = [...]struct{ part, wakes string }{
	{"own_left", "plan.wakes.stop"}, {"own_right", "plan.wakes.stop"}, {"own_tail", "plan.wakes.tail"},
}

// backFeed finds current that runs from the motorhome into the car's own
// circuits, and what it lights and wakes there.
func backFeed(a *assessment) *finding.Finding {
	most, wakes := 0.0, ""
	for _, w := range ownWires {
		if p, ok := a.s.net.Part(w.part); ok && a.s.back[p] > most {
			most, wakes = a.s.back[p], w.wakes
		}
	}
	if unit.Round9(most) < smallestCurrent {
		return nil
	}
	f := found("plan.back-feed", finding.Mind, "plan.back_feed", finding.Params{"amps": finding.Num(most, "A"), "wakes": finding.Word(wakes)}, solved)
	f.Fields, f.Remedy = a.openPaths(), finding.Advise("plan.back_feed.remedy", nil)
	f.Figures = []finding.Figure{figure("plan.figure.back", most, "A")}
	step, lamp, light := a.stray(func(l *wiring.Lamp) bool { return rear(l.Lens) && l.Job != wiring.TurnJob || l.Lens == wiring.HighStop })
	if light < strayLight {
		return f
	}
	f.Verdict = finding.NoGo
	f.Says = finding.Say("plan.back_feed_shows", finding.Params{
		"amps": finding.Num(most, "A"), "wakes": finding.Word(wakes), "lamp": lampWord(a.s.lamps[lamp].ID),
		"light": percent(light), "step": stepWord(a.s.steps[step]),
	})
	return f
}

// openPaths are the fields that say that nothing keeps a feed out of the car.
func (a *assessment) openPaths() []string {
	h := &a.s.h
	if h.Approach != rig.SteeringDiodes {
		return []string{"/harness/approach"}
	}
	var fields []string
	for _, w := range ownWires {
		if f := ownFeed(h, w.part); !h.CarDiodes[f] {
			fields = append(fields, "/harness/diodes/"+f.Name()+"/car")
		}
	}
	return once(fields)
}

// intoMotorhome finds current that runs from the car's battery back into the
// motorhome while its brake pedal is down.
func intoMotorhome(a *assessment) *finding.Finding {
	most, feed := 0.0, ""
	for i := range drops {
		if p, ok := a.s.net.Part("feed_" + drops[i].name); ok && a.s.pedal[p] > most {
			most, feed = a.s.pedal[p], lanes[drops[i].lane].feed.Name()
		}
	}
	// Added lamps and relays leave the car's battery no way to a feed; what little
	// runs back there comes from the ground, which its own current lifts.
	if a.s.h.Added() || a.s.h.Approach == rig.RelayBypass || unit.Round9(most) < smallestCurrent {
		return nil
	}
	f := found("plan.into-motorhome", finding.Mind, "plan.into_motorhome", finding.Params{"amps": finding.Num(most, "A"), "feed": finding.Word("plan.feed." + feed)}, solved)
	f.Fields, f.Remedy = []string{"/harness/diodes/" + feed + "/feed"}, finding.Advise("plan.into_motorhome.remedy", nil)
	return f
}

// turnLitByBrake finds turn lamps that braking lights, in a car that keeps them
// apart.
func turnLitByBrake(a *assessment) *finding.Finding {
	_, lamp, light := a.stray(func(l *wiring.Lamp) bool { return l.Job == wiring.TurnJob })
	if light < strayLight || a.s.h.Splits() {
		return nil
	}
	f := found("plan.turn-lit-by-brake", finding.Mind, "plan.turn_lit_by_brake", finding.Params{"lamp": lampWord(a.s.lamps[lamp].ID), "light": percent(light)}, solved)
	f.Fields = []string{"/harness/lamps/turn", "/harness/converter"}
	f.Remedy = finding.Advise("plan.turn_lit_by_brake.remedy", nil)
	return f
}

// worst is the filament lamp at the rear that gets the least of its design
// voltage in one of the steps while it should be and is lit, -1 if none is.
func (s *survey) worst(steps []wiring.Step) (lamp int, g get, share float64) {
	lamp = -1
	for i := range s.lamps {
		l := &s.lamps[i]
		if !rear(l.Lens) || !l.Connected || l.LED {
			continue
		}
		if least := s.lowest(i, steps); least != nil && unit.Round9(least.light) >= strayLight {
			if part := math.Abs(least.volts) / l.Volts; lamp < 0 || part < share {
				lamp, g, share = i, *least, part
			}
		}
	}
	return lamp, g, unit.Round9(share)
}

// lowVolts holds the lamps to the yard-stick of California.
func lowVolts(a *assessment) *finding.Finding {
	lamp, g, share := a.s.worst(a.s.steps)
	if lamp < 0 {
		return nil
	}
	l := &a.s.lamps[lamp]
	params := finding.Params{
		"lamp": lampWord(l.ID), "volts": finding.Num(g.volts, "V"), "share": percent(share), "light": percent(g.light),
		"want": finding.Num(parts.YardStick*l.Volts, "V"),
	}
	f := found("plan.volts", finding.OK, "plan.volts_ok", params, solved, yardStick)
	if share < parts.YardStick {
		f = found("plan.low-volts", finding.Mind, "plan.low_volts", params, solved, yardStick)
		f.Remedy = finding.Advise("plan.low_volts.remedy", nil)
		f.Fields = []string{"/harness/car_wire", "/harness/diodes/kind", "/harness/ground"}
	}
	f.Figures = []finding.Figure{figure("plan.figure.volts", g.volts, "V"), figure("plan.figure.light", 100*g.light, "pct")}
	return f
}

// alikeLight is how much of the other side's light a lamp must give to look
// alike: eyes beside each other tell a quarter. From memory.
const alikeLight = 0.75

// unequal compares left with right.
func unequal(a *assessment) *finding.Finding {
	for _, pair := range [...][2]string{{"tail_left", "tail_right"}, {"stop_left", "stop_right"}, {"turn_left", "turn_right"}} {
		l, r := a.s.lamp(pair[0]), a.s.lamp(pair[1])
		if l < 0 || r < 0 || !a.s.lamps[l].Connected || !a.s.lamps[r].Connected {
			continue
		}
		left, right := a.s.lowest(l, a.s.steps), a.s.lowest(r, a.s.steps)
		if left == nil || right == nil || left.light < dimLight || right.light < dimLight {
			continue
		}
		weak, strong, id := left.light, right.light, pair[0]
		if strong < weak {
			weak, strong, id = strong, weak, pair[1]
		}
		if unit.Round9(weak/strong) < alikeLight {
			f := found("plan.unequal", finding.Mind, "plan.unequal", finding.Params{"lamp": lampWord(id), "weak": percent(weak), "strong": percent(strong)}, solved, sideBySide)
			f.Fields, f.Remedy = []string{"/harness/jumper_wire", "/harness/ground", "/harness/bulbs"}, finding.Advise("plan.unequal.remedy", nil)
			return f
		}
	}
	return nil
}

// plate says whether the plate lamp is part of the harness.
func plate(a *assessment) *finding.Finding {
	if a.s.h.Plate {
		return nil
	}
	f := found("plan.plate", finding.Mind, "plan.plate_dark", nil, asDescribed)
	f.Decides = false
	f.Fields, f.Remedy = []string{"/harness/lamps/plate"}, finding.Advise("plan.plate_dark.remedy", nil)
	if !entered(&a.s.h, "/harness/lamps/plate") {
		f.Verdict, f.Says, f.Remedy = finding.FindOut, finding.Say("plan.plate_unknown", nil), nil
	}
	return f
}

func stepWord(s wiring.Step) finding.Param { return finding.Word("plan.step." + string(s)) }

func percent(share float64) finding.Param { return finding.Num(100*share, "pct") }

func figure(label string, v float64, unitName string) finding.Figure {
	return finding.Figure{Label: label, Value: finding.Num(v, unitName)}
}

// hyphens turns a message id into a finding's id.
func hyphens(id string) string {
	b := []byte(id)
	for i := range b {
		if b[i] == '_' {
			b[i] = '-'
		}
	}
	return string(b)
}

// once is a list with each of its members once, in the order they came.
func once(all []string) []string {
	var kept []string
	for _, s := range all {
		if !slices.Contains(kept, s) {
			kept = append(kept, s)
		}
	}
	return kept
}

var (
	solved      = finding.Basis{Kind: finding.Computed, Reference: "this harness solved as a circuit; figures not recorded are typical ones"}
	asDescribed = finding.Basis{Kind: finding.Computed, Reference: "the harness as recorded in the rig"}
	practice    = finding.Basis{Kind: finding.Practice, Reference: "common practice of the trade"}
	sideBySide  = finding.Basis{Kind: finding.Memory, Reference: "side by side, eyes tell about a quarter of the light", Known: "low"}
	// yardStick is read in the code; it is nobody else's rule.
	yardStick = finding.Basis{Kind: finding.Statute, Reference: "California Vehicle Code 24252(b): 85 % of the bulb's design voltage, engine running", Known: "high"}
	// opticallyCombined is the rule behind FMVSS 108's wording, read in the
	// agency's letters.
	opticallyCombined = finding.Basis{Kind: finding.Standard, Reference: "49 CFR 571.108 (SAE J586): a stop signal may not come on in the lamp that is flashing"}
)
