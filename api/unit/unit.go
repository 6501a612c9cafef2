// Package unit holds quantities that remember the unit they were entered in.
//
// A quantity is written in JSON as an object with exactly one member, the unit:
// {"lb": 4300}, {"kg": 1950}, {"ft": 15}. It is kept as entered and compared
// exactly: inside it is a whole number of ticks so small that a thousandth of
// every unit is a whole number of them. 1 lb is 0.45359237 kg and 1 in is
// 25.4 mm by definition, so no comparison with a legal threshold ever rounds.
package unit

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// Limit on the number a person may enter, in any unit. It keeps sums of a
// hundred quantities inside an int64 of ticks; what is absurd for one field is
// for that field's own Validate to say.
const maxEntered = 500_000

// scale describes one unit of a dimension: ticks in a thousandth of the unit,
// and ticks to add for units whose zero is elsewhere (°F).
type scale struct {
	name   string
	milli  int64
	offset int64
}

// Dimension lists the units of one kind of quantity.
type Dimension interface {
	scales() []scale
}

type (
	massDimension        struct{}
	lengthDimension      struct{}
	speedDimension       struct{}
	temperatureDimension struct{}
)

// massScales: ticks of 1e-11 kg. Source: 1 lb = 0.45359237 kg exactly (NIST HB 44 App. C).
var massScales = [...]scale{{name: "lb", milli: 45_359_237}, {name: "kg", milli: 100_000_000}}

func (massDimension) scales() []scale { return massScales[:] }

// lengthScales: ticks of 1e-8 m. Source: 1 in = 25.4 mm exactly; 1 mi = 5280 ft.
var lengthScales = [...]scale{
	{name: "in", milli: 2_540}, {name: "ft", milli: 30_480}, {name: "mi", milli: 160_934_400},
	{name: "mm", milli: 100}, {name: "cm", milli: 1_000}, {name: "m", milli: 100_000}, {name: "km", milli: 100_000_000},
}

func (lengthDimension) scales() []scale { return lengthScales[:] }

// speedScales: ticks of 1e-9 km/h. Source: 1 mph = 1.609344 km/h exactly.
var speedScales = [...]scale{{name: "mph", milli: 1_609_344}, {name: "km_h", milli: 1_000_000}}

func (speedDimension) scales() []scale { return speedScales[:] }

// temperatureScales: ticks of 1/9000 °C above 0 °C. Source: °C = (°F - 32) × 5/9 exactly.
var temperatureScales = [...]scale{{name: "f", milli: 5, offset: -32 * 5_000}, {name: "c", milli: 9}}

func (temperatureDimension) scales() []scale { return temperatureScales[:] }

// Quantity is one entered or computed quantity. The zero value is zero in the
// first unit of its dimension; an absent quantity is a nil pointer.
type Quantity[D Dimension] struct {
	ticks int64
	unit  uint8
}

// The four kinds of quantity that people enter.
type (
	// Mass is entered in lb or kg.
	Mass = Quantity[massDimension]
	// Length is entered in in, ft, mi, mm, cm, m or km.
	Length = Quantity[lengthDimension]
	// Speed is entered in mph or km_h.
	Speed = Quantity[speedDimension]
	// Temperature is entered in f or c.
	Temperature = Quantity[temperatureDimension]
)

// Units returns the unit names a quantity of this kind accepts, in order.
func (Quantity[D]) Units() []string {
	var d D
	var names []string
	for _, s := range d.scales() {
		names = append(names, s.name)
	}
	return names
}

