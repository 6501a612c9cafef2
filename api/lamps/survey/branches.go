package survey

import (
	"math"
	"slices"

	"pintail/api/circuit"
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/sorting"
)

// Job is what a pin is fed for.
type Job string

// The jobs.
const (
	TailJob   Job = "tail"
	TurnJob   Job = "turn"
	StopJob   Job = "stop"
	ChargeJob Job = "charge"
)

// Values lists the jobs.
func (Job) Values() []string { return []string{"tail", "turn", "stop", "charge"} }

// Branch is one way through the motorhome, from the source to a pin.
type Branch struct {
	Pin Pin `json:"pin"`
	Job Job `json:"job"`
	// Reading is the entry that it was solved from.
	Reading int `json:"reading"`
	// OpenV and LoadedV are the volts it was solved from, A the load's amperes.
	OpenV   *float64 `json:"open_v,omitzero"`
	LoadedV float64  `json:"loaded_v"`
	A       float64  `json:"a"`
	// Ohm is the resistance, LowOhm and HighOhm bound it by the errors of meter and
	// load. Without an open voltage only LowOhm is known: against the highest
	// voltage read anywhere with the engine in that state.
	Ohm     *float64 `json:"ohm,omitzero"`
	LowOhm  float64  `json:"low_ohm"`
	HighOhm *float64 `json:"high_ohm,omitzero"`
	// OwnLampsA are the amperes of the motorhome's own lamps at 12.8 V, where the
	// volts they cost show.
	OwnLampsA *float64 `json:"own_lamps_a,omitzero"`
}

// way is a branch with what it is judged by.
type way struct {
	Branch
	ground *float64 // the ohms of the socket's ground that are in it
	short  *float64 // volts that are missing with nothing connected
}

// What is taken where nobody says otherwise: a test lamp of 2 A, a meter that is
// off by 1 % and by two of its last digits. A lamp of a given rating may draw a
// tenth more or less, a clamp or meter in series is off by 3 %. Judgement, from
// the catalogues' tolerances and common meters.
const (
	usualLoadA    = 2.0
	usualLoadV    = 12.8
	usualMeterPct = 1.0
	usualMeterV   = 0.02
	lampShare     = 0.10
	clampShare    = 0.03
)

// fed is the voltage from which a pin counts as fed, volts: stray volts of a meter
// of 10 megohm are less, and a test lamp that still glows leaves more.
const fed = 4

// soundOhm is the most a sound way from source to socket has, ohms. More costs a
// stop lamp of 2.1 A a fifth of its light (27 % a volt). Judgement; 40 ft of
// 14 AWG with switch and fuse have 0.13.
const soundOhm = 0.35

// leastOwn is the least that counts as lamps of the motorhome's own, amperes: a
// marker lamp of 5 W has 0.35.
const leastOwn = 0.25

// filamentRatio is the cold resistance of a filament by its hot one, as in the
// model of the car's lamps.
const filamentRatio = 1.0 / 12

func orElse(v *float64, usual float64) float64 {
	if v == nil {
		return usual
	}
	return math.Abs(*v)
}

func (s *Socket) lamp() circuit.FilamentModel {
	return circuit.FilamentModel{Volts: orElse(s.Load.V, usualLoadV), Amps: orElse(s.Load.A, usualLoadA), ColdRatio: filamentRatio}
}

// off is how far the difference of two readings may be off: the meter's gain on
// the difference, and its last digits twice.
func (s *Socket) off(difference float64) float64 {
	return orElse(s.Meter.Pct, usualMeterPct)/100*math.Abs(difference) + 2*orElse(s.Meter.V, usualMeterV)
}

