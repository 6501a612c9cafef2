package battery

import (
	"math"

	"pintail/api/supply"
)

// cell is the battery at one end of what its figures allow.
type cell struct {
	ah     float64 // in it when full, at the temperature of the day
	rated  float64 // of that, what a start is counted in
	rateA  float64 // the current of its rating, amperes
	k      float64 // Peukert's exponent
	ohm    float64 // inside it
	accept float64 // the most it takes, amperes
	keep   float64 // of what goes in, the share that comes out again
	share  float64 // of a full charge

	// lastOut and lastFall are the last answer of fall: most steps ask it again.
	lastOut, lastFall float64
}

// To charge, the voltage must be above that at rest by riseEmpty, and by riseFull
// more as it fills: 13.5 V for a full battery. Our judgment, after the float
// voltages in use.
const riseEmpty, riseFull = 0.4, 0.4

func rise(share float64) float64 { return riseEmpty + riseFull*share }

// source is what feeds the battery and its loads: the charge line, or the car's
// own alternator.
type source struct {
	volts float64 // at its far end, 0 where there is none
	diode float64 // lost in an isolator, volts
	ohm   float64 // wire and contacts, there and back
	limit float64 // the most it gives, amperes
	both  bool    // whether current may flow back into it
}

// flow is what one moment settles to.
type flow struct {
	volts   float64 // at the car's battery
	in      float64 // from the source, amperes
	battery float64 // into the battery, amperes
	state   LineState
}

// settle finds the voltage at which source, battery and load agree. Between the
// voltage at rest and that which charges, the battery takes and gives nothing: the
// source holds it.
func (c *cell) settle(s source, load float64) flow {
	rest := supply.RestedV(c.share)
	if s.volts == 0 {
		return flow{volts: rest - load*c.ohm, battery: -load, state: Draining}
	}
	given := s.volts - s.diode
	if into := c.charging(s, given, rest+rise(c.share), load); into > 0 {
		in := load + into
		return flow{volts: given - in*s.ohm - s.drop(given, in, rest+rise(c.share)+into*c.ohm), in: in, battery: into, state: Charging}
	}
	in := min((given-rest+load*c.ohm)/(s.ohm+c.ohm), s.limit)
	if !s.both {
		in = max(in, 0)
	}
	if in < load {
		return flow{volts: rest + (in-load)*c.ohm, in: in, battery: in - load, state: Draining}
	}
	f := flow{volts: given - load*s.ohm, in: load, state: Holding}
	if c.share >= 1 && f.volts >= rest+rise(1) {
		f.state = Charging // full, and kept so
	}
	return f
}

// charging is the current into the battery, not above 0 where the source does not
// charge it.
func (c *cell) charging(s source, given, takes, load float64) float64 {
	if c.share >= 1 {
		return 0
	}
	return min((given-takes+load*c.ohm)/(s.ohm+c.ohm)-load, c.accept, s.limit-load)
}

// drop is what a limiter takes of the voltage while it limits.
func (s source) drop(given, in, battery float64) float64 {
	if in < s.limit {
		return 0
	}
	return max(0, given-in*s.ohm-battery)
}

// fall is the share of the battery that a current out of it takes in an hour. At
// more than the current of its rating it takes more than flows; at less it is not
// reckoned to take less.
func (c *cell) fall(out float64) float64 {
	if out <= c.rateA {
		return out / c.ah
	}
	if out != c.lastOut {
		c.lastOut, c.lastFall = out, out/c.ah*math.Pow(out/c.rateA, c.k-1)
	}
	return c.lastFall
}
