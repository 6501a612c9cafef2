package plan

import (
	"cmp"
	"slices"
	"strings"

	"pintail/api/finding"
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/sorting"
	"pintail/api/unit"
)

// fixes solves what would make the harness better and ranks it: first what
// clears most findings and raises fewest, then the least work, then the most
// light.
func (a *assessment) fixes(air float64) []Fix {
	all := []Fix{}
	before := a.standing()
	for i := range options {
		o := &options[i]
		if !o.applies(a) {
			continue
		}
		e := edit{rig: *a.r}
		params := o.change(&e, a)
		after, err := a.with(&e.rig, o.rewires, air)
		if err != nil {
			continue
		}
		f := Fix{ID: o.id, Effort: o.effort, Changes: e.changes, Before: before, After: after.standing(), Clears: gone(a, after), Raises: gone(after, a)}
		if f.helps() {
			f.Says = finding.Say("plan.fix."+o.id, params)
			all = append(all, f)
		}
	}
	sorting.By(all, compareFixes)
	return all
}

// with is the harness of a changed rig, solved and judged. A change that does not
// rewire it leaves the signals as they are: then only the fullest steps are solved.
func (a *assessment) with(changed *rig.Rig, rewires bool, air float64) (*assessment, error) {
	after, err := assess(changed, a.stepsFor(rewires), air, a.s)
	if err != nil {
		return nil, err
	}
	if rewires {
		after.judge(shown)
	} else {
		after.findings = slices.Clone(a.findings[:a.signals])
	}
	after.judge(given)
	return after, nil
}

// stepsFor are the fewest steps that show what a change does. With the brake unit
// on the pedal the signals matter if they are rewired, and otherwise only the heat
// of the diodes in the car's own wires, where those run hottest.
func (a *assessment) stepsFor(rewires bool) []wiring.Step {
	steps := make([]wiring.Step, 0, 8)
	steps = append(steps, fullest[0])
	if a.s.h.Apart() || rewires {
		steps = append(steps, fullest[1])
	}
	if rewires {
		steps = append(steps, telling...)
	} else if h := hottest(a.heats); h == nil || !strings.HasPrefix(h.Point, "diode_own_") {
		return steps
	}
	if step, _, masked := a.masked(); masked {
		return append(steps, a.s.steps[step])
	}
	return append(steps, wiring.StepUnitLeftAsleep)
}

// masked finds a turn signal that the car's stop switch hides.
func (a *assessment) masked() (step, lamp int, found bool) {
	return a.burnsOn(wiring.StepUnitLeftAsleep, wiring.StepUnitRightAsleep)
}

// The least change worth a line: half a per cent of the design voltage, 5 °C.
const (
	leastGain    = 0.5
	leastCooling = 5
)

// helps reports whether the change clears a finding, or lifts the worst lamp or
// cools the hottest diode by more than the least worth a line.
func (f *Fix) helps() bool {
	if len(f.Clears) > 0 {
		return len(f.Clears) >= len(f.Raises)
	}
	if len(f.Raises) > 0 {
		return false
	}
	cooler := f.Before.JunctionC != nil && f.After.JunctionC != nil && *f.Before.JunctionC-*f.After.JunctionC >= leastCooling
	return cooler || f.After.WorstPct-f.Before.WorstPct >= leastGain
}

func compareFixes(a, b Fix) int {
	return cmp.Or(
		cmp.Compare(len(b.Clears)-len(b.Raises), len(a.Clears)-len(a.Raises)),
		cmp.Compare(slices.Index(Effort("").Values(), string(a.Effort)), slices.Index(Effort("").Values(), string(b.Effort))),
		cmp.Compare(b.After.WorstPct, a.After.WorstPct),
	)
}