// job is what a pin is fed for in a state, "" where it should have no voltage or
// where either of two may feed it.
func job(pin Pin, state Switches, signals rig.Signals) Job {
	side := map[Pin][]Switches{LeftPin: {Left, TailLeft, Hazard, BrakeLeft}, RightPin: {Right, TailRight, Hazard, BrakeRight}}
	other := map[Pin]Switches{LeftPin: BrakeRight, RightPin: BrakeLeft}
	brakes := []Switches{Brake, TailBrake, BrakeLeft, BrakeRight, HazardBrake}
	switch pin {
	case TailPin:
		if slices.Contains([]Switches{Tail, TailBrake, TailLeft, TailRight}, state) {
			return TailJob
		}
	case LeftPin, RightPin:
		combined := signals == rig.CombinedSignals
		switch {
		case slices.Contains(side[pin], state), state == HazardBrake && signals == rig.SeparateSignals:
			return TurnJob
		case combined && (state == Brake || state == TailBrake || state == other[pin]):
			return StopJob
		}
	case StopPin:
		if slices.Contains(brakes, state) {
			return StopJob
		}
	case ChargePin:
		return ChargeJob
	}
	return ""
}

// volts is the higher of the two voltages of a reading, and whether there is one.
func (r *SocketReading) volts() (float64, bool) {
	return max(orElse(r.OpenV, 0), orElse(r.LoadedV, 0)), r.OpenV != nil || r.LoadedV != nil
}

func (r *SocketReading) live() bool {
	v, read := r.volts()
	return read && v >= fed
}

func (r *SocketReading) dead() bool {
	v, read := r.volts()
	return read && v < fed
}

// solve works out one reading with a load, nil where it has none.
func (s *Socket) solve(at int, j Job) *way {
	r := &s.Readings[at]
	if r.LoadedV == nil {
		return nil
	}
	loaded := math.Abs(*r.LoadedV)
	b := &way{Branch: Branch{Pin: r.Pin, Job: j, Reading: at, LoadedV: loaded}}
	share := lampShare
	b.A = s.lamp().At(loaded)
	if r.LoadA != nil && *r.LoadA != 0 {
		b.A, share = math.Abs(*r.LoadA), clampShare
	}
	if b.A < 1e-3 {
		return nil // the load draws nothing that a clamp could tell
	}
	if r.GroundV != nil {
		ohm := math.Abs(*r.GroundV) / b.A
		b.ground = &ohm
	}
	if r.OpenV == nil {
		top := s.highest(r.Engine)
		b.LowOhm = milli(max(0, (top-loaded-s.off(top-loaded))/(b.A*(1+share))))
		b.A = milli(b.A)
		return b
	}
	open := math.Abs(*r.OpenV)
	b.OpenV = &open
	lost, off := open-loaded, s.off(open-loaded)
	if supply, ok := s.supply(r); ok {
		short := supply - open
		b.short = &short
		if short > 2*s.off(short) {
			// The motorhome's own lamps draw their current through the same ohms: less of
			// it once the load pulls the voltage down.
			own := circuit.FilamentModel{Volts: usualLoadV, Amps: 1, ColdRatio: filamentRatio}
			perAmp := short / own.At(open) // ohms, by the own lamps' amperes
			ohm := (supply - loaded - perAmp*own.At(loaded)) / b.A
			if ohm > 0 {
				lost = ohm * b.A
				if amps := milli(perAmp / ohm); amps > leastOwn {
					b.OwnLampsA = &amps
				}
			}
		}
	}
	ohm, high := milli(max(0, lost/b.A)), milli(max(0, (lost+off)/(b.A*(1-share))))
	b.Ohm, b.HighOhm, b.LowOhm = &ohm, &high, milli(max(0, (lost-off)/(b.A*(1+share))))
	b.A = milli(b.A)
	return b
}

// highest is the highest voltage read anywhere with the engine in that state.
func (s *Socket) highest(engine *bool) float64 {
	top := 0.0
	for i := range s.Readings {
		r := &s.Readings[i]
		if rig.Is(r.Engine, true) == rig.Is(engine, true) {
			v, _ := r.volts()
			top = max(top, v)
		}
	}
	return top
}

