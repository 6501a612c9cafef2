package survey

import (
	"math"
	"slices"

	"pintail/api/finding"
	"pintail/api/rig"
)

func (p Pin) word() finding.Param      { return finding.Word("survey.pin." + string(p)) }
func (j Job) word() finding.Param      { return finding.Word("survey.job." + string(j)) }
func (w Where) word() finding.Param    { return finding.Word("survey.where." + string(w)) }
func (s Switches) word() finding.Param { return finding.Word("survey.state." + string(s)) }

// socket works out a survey of the motorhome's socket.
func (w *worker) socket(s *Socket) {
	w.clashes(s)
	signals := w.signals(s)
	effective := signals
	if effective == "" {
		effective = w.was.Signals
	}
	w.crossed(s)
	if effective == rig.CombinedSignals {
		w.hazard(s)
	}
	if s.Converter != "" {
		word(w, "/harness/converter", s.Converter, "survey.why.told", func(r *rig.Rig) *rig.Converter { return &r.Harness.Converter })
	}
	all := w.branches(s, effective)
	for _, b := range all {
		w.report.Branches = append(w.report.Branches, b.Branch)
	}
	w.supplied(s)
	w.sources(ways{s, all})
	w.chassis(all)
	w.charge(s)
	w.faults(s, all, effective)
	if signals != "" || w.rig.Harness.Signals != "" {
		w.dead(s, effective) // else a turn pin without stop may be as it should be
	}
	fields := []string{"/harness/signals", "/towing/circuits/supply_v"}
	feeds := []string{"tail", "left", "right"}
	if effective == rig.SeparateSignals {
		feeds = append(feeds, "stop")
	} else {
		fields = append(fields, "/towing/circuits/hazard_and_brake")
	}
	for _, feed := range feeds {
		fields = append(fields, "/towing/circuits/"+feed+"/ohm", "/towing/circuits/"+feed+"/tapped")
	}
	w.open("survey.socket-open", fields...)
}

// clashes leaves out readings that cannot be: a pin that shows more under load
// than without, and two of one state that do not agree.
func (w *worker) clashes(s *Socket) {
	for at := range s.Readings {
		r := &s.Readings[at]
		if r.OpenV != nil && r.LoadedV != nil {
			if open, loaded := math.Abs(*r.OpenV), math.Abs(*r.LoadedV); loaded-open > s.off(loaded-open) {
				w.left[at] = true
				w.contradiction("survey.clash_loaded", finding.Params{"pin": r.Pin.word(), "state": r.State.word(), "open": finding.Num(open, "V"), "loaded": finding.Num(loaded, "V")})
			}
		}
		for k := range at {
			o := &s.Readings[k]
			if r.same(o) && !w.left[k] && !w.left[at] && (s.apart(r.OpenV, o.OpenV) || s.apart(r.LoadedV, o.LoadedV)) {
				w.left[k], w.left[at] = true, true
				w.contradiction("survey.clash_twice", finding.Params{"pin": r.Pin.word(), "state": r.State.word()})
			}
		}
		if v, read := r.volts(); read && v >= fed && r.State == AllOff && r.Pin != ChargePin && r.Pin != SupplyPin {
			w.contradiction("survey.live_off", finding.Params{"pin": r.Pin.word(), "v": finding.Num(v, "V")})
		}
	}
}

// apart reports whether two readings of one thing differ by more than the meter
// and a supply that wanders by half a volt.
func (s *Socket) apart(a, b *float64) bool {
	const wander = 0.5
	return a != nil && b != nil && math.Abs(math.Abs(*a)-math.Abs(*b)) > wander+s.off(*a)
}

// signals decides from the brake pedal alone whether stop comes on the turn pins.
func (w *worker) signals(s *Socket) rig.Signals {
	var live, dead, stop bool
	for at := range s.Readings {
		r := &s.Readings[at]
		if w.left[at] || r.State != Brake && r.State != TailBrake {
			continue
		}
		switch r.Pin {
		case LeftPin, RightPin:
			live, dead = live || r.live(), dead || r.dead()
		case StopPin:
			stop = stop || r.live()
		}
	}
	var found rig.Signals
	switch {
	case live:
		found = rig.CombinedSignals
	case dead && stop:
		found = rig.SeparateSignals
	case dead:
		f := w.find("survey.no-stop", finding.FindOut, true, finding.Say("survey.no_stop", nil))
		f.Remedy, f.Fields = finding.Advise("survey.no_stop.remedy", nil), []string{"/harness/signals"}
		return ""
	default:
		return ""
	}
	word(w, "/harness/signals", found, "survey.why.signals_"+string(found), func(r *rig.Rig) *rig.Signals { return &r.Harness.Signals })
	return found
}