// standing is how well the harness does in the fullest steps.
func (a *assessment) standing() Standing {
	st := Standing{Verdict: finding.Worst(a.findings)}
	if lamp, g, share := a.s.worst(fullest); lamp >= 0 {
		st.WorstLamp, st.WorstV = a.s.lamps[lamp].ID, unit.Round9(g.volts)
		st.WorstPct, st.LightPct = unit.Round9(100*share), unit.Round9(100*g.light)
	}
	for i := range a.heats {
		h := &a.heats[i]
		p, _ := a.s.net.Part(h.Point[len("diode_"):])
		kind, _ := parts.FindDiode(string(h.Kind))
		if c := unit.Round9(kind.JunctionAt(h.AirC, a.s.full[p])); st.JunctionC == nil || c > *st.JunctionC {
			st.JunctionC = &c
		}
	}
	return st
}

// gone lists the findings of one assessment that are neither OK nor in the other.
func gone(from, to *assessment) []string {
	ids := []string{}
	for i := range from.findings {
		f := &from.findings[i]
		if f.Verdict != finding.OK && !slices.ContainsFunc(to.findings, func(g finding.Finding) bool {
			return g.ID == f.ID && !f.Verdict.Worse(g.Verdict)
		}) {
			ids = append(ids, f.ID)
		}
	}
	return ids
}

// edit is a rig being changed, with a record of what was changed.
type edit struct {
	rig     rig.Rig
	changes []FieldChange
}

func (e *edit) awg(into **int, field string, awg int) {
	v := float64(awg)
	*into = &awg
	e.changes = append(e.changes, FieldChange{Field: field, Number: &v})
}

func (e *edit) ohm(into **float64, field string, ohm float64) {
	*into = &ohm
	e.changes = append(e.changes, FieldChange{Field: field, Number: &ohm})
}

func (e *edit) is(into **bool, field string, is bool) {
	*into = &is
	e.changes = append(e.changes, FieldChange{Field: field, Is: &is})
}

func (e *edit) feet(into **unit.Length, field string, ft float64) {
	q := unit.FT(ft)
	*into = &q
	e.changes = append(e.changes, FieldChange{Field: field, LengthFT: &ft})
}

func word[T ~string](e *edit, into *T, field string, v T) {
	*into = v
	e.changes = append(e.changes, FieldChange{Field: field, Word: string(v)})
}

// option is one change that may help.
type option struct {
	id     string
	effort Effort
	// rewires is true where the change may alter which signals show.
	rewires bool
	applies func(*assessment) bool
	change  func(*edit, *assessment) finding.Params
}

// thickestWorthwhile: most contacts of connectors take no thicker wire.
const thickestWorthwhile = 10

// Grounds and contacts in good order, in ohms.
const (
	cleanContact  = 0.010
	cleanTerminal = 0.005
	cleanHousing  = 0.010
	shortGround   = 1.0 // ft from the connector to the body
)

