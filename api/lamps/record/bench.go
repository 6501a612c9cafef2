package record

import (
	"math"
	"slices"
	"unicode/utf8"

	"pintail/api/lamps/lighttest"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// BenchSeen is what was measured in the shop with a fused source of 12 V, without
// the motorhome.
type BenchSeen struct {
	Pins []BenchPinSeen `json:"pins,omitzero"`
	// Back is what the pins showed with each of the car's switches on.
	Back []BackFeedSeen `json:"back,omitzero"`
}

// BenchPinSeen is one pin with the source on it.
type BenchPinSeen struct {
	// Pin is its name as lamps/test gives it: tail, left, right, stop.
	Pin string `json:"pin"`
	// A is what the source gave, GroundDropV what was lost between the car's body
	// and the source.
	A           *float64   `json:"a,omitzero"`
	GroundDropV *float64   `json:"ground_drop_v,omitzero"`
	Lamps       []LampSeen `json:"lamps,omitzero"`
}

// LampSeen is the voltage over one lamp.
type LampSeen struct {
	Lamp string   `json:"lamp"`
	V    *float64 `json:"v,omitzero"`
}

// BackFeedSeen is the voltage on the pins with one of the car's switches on.
type BackFeedSeen struct {
	Switch wiring.CarSwitch `json:"switch"`
	Pins   []PinSeen        `json:"pins,omitzero"`
}

// PinSeen is the voltage on one pin.
type PinSeen struct {
	Pin string   `json:"pin"`
	V   *float64 `json:"v,omitzero"`
}

// The most entries of each list, and what a meter may show on a bench of 12 V.
const (
	maxPins  = 13
	maxLamps = 30
	highestV = 60
	highestA = 100
)

func (b *BenchSeen) check(c rig.Checker) {
	within(c.In("pins"), b.Pins, maxPins, func(p BenchPinSeen, c rig.Checker) {
		checkID(c.In("pin"), p.Pin)
		c.Number("a", p.A, -highestA, highestA)
		c.Number("ground_drop_v", p.GroundDropV, -highestV, highestV)
		within(c.In("lamps"), p.Lamps, maxLamps, func(l LampSeen, c rig.Checker) {
			checkID(c.In("lamp"), l.Lamp)
			c.Number("v", l.V, -highestV, highestV)
		})
	})
	within(c.In("back"), b.Back, len(wiring.CarSwitch("").Values()), func(f BackFeedSeen, c rig.Checker) {
		rig.Needed(c, "switch", f.Switch)
		within(c.In("pins"), f.Pins, maxPins, func(p PinSeen, c rig.Checker) {
			checkID(c.In("pin"), p.Pin)
			c.Number("v", p.V, -highestV, highestV)
		})
	})
}

// checkID refuses what can be no id of a lamp or of a pin. Which of them there are
// is for the rig to say: a record may be older than it.
func checkID(c rig.Checker, id string) {
	if id == "" {
		c.Bad("missing")
	}
	if utf8.RuneCountInString(id) > 64 {
		c.Bad("longer than 64 characters")
	}
}

// How far a reading on the bench may be from the figure expected: bulbs differ by
// a tenth in amperes, a meter is off by a few hundredths, and lengths and contacts
// are often typical ones. Judgement.
const (
	benchShareA   = 0.25
	benchMarginA  = 0.1
	benchMarginV  = 0.8
	benchMarginGV = 0.3
)

// judgeBench holds the readings of the bench to what the harness should give.
// Neither the sign of volts nor that of amperes is judged.
func judgeBench(want *lighttest.BenchTest, seen *BenchSeen, j *judged) {
	for i := range want.Pins {
		w := &want.Pins[i]
		at := slices.IndexFunc(seen.Pins, func(p BenchPinSeen) bool { return p.Pin == w.Pin })
		if at < 0 || seen.Pins[at].A == nil {
			j.missing = true
			continue
		}
		p := &seen.Pins[at]
		if off(p.A, w.A) > benchShareA*w.A+benchMarginA {
			j.wrong(w.Pin)
		}
		if p.GroundDropV != nil && math.Abs(*p.GroundDropV)-w.GroundDropV > benchMarginGV {
			j.wrong(w.Pin)
		}
		for _, l := range w.Lamps {
			if v := voltsOf(p.Lamps, l.Lamp); v == nil {
				j.missing = true
			} else if off(v, math.Abs(l.V)) > benchMarginV {
				j.wrong(l.Lamp)
			}
		}
	}
	judgeBack(want.Back, seen.Back, j)
}

// judgeBack: with a switch of the car on no pin may have voltage.
func judgeBack(want []lighttest.BackFeed, seen []BackFeedSeen, j *judged) {
	for i := range want {
		at := slices.IndexFunc(seen, func(f BackFeedSeen) bool { return f.Switch == want[i].Switch })
		if at < 0 {
			j.missing = true
			continue
		}
		for _, w := range want[i].Pins {
			k := slices.IndexFunc(seen[at].Pins, func(p PinSeen) bool { return p.Pin == w.Pin })
			switch {
			case k < 0 || seen[at].Pins[k].V == nil:
				j.missing = true
			case lighttest.Fed(*seen[at].Pins[k].V):
				j.wrong(w.Pin)
			}
		}
	}
}

func off(seen *float64, want float64) float64 { return math.Abs(math.Abs(*seen) - want) }

func voltsOf(lamps []LampSeen, id string) *float64 {
	for i := range lamps {
		if lamps[i].Lamp == id {
			return lamps[i].V
		}
	}
	return nil
}
