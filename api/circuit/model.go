package circuit

import "math"

// Temperature is that of every junction, in degrees Celsius, and thermal is
// kT/q there in volts, from the exact constants of the SI of 2019.
const (
	Temperature = 27.0

	thermal = 1.380649e-23 * (273.15 + Temperature) / 1.602176634e-19
)

// ColdRatio is a usual cold over hot resistance of a lamp's filament.
const ColdRatio = 1.0 / 12

// FilamentModel is a tungsten lamp in its steady state: it draws Amps at
// Volts, and its resistance when cold is ColdRatio of that when hot.
//
// Current follows voltage to the power 0.55, the re-rating law of lamps
// (Standard Handbook for Electrical Engineers), down to a few hundredths of
// Volts and is ohmic below: I = Amps u (u² + e²)^-0.225 with u = V/Volts and
// e = ColdRatio^(1/0.45).
type FilamentModel struct {
	Volts     float64 // 0.1 to MaxVolts
	Amps      float64 // 1e-6 to 1000
	ColdRatio float64 // 0.01 to 1; ColdRatio is usual
}

// DiodeModel is a diode after Shockley with a resistance in series:
// I = SaturationAmps (exp(Vj / (Ideality kT/q)) - 1), V = Vj + I SeriesOhms, at
// Temperature. Below Vj = -3 Ideality kT/q the current follows SPICE's own
// curve, I = -SaturationAmps (1 + (3 Ideality kT/q / (e Vj))³), so that the
// netlist is the same diode. It does not break down.
type DiodeModel struct {
	SaturationAmps float64 // 1e-30 to 0.1
	Ideality       float64 // 0.1 to 100; one junction has 1 to 2, a string the sum of its junctions
	SeriesOhms     float64 // MinOhms to 1e6
}

// LEDModel is a string of LEDs with its ballast resistor: at Volts it draws
// Amps, of which the string itself takes Threshold and the ballast the rest.
// Below Threshold the current dies away e-fold for each 1/36 of Threshold;
// backwards it does not conduct.
type LEDModel struct {
	Volts     float64 // more than Threshold, at most MaxVolts
	Amps      float64 // 1e-6 to 1000
	Threshold float64 // at least 0.1
}

// foldsBelow is how many e-folds of current lie between none and an LED's rated
// current. Three red dies of saturation 1e-16 A at 0.25 A have 35.5.
const foldsBelow = 36

// diode returns the junction and series resistance that make the lamp.
func (m LEDModel) diode() DiodeModel {
	return DiodeModel{
		SaturationAmps: m.Amps / math.Expm1(foldsBelow),
		Ideality:       m.Threshold / (foldsBelow * thermal),
		SeriesOhms:     (m.Volts - m.Threshold) / m.Amps,
	}
}

// lampCurve is a filament made ready for many evaluations.
type lampCurve struct {
	perVolt float64 // 1 / Volts
	amps    float64
	e2      float64 // e²
}

func (m FilamentModel) curve() lampCurve {
	return lampCurve{perVolt: 1 / m.Volts, amps: m.Amps, e2: math.Pow(m.ColdRatio, 2/0.45)}
}

// At is the current at v volts, amperes; backwards it is negative.
func (m FilamentModel) At(v float64) float64 {
	c := m.curve()
	amps, _ := c.at(v)
	return amps
}

// at returns current and slope at v volts.
func (l *lampCurve) at(v float64) (amps, siemens float64) {
	u := v * l.perVolt
	w := u*u + l.e2
	q := l.amps * math.Exp(-0.225*math.Log(w))
	return u * q, l.perVolt * q * (w - 0.45*u*u) / w
}

// chord returns current by voltage at v volts.
func (l *lampCurve) chord(v float64) (siemens float64) {
	u := v * l.perVolt
	return l.perVolt * l.amps * math.Exp(-0.225*math.Log(u*u+l.e2))
}

// junctionCurve is a diode made ready for many evaluations.
type junctionCurve struct {
	saturation float64
	slope      float64 // Ideality kT/q
	ohms       float64
	perSlope   float64 // 1 / slope
	start      float64 // omega's argument at 0 V
	limit      float64 // slope / ohms
	reverse    float64 // below this voltage of the whole the reverse curve holds
}