// crossed finds turn pins that answer to the other side's switch.
func (w *worker) crossed(s *Socket) {
	at := func(pin Pin, state Switches) *SocketReading {
		i := slices.IndexFunc(s.Readings, func(r SocketReading) bool { return r.Pin == pin && r.State == state })
		if i < 0 || w.left[i] {
			return nil
		}
		return &s.Readings[i]
	}
	for i, state := range [...]Switches{Left, Right} {
		own, other := at(sides[i], state), at(sides[1-i], state)
		switch {
		case other == nil || !other.live():
		case own != nil && own.live():
			w.contradiction("survey.both_sides", finding.Params{"state": state.word()})
		default:
			w.contradiction("survey.crossed", finding.Params{"state": state.word(), "pin": sides[1-i].word()})
		}
	}
}

// hazard decides which of hazard and brake a combined lamp shows.
func (w *worker) hazard(s *Socket) {
	var flashes, steady bool
	for at := range s.Readings {
		r := &s.Readings[at]
		if r.State == HazardBrake && (r.Pin == LeftPin || r.Pin == RightPin) && r.Flashing != nil && !w.left[at] {
			flashes, steady = flashes || *r.Flashing, steady || !*r.Flashing
		}
	}
	found := rig.HazardFlashes
	switch {
	case flashes && steady:
		w.contradiction("survey.clash_hazard", nil)
		return
	case steady:
		found = rig.BrakeSteady
	case !flashes:
		return
	}
	word(w, "/towing/circuits/hazard_and_brake", found, "survey.why.hazard", func(r *rig.Rig) *rig.HazardAndBrake { return &r.Towing.Circuits.HazardAndBrake })
}

// The voltages that the rig takes for a supply.
const lowestSupply, highestSupply = 9, 16

// supplied gives the supply with the engine running as it was read at the source;
// a pin without load shows less where lamps of the motorhome's own hang on it.
func (w *worker) supplied(s *Socket) {
	running := true
	v, ok := s.supply(&SocketReading{Engine: &running})
	if !ok || v < lowestSupply || v > highestSupply {
		return
	}
	w.number("/towing/circuits/supply_v", "V", v, "survey.why.supply", func(r *rig.Rig) **float64 { return &r.Towing.Circuits.SupplyV })
}

// sources gives the resistance of each feed and whether its socket wire hangs on
// the motorhome's own lamps. The better way to a turn pin counts: what the other
// has more is a fault.
func (w *worker) sources(x ways) {
	for _, pin := range []Pin{TailPin, LeftPin, RightPin, StopPin} {
		branch := func(r *rig.Rig) *rig.Branch {
			c := &r.Towing.Circuits
			return map[Pin]*rig.Branch{TailPin: &c.Tail, LeftPin: &c.Left, RightPin: &c.Right, StopPin: &c.Stop}[pin]
		}
		at := "/towing/circuits/" + string(pin)
		b := x.base(pin)
		if b != nil && b.Ohm != nil && *b.HighOhm > 0 && *b.Ohm <= highestOhm {
			ohm := *b.Ohm
			if b.ground != nil {
				ohm -= *b.ground
			}
			e := w.number(at+"/ohm", "ohm", max(ohm, lowestOhm), "survey.why.ohm", func(r *rig.Rig) **float64 { return &branch(r).Ohm })
			low := b.LowOhm
			e.Low, e.High = &low, b.HighOhm
		}
		tapped, why := w.tapped(x.s, pin, b)
		if why == "" {
			continue
		}
		w.yes(at+"/tapped", tapped, why, func(r *rig.Rig) **bool { return &branch(r).Tapped })
		if tapped && b != nil && b.OwnLampsA != nil && *b.OwnLampsA >= leastOwnA && *b.OwnLampsA <= mostOwnA {
			w.number(at+"/own_lamps_a", "A", *b.OwnLampsA, "survey.why.own_lamps", func(r *rig.Rig) **float64 { return &branch(r).OwnLampsA })
		}
	}
}