var options = [...]option{
	{"ground_wire", Little, true, noGround, func(e *edit, _ *assessment) finding.Params {
		e.is(&e.rig.Harness.Feeds.Ground, "/harness/feeds/ground", true)
		return nil
	}},
	{"feeds", Some, true, feedMissing, func(e *edit, a *assessment) finding.Params {
		f := &e.rig.Harness.Feeds
		for _, x := range []struct {
			into **bool
			feed wiring.Feed
			at   string
		}{{&f.Tail, wiring.Tail, "tail"}, {&f.Left, wiring.Left, "left"}, {&f.Right, wiring.Right, "right"}} {
			if !a.s.h.Wires[x.feed] {
				e.is(x.into, "/harness/feeds/"+x.at, true)
			}
		}
		return nil
	}},
	{"jumper", Little, true, func(a *assessment) bool { return !a.s.h.Jumper }, func(e *edit, _ *assessment) finding.Params {
		e.is(&e.rig.Harness.FarSideJumper, "/harness/far_side_jumper", true)
		return nil
	}},
	{"plate", Little, true, func(a *assessment) bool { return rig.Is(a.r.Harness.Lamps.Plate, false) }, func(e *edit, _ *assessment) finding.Params {
		e.is(&e.rig.Harness.Lamps.Plate, "/harness/lamps/plate", true)
		return nil
	}},
	{"converter", Some, true, hidesByConverter, func(e *edit, _ *assessment) finding.Params {
		word(e, &e.rig.Harness.Converter, "/harness/converter", rig.CombinesSignals)
		word(e, &e.rig.Harness.ConverterLogic, "/harness/converter_logic", rig.ConverterXOR)
		return nil
	}},
	{"interrupter", Some, true, masked, func(e *edit, _ *assessment) finding.Params {
		e.is(&e.rig.Harness.StopSwitchInterrupted, "/harness/stop_switch_interrupted", true)
		e.is(&e.rig.Harness.InterrupterFailSafe, "/harness/interrupter_fail_safe", true)
		return nil
	}},
	{"fail_safe", Little, true, func(a *assessment) bool { return a.s.h.Interrupted && !a.s.h.InterrupterFailSafe }, func(e *edit, _ *assessment) finding.Params {
		e.is(&e.rig.Harness.InterrupterFailSafe, "/harness/interrupter_fail_safe", true)
		return nil
	}},
	{"diodes", Some, true, diodesMissing, completeDiodes},
	{"schottky", Little, false, func(a *assessment) bool {
		return a.s.h.Approach == rig.SteeringDiodes && a.s.h.DiodeKind == rig.Silicon
	}, func(e *edit, _ *assessment) finding.Params {
		word(e, &e.rig.Harness.Diodes.Kind, "/harness/diodes/kind", rig.Schottky)
		return nil
	}},
	{"contacts", Little, false, func(a *assessment) bool { return over(a.r.Harness.Connector.ContactOhm, cleanContact) }, func(e *edit, _ *assessment) finding.Params {
		e.ohm(&e.rig.Harness.Connector.ContactOhm, "/harness/connector/contact_ohm", cleanContact)
		return nil
	}},
	{"ground_place", Little, false, groundPoor, betterGround},
	{"car_wire", Much, false, func(a *assessment) bool { return a.s.h.Runs.Car.AWG > thickestWorthwhile }, func(e *edit, a *assessment) finding.Params {
		return carGauge(e, max(thickestWorthwhile, a.s.h.Runs.Car.AWG-2))
	}},
	{"car_wire", Much, false, func(a *assessment) bool { return a.s.h.Runs.Car.AWG > thickestWorthwhile+2 }, func(e *edit, a *assessment) finding.Params {
		return carGauge(e, max(thickestWorthwhile, a.s.h.Runs.Car.AWG-4))
	}},
	{"umbilical", Some, false, func(a *assessment) bool { return a.s.h.Runs.Umbilical.AWG > thickestWorthwhile+2 }, func(e *edit, _ *assessment) finding.Params {
		const awg, ground = 14, 12
		e.awg(&e.rig.Harness.UmbilicalWire.AWG, "/harness/umbilical_wire/awg", awg)
		e.awg(&e.rig.Harness.UmbilicalWire.GroundAWG, "/harness/umbilical_wire/ground_awg", ground)
		return finding.Params{"awg": finding.Num(awg, ""), "ground": finding.Num(ground, "")}
	}},
	{"own_output", Some, false, func(a *assessment) bool { return anyOf(a.s.h.Tapped[:]) }, ownOutputs},
	{"relay_bypass", Much, true, factoryButRelays, func(e *edit, _ *assessment) finding.Params {
		word(e, &e.rig.Harness.Approach, "/harness/approach", rig.RelayBypass)
		return nil
	}},
	{"separate_bulbs", Much, true, func(a *assessment) bool { return !a.s.h.Added() }, func(e *edit, _ *assessment) finding.Params {
		word(e, &e.rig.Harness.Approach, "/harness/approach", rig.SeparateBulbs)
		return nil
	}},
}

func noGround(a *assessment) bool { return !a.s.h.Ground }

func feedMissing(a *assessment) bool {
	w := &a.s.h.Wires
	return !w[wiring.Tail] || !w[wiring.Left] || !w[wiring.Right]
}