// supply is the source's voltage during a reading: read in the same state, or in
// any with the engine alike.
func (s *Socket) supply(r *SocketReading) (v float64, ok bool) {
	for i := range s.Readings {
		x := &s.Readings[i]
		if x.Pin != SupplyPin || rig.Is(x.Engine, true) != rig.Is(r.Engine, true) {
			continue
		}
		if read, given := x.volts(); given && (!ok || x.State == r.State) {
			v, ok = read, true
		}
	}
	return v, ok
}

// branches solves every way that was read with a load, from the first reading of
// each in the order of the switches' list that has an open voltage too, with the
// engine running before at rest.
func (w *worker) branches(s *Socket, signals rig.Signals) []*way {
	var all []*way
	for _, pin := range []Pin{TailPin, LeftPin, RightPin, StopPin, ChargePin} {
		for _, j := range []Job{TailJob, TurnJob, StopJob, ChargeJob} {
			var solved []*way
			for at := range s.Readings {
				if r := &s.Readings[at]; r.Pin == pin && r.live() && job(pin, r.State, signals) == j && !w.left[at] {
					if b := s.solve(at, j); b != nil {
						solved = append(solved, b)
					}
				}
			}
			if best := w.best(s, solved); best != nil {
				all = append(all, best)
			}
		}
	}
	return all
}

func (w *worker) best(s *Socket, solved []*way) *way {
	if len(solved) == 0 {
		return nil
	}
	order := Switches("").Values()
	rank := func(b *way) int {
		r, n := &s.Readings[b.Reading], 0
		if b.Ohm == nil {
			n = 4 * len(order)
		}
		if !rig.Is(r.Engine, true) {
			n += 2 * len(order)
		}
		return n + slices.Index(order, string(r.State))
	}
	sorting.By(solved, func(a, b *way) int { return rank(a) - rank(b) })
	best := solved[0]
	for _, b := range solved[1:] {
		if best.HighOhm != nil && b.HighOhm != nil && (b.LowOhm > *best.HighOhm+leastMore || best.LowOhm > *b.HighOhm+leastMore) {
			w.contradiction("survey.clash_ohm", finding.Params{
				"pin": best.Pin.word(), "job": best.Job.word(), "one": finding.Num(*best.Ohm, "ohm"), "other": finding.Num(*b.Ohm, "ohm"),
			})
			break
		}
	}
	return best
}

// leastMore is how many ohms two ways must differ by, beyond what the meter may be
// off, to count as different.
const leastMore = 0.1

// excess is what one way has more than another: ohms, and the bounds that the
// errors leave. Without open voltages the bound below is all: the way that loses
// more also carries less current, so it has at least its lost volts by its own
// current more.
func excess(s *Socket, a, b *way) (e Ohms, more bool) {
	if a == nil || b == nil {
		return e, false
	}
	if a.Ohm != nil && b.Ohm != nil {
		e = Ohms{Low: milli(max(0, a.LowOhm-*b.HighOhm))}
		ohm, high := milli(*a.Ohm-*b.Ohm), milli(*a.HighOhm-b.LowOhm)
		e.Ohm, e.High = &ohm, &high
		return e, e.Low > leastMore
	}
	ra, rb := &s.Readings[a.Reading], &s.Readings[b.Reading]
	if rig.Is(ra.Engine, true) != rig.Is(rb.Engine, true) {
		return e, false
	}
	share := lampShare
	if ra.LoadA != nil {
		share = clampShare
	}
	lost := b.LoadedV - a.LoadedV
	e = Ohms{Low: milli(max(0, (lost-s.off(lost))/(a.A*(1+share))))}
	return e, e.Low > leastMore
}

// Ohms is a resistance with its bounds; without Ohm and High only the least is
// known.
type Ohms struct {
	Ohm  *float64
	Low  float64
	High *float64
	// Whole is true for all that a way has, false for what it has too much.
	Whole bool
}
