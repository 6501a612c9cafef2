package parts

import "sync"

// Junction is Shockley's diode with a series resistance:
// I = IS (exp(Vj / (N Vt)) - 1), V = Vj + I RS. IS in amperes, RS in ohms.
type Junction struct {
	IS, N, RS float64
}

// Diode is a kind of diode that a harness uses.
type Diode struct {
	ID string
	Junction
	// JunctionMax is the hottest its junction may run, in °C.
	JunctionMax float64
	// Heat is how much hotter than the air the junction runs on its leads alone,
	// in °C a watt.
	Heat float64
	// Amps is the current of its class, ReverseVolts what it must block in a car.
	Amps, ReverseVolts float64
	// LeakMilliamps is what it passes backwards when hot, at its rated voltage.
	LeakMilliamps float64
	Origin        Origin
}

// JunctionAt is the temperature of the junction in °C, in air of that many °C,
// while it turns that many watts into heat.
func (d Diode) JunctionAt(air, watts float64) float64 { return air + watts*d.Heat }

// FindDiode returns the diode of that id: silicon or schottky.
func FindDiode(id string) (Diode, bool) {
	d, ok := diodeTable()[id]
	return d, ok
}

type diodeFile struct {
	Sources []string   `json:"sources"`
	Diodes  []diodeRow `json:"diodes"`
}

type diodeRow struct {
	ID            string  `json:"id"`
	IS            float64 `json:"is"`
	N             float64 `json:"n"`
	RS            float64 `json:"rs"`
	JunctionMax   float64 `json:"junction_c"`
	Heat          float64 `json:"heat_c_per_w"`
	Amps          float64 `json:"amps"`
	ReverseVolts  float64 `json:"reverse_v"`
	LeakMilliamps float64 `json:"leak_ma,omitzero"`
	origin        `json:",inline"`
}

var diodeTable = sync.OnceValue(func() map[string]Diode {
	var f diodeFile
	read("diodes", &f)
	t := map[string]Diode{}
	for _, r := range f.Diodes {
		t[r.ID] = Diode{
			ID: r.ID, Junction: Junction{IS: r.IS, N: r.N, RS: r.RS}, JunctionMax: r.JunctionMax, Heat: r.Heat,
			Amps: r.Amps, ReverseVolts: r.ReverseVolts, LeakMilliamps: r.LeakMilliamps, Origin: r.of(f.Sources),
		}
	}
	return t
})