// choice lists the units in words: "lb or kg".
func (q Quantity[D]) choice() string {
	names := q.Units()
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// New returns value in the named unit. It fails when the unit is not one of
// Units, or the value is not finite, has more than three decimals, or is beyond
// 500,000 either way.
func New[D Dimension](value float64, unit string) (Quantity[D], error) {
	var d D
	for i, s := range d.scales() {
		if s.name != unit {
			continue
		}
		milli := math.Round(value * 1000)
		switch {
		case !(math.Abs(value) <= maxEntered): // also catches NaN
			return Quantity[D]{}, fmt.Errorf("%s is out of range, at most %d either way", strconv.FormatFloat(value, 'g', -1, 64), maxEntered)
		case milli/1000 != value:
			return Quantity[D]{}, fmt.Errorf("%s has more than three decimals", strconv.FormatFloat(value, 'g', -1, 64))
		}
		return Quantity[D]{ticks: int64(milli)*s.milli + s.offset, unit: uint8(i)}, nil
	}
	return Quantity[D]{}, fmt.Errorf("unknown unit %q, want %s", unit, Quantity[D]{}.choice())
}

// must is for values written in source or in checked data tables.
func must[D Dimension](value float64, unit string) Quantity[D] {
	q, err := New[D](value, unit)
	if err != nil {
		panic(err)
	}
	return q
}

// LB returns v pounds. It panics on a value New refuses.
func LB(v float64) Mass { return must[massDimension](v, "lb") }

// KG returns v kilograms. It panics on a value New refuses.
func KG(v float64) Mass { return must[massDimension](v, "kg") }

// FT returns v feet. It panics on a value New refuses.
func FT(v float64) Length { return must[lengthDimension](v, "ft") }

// IN returns v inches. It panics on a value New refuses.
func IN(v float64) Length { return must[lengthDimension](v, "in") }

// M returns v metres. It panics on a value New refuses.
func M(v float64) Length { return must[lengthDimension](v, "m") }

// MI returns v miles. It panics on a value New refuses.
func MI(v float64) Length { return must[lengthDimension](v, "mi") }

// MPH returns v miles per hour. It panics on a value New refuses.
func MPH(v float64) Speed { return must[speedDimension](v, "mph") }

// F returns v degrees Fahrenheit. It panics on a value New refuses.
func F(v float64) Temperature { return must[temperatureDimension](v, "f") }

// C returns v degrees Celsius. It panics on a value New refuses.
func C(v float64) Temperature { return must[temperatureDimension](v, "c") }

// NewMass, NewLength, NewSpeed and NewTemperature are New for one kind.
func NewMass(v float64, unit string) (Mass, error)     { return New[massDimension](v, unit) }
func NewLength(v float64, unit string) (Length, error) { return New[lengthDimension](v, unit) }
func NewSpeed(v float64, unit string) (Speed, error)   { return New[speedDimension](v, unit) }
func NewTemperature(v float64, unit string) (Temperature, error) {
	return New[temperatureDimension](v, unit)
}

func (q Quantity[D]) scale() scale {
	var d D
	return d.scales()[q.unit]
}

// Unit returns the name of the unit the quantity was entered in.
func (q Quantity[D]) Unit() string { return q.scale().name }

// Value returns the number in the quantity's own unit, as entered; a computed
// quantity that has no short decimal is rounded to 9 significant digits.
func (q Quantity[D]) Value() float64 { return q.in(q.scale()) }

// In returns the number in the named unit, rounded to 9 significant digits. It
// panics on a unit of another dimension: the names are written in source.
func (q Quantity[D]) In(unit string) float64 {
	var d D
	for _, s := range d.scales() {
		if s.name == unit {
			return q.in(s)
		}
	}
	panic("unit: no unit " + unit)
}

func (q Quantity[D]) in(s scale) float64 {
	n := q.ticks - s.offset
	if n%s.milli == 0 {
		return float64(n/s.milli) / 1000
	}
	return Round9(float64(n) / float64(s.milli) / 1000)
}

// Compare returns -1, 0 or +1 as q is less than, equal to or more than o. It is
// exact whatever the two units are.
func (q Quantity[D]) Compare(o Quantity[D]) int {
	switch {
	case q.ticks < o.ticks:
		return -1
	case q.ticks > o.ticks:
		return 1
	}
	return 0
}

// Over reports whether q exceeds o, exactly.
func (q Quantity[D]) Over(o Quantity[D]) bool { return q.ticks > o.ticks }

// Add returns the exact sum, shown in q's unit. For masses and lengths.
func (q Quantity[D]) Add(o Quantity[D]) Quantity[D] {
	return Quantity[D]{ticks: q.ticks + o.ticks, unit: q.unit}
}

// Sub returns the exact difference q - o, shown in q's unit. For masses and lengths.
func (q Quantity[D]) Sub(o Quantity[D]) Quantity[D] {
	return Quantity[D]{ticks: q.ticks - o.ticks, unit: q.unit}
}

// Percent returns pct hundredths of q, exact to one tick and rounded down.
// pct runs from 0 to 1000.
func (q Quantity[D]) Percent(pct int64) Quantity[D] {
	whole, rest := q.ticks/100, q.ticks%100
	return Quantity[D]{ticks: whole*pct + rest*pct/100, unit: q.unit}
}

// ComparePercent compares q with the given percentage of o, exactly: -1 below,
// 0 equal, +1 above. The percentage is in thousandths, so 40 % is 40_000.
func (q Quantity[D]) ComparePercent(o Quantity[D], milliPercent int64) int {
	l := newProduct(q.ticks, 100_000)
	r := newProduct(o.ticks, milliPercent)
	return l.compare(r)
}

// Sign returns -1, 0 or +1.
func (q Quantity[D]) Sign() int { return q.Compare(Quantity[D]{}) }

// To returns the same quantity shown in the unit of o.
func (q Quantity[D]) To(o Quantity[D]) Quantity[D] {
	return Quantity[D]{ticks: q.ticks, unit: o.unit}
}

// String gives the number and unit, for logs and tests.
func (q Quantity[D]) String() string {
	return strconv.FormatFloat(q.Value(), 'g', -1, 64) + " " + q.Unit()
}

var errOneUnit = errors.New("a quantity is an object with exactly one unit")

// UnmarshalJSONFrom reads {"unit": number}.
func (q *Quantity[D]) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	if k := dec.PeekKind(); k != jsontext.KindBeginObject {
		if err := dec.SkipValue(); err != nil {
			return err
		}
		return fmt.Errorf("%w: %s", errOneUnit, q.choice())
	}
	raw, err := dec.ReadValue()
	if err != nil {
		return err
	}
	// The value is re-read on a decoder of its own, so that every failure is
	// reported at the quantity itself whatever is wrong inside.
	in := jsontext.NewDecoder(bytes.NewReader(raw))
	if _, err := in.ReadToken(); err != nil {
		return err
	}
	if in.PeekKind() == jsontext.KindEndObject {
		return fmt.Errorf("%w: %s", errOneUnit, q.choice())
	}
	name, err := in.ReadToken()
	if err != nil {
		return err
	}
	unit := name.String()
	if in.PeekKind() != jsontext.KindNumber {
		return fmt.Errorf("%q must be a number", unit)
	}
	value, err := in.ReadValue()
	if err != nil {
		return err
	}
	number := string(value) // the decoder reuses the bytes on its next step
	if in.PeekKind() != jsontext.KindEndObject {
		return fmt.Errorf("%w: %s", errOneUnit, q.choice())
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return fmt.Errorf("%s is out of range", number)
	}
	n, err := New[D](v, unit)
	if err != nil {
		return err
	}
	*q = n
	return nil
}

// MarshalJSONTo writes {"unit": number}.
func (q Quantity[D]) MarshalJSONTo(enc *jsontext.Encoder) error {
	for _, t := range []jsontext.Token{jsontext.BeginObject, jsontext.String(q.Unit()), jsontext.Float(q.Value()), jsontext.EndObject} {
		if err := enc.WriteToken(t); err != nil {
			return err
		}
	}
	return nil
}

// Known reports whether name is a unit of one of the four dimensions.
func Known(name string) bool {
	for _, units := range [][]string{Mass{}.Units(), Length{}.Units(), Speed{}.Units(), Temperature{}.Units()} {
		if slices.Contains(units, name) {
			return true
		}
	}
	return false
}