func (m DiodeModel) curve() junctionCurve {
	slope := m.Ideality * thermal
	x := m.SaturationAmps * m.SeriesOhms / slope
	return junctionCurve{
		saturation: m.SaturationAmps,
		slope:      slope,
		ohms:       m.SeriesOhms,
		perSlope:   1 / slope,
		start:      math.Log(x) + x,
		limit:      slope / m.SeriesOhms,
		reverse:    -3*slope + m.SaturationAmps*m.SeriesOhms*math.Expm1(-3),
	}
}

// at returns current and slope at v volts over junction and resistance.
func (j *junctionCurve) at(v float64) (amps, siemens float64) {
	if v < j.reverse {
		amps, siemens = j.backward(v)
	} else {
		w := omega(j.start + v*j.perSlope)
		amps, siemens = j.limit*w-j.saturation, w/(j.ohms*(1+w))
	}
	return amps + JunctionLeak*v, siemens + JunctionLeak
}

// atZero returns the slope at 0 V.
func (j *junctionCurve) atZero() (siemens float64) {
	return 1/(j.ohms+j.slope/j.saturation) + JunctionLeak
}

// lower returns where to take the curve when the voltage has come down to v and
// the tangent used last says amps there. Down an exponential Newton's method by
// voltage gains a factor e a step; by current it lands at once (W. Colon's
// alternate basis, as L. Nagel reports it in SPICE2, 1975). A current no
// junction has says that others are still too far off: half way, then.
func (j *junctionCurve) lower(v, amps float64) float64 {
	amps -= JunctionLeak * v
	to := min(v, v/2)
	if amps > -0.9*j.saturation {
		to = amps*j.ohms + j.slope*math.Log1p(amps/j.saturation)
	}
	if to > v-settled {
		return v
	}
	return to
}

// backward finds the junction's own voltage by Newton's method: the resistance
// takes next to nothing, so one or two steps do.
func (j *junctionCurve) backward(v float64) (amps, siemens float64) {
	vj := min(v+j.saturation*j.ohms, -3*j.slope)
	for range 20 {
		x := 3 * j.slope / (vj * math.E)
		x *= x * x
		amps, siemens = -j.saturation*(1+x), 3*j.saturation*x/vj
		off := vj + j.ohms*amps - v
		if math.Abs(off) <= 1e-15*math.Abs(v) {
			break
		}
		vj -= off / (1 + j.ohms*siemens)
	}
	return amps, siemens / (1 + j.ohms*siemens)
}

// omega solves w + ln w = z, the Wright omega function, which is the closed
// form of a diode with a resistance. It starts from the series about z = 1 or
// from one end and takes one or two steps of the iteration of Fritsch, Shafer
// and Crowley (Algorithm 443, Communications of the ACM 16, 1973), which is of
// order four; whether one is enough says its error term (P. Lawrence, R. Corless
// and D. Jeffrey, Algorithm 917, ACM Transactions on Mathematical Software 38,
// 2012).
func omega(z float64) float64 {
	var w float64
	switch {
	case z < -18:
		w = math.Exp(z)
		return w - w*w
	case z < -1.5:
		w = math.Exp(z)
		w /= 1 + w
	case z < 4.5:
		t := z - 1
		w = 1 + t*(1.0/2+t*(1.0/16+t*(-1.0/192+t*(-1.0/3072+t*(13.0/61440+t*(-47.0/1474560-t*(73.0/41287680)))))))
	default:
		l := math.Log(z)
		w = z - l + l/z
	}
	w, exact := fritsch(z, w)
	if !exact {
		w, _ = fritsch(z, w)
	}
	return w
}

// fritsch takes one step, and reports whether it was enough.
func fritsch(z, w float64) (next float64, exact bool) {
	r := z - w - math.Log(w)
	a := 1 + w
	b := a * (a + r*(2.0/3))
	left := math.Abs(2*w*w-8*w-1) * (r * r) * (r * r)
	return w * (1 + r/a*(b-0.5*r)/(b-r)), left < 72*1e-16*(a*a*a)*(a*a*a)
}