func hidesByConverter(a *assessment) bool {
	h := &a.s.h
	return h.Signals == rig.SeparateSignals && !h.Apart() && (!h.Combines() || h.Logic != rig.ConverterXOR)
}

func masked(a *assessment) bool {
	_, _, found := a.masked()
	return found
}

func factoryButRelays(a *assessment) bool {
	return !a.s.h.Added() && a.s.h.Approach != rig.RelayBypass
}

// diodesMissing reports whether a harness into factory lamps lacks a steering
// diode that it needs.
func diodesMissing(a *assessment) bool {
	h := &a.s.h
	if h.Approach == rig.SplicedOn {
		return true
	}
	if h.Approach != rig.SteeringDiodes {
		return false
	}
	for i := range lanes {
		if f := lanes[i].feed; a.s.has(&lanes[i]) && (!h.FeedDiodes[f] || !h.CarDiodes[f]) {
			return true
		}
	}
	return false
}

// completeDiodes puts a pair at every lamp.
func completeDiodes(e *edit, a *assessment) finding.Params {
	if a.s.h.Approach == rig.SplicedOn {
		word(e, &e.rig.Harness.Approach, "/harness/approach", rig.SteeringDiodes)
	}
	d := &e.rig.Harness.Diodes
	for i, p := range []*rig.SteeringPair{&d.Tail, &d.Left, &d.Right, &d.Stop} {
		f := wiring.Feed(i)
		if !a.s.has(&lanes[i]) {
			continue
		}
		at := "/harness/diodes/" + f.Name()
		if !a.s.h.FeedDiodes[f] {
			e.is(&p.Feed, at+"/feed", true)
		}
		if !a.s.h.CarDiodes[f] {
			e.is(&p.Car, at+"/car", true)
		}
	}
	return nil
}

// groundPoor reports whether the way back in the car is long or not clean.
func groundPoor(a *assessment) bool {
	g := &a.r.Harness.Ground
	return a.s.h.Runs.CarGround.FT > 2*shortGround || over(g.TerminalOhm, cleanTerminal) || over(g.HousingOhm, cleanHousing)
}

func betterGround(e *edit, a *assessment) finding.Params {
	g := &e.rig.Harness.Ground
	if a.s.h.Runs.CarGround.FT > 2*shortGround {
		e.feet(&g.Wire.Length, "/harness/ground/wire/length", shortGround)
	}
	if over(g.TerminalOhm, cleanTerminal) {
		e.ohm(&g.TerminalOhm, "/harness/ground/terminal_ohm", cleanTerminal)
	}
	if over(g.HousingOhm, cleanHousing) {
		e.ohm(&g.HousingOhm, "/harness/ground/housing_ohm", cleanHousing)
	}
	return nil
}

// carGauge lays feeds, jumper and ground of the car in another gauge.
func carGauge(e *edit, awg int) finding.Params {
	h := &e.rig.Harness
	e.awg(&h.CarWire.AWG, "/harness/car_wire/awg", awg)
	e.awg(&h.Ground.Wire.AWG, "/harness/ground/wire/awg", awg)
	e.awg(&h.JumperWire.AWG, "/harness/jumper_wire/awg", awg)
	return finding.Params{"awg": finding.Num(float64(awg), "")}
}

// ownOutputs feeds the socket from relays of its own.
func ownOutputs(e *edit, a *assessment) finding.Params {
	c := &e.rig.Towing.Circuits
	for i, b := range []*rig.Branch{&c.Tail, &c.Left, &c.Right, &c.Stop} {
		if f := wiring.Feed(i); a.s.h.Tapped[f] {
			e.is(&b.Tapped, "/towing/circuits/"+f.Name()+"/tapped", false)
		}
	}
	return nil
}

func over(v *float64, limit float64) bool { return v != nil && *v > limit }

func anyOf(all []bool) bool { return slices.Contains(all, true) }