// The ohms and amperes that the rig takes for a branch and its lamps.
const (
	lowestOhm, highestOhm = 0.001, 50
	leastOwnA, mostOwnA   = 0.01, 20
)

// filamentOhm is the most that cold filaments of the motorhome's own lamps have
// from a pin to ground, ohms: a single bulb of 5 W has 3. openOhm is the least of a
// pin that nothing hangs on.
const filamentOhm, openOhm = 100, 1000

// shown are the amperes of own lamps that must show before their absence counts:
// less than one stop or turn lamp of 2.1 A.
const shown = 2.0

// tapped decides whether a pin hangs on the motorhome's own lamps, and says why;
// "" where nothing tells. Cold filaments to ground tell, and so do volts that are
// missing with nothing connected: only current through the branch's own ohms takes
// them.
func (w *worker) tapped(s *Socket, pin Pin, b *way) (tapped bool, why string) {
	for at := range s.Readings {
		r := &s.Readings[at]
		switch {
		case r.Pin != pin || r.RestOhm == nil || w.left[at]:
		case *r.RestOhm <= filamentOhm:
			return true, "survey.why.tapped_ohm"
		case *r.RestOhm >= openOhm:
			return false, "survey.why.own_ohm"
		}
	}
	if b == nil || b.short == nil || b.Ohm == nil {
		return false, ""
	}
	switch tolerance := 2 * s.off(*b.short); {
	case *b.short > tolerance && b.OwnLampsA != nil && *b.OwnLampsA < mostOwnA:
		return true, "survey.why.tapped_volts"
	case *b.short <= tolerance && b.LowOhm*shown > tolerance:
		return false, "survey.why.own_volts"
	}
	return false, ""
}

// chassis gives the ohms of the socket's ground.
func (w *worker) chassis(all []*way) {
	for _, b := range all {
		if b.ground != nil && b.Pin != ChargePin && *b.ground <= highestOhm {
			w.number("/harness/ground/chassis_ohm", "ohm", max(*b.ground, lowestOhm), "survey.why.ground", func(r *rig.Rig) **float64 { return &r.Harness.Ground.ChassisOhm })
			return
		}
	}
}

// charge says what the charge pin gives with key and engine on and off.
func (w *worker) charge(s *Socket) {
	source, halt := 0.0, 0.0
	var halted, keyless, dead bool
	for at := range s.Readings {
		r := &s.Readings[at]
		if r.Pin != ChargePin || w.left[at] {
			continue
		}
		v, read := r.volts()
		if !read {
			continue
		}
		switch {
		case rig.Is(r.Engine, true):
			source = max(source, v)
			dead = dead || v < fed
		case rig.Is(r.Key, false):
			halted = true
			if v >= fed {
				keyless, halt = true, max(halt, v)
			}
		}
	}
	line := func(r *rig.Rig) *rig.ChargeLine { return &r.Harness.ChargeLine }
	if source >= 10 && source <= 16 {
		w.number("/harness/charge_line/source_v", "V", source, "survey.why.charge", func(r *rig.Rig) **float64 { return &line(r).SourceV })
	}
	if keyless && halt >= 10 && halt <= 16 {
		w.number("/harness/charge_line/halt_v", "V", halt, "survey.why.charge_halt", func(r *rig.Rig) **float64 { return &line(r).HaltV })
		w.find("survey.charge-keyless", finding.Mind, false, finding.Say("survey.charge_keyless", finding.Params{"v": finding.Num(halt, "V")}))
	}
	if halted && !keyless {
		w.find("survey.charge-off", finding.OK, false, finding.Say("survey.charge_off", nil))
	}
	if dead {
		w.find("survey.charge-dead", finding.FindOut, false, finding.Say("survey.charge_dead", nil)).Remedy = finding.Advise("survey.fault.remedy", nil)
	}
}
