package finding

import (
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/unit"
)

// Param is one value in a sentence: a text, a word of the catalogue, a quantity
// as entered, or a computed number with its unit. In JSON it is a ParamForm.
type Param struct {
	kind   kind
	text   string    // the text, the word, or the unit of a number
	ticks  unit.Mass // a quantity of the kind's own dimension: all four have one form
	number float64
}

type kind uint8

const (
	aText kind = iota
	aWord
	aMass
	aLength
	aSpeed
	aTemperature
	aNumber
)

// ParamForm is a Param as JSON writes it. Exactly one of Text, Word, Mass,
// Length, Speed, Temperature and Number is set; Unit goes with Number.
type ParamForm struct {
	// Text is shown as it is: what a person typed, or a citation.
	Text string `json:"text,omitzero"`
	// Word is the id of another catalogue entry, for names that translate.
	Word        string            `json:"word,omitzero"`
	Mass        *unit.Mass        `json:"mass,omitzero"`
	Length      *unit.Length      `json:"length,omitzero"`
	Speed       *unit.Speed       `json:"speed,omitzero"`
	Temperature *unit.Temperature `json:"temperature,omitzero"`
	Number      *float64          `json:"number,omitzero"`
	// Unit is min, h, Ah, A, V, ohm, pct, deg or empty.
	Unit string `json:"unit,omitzero"`
}

// Plain is a parameter shown as it is.
func Plain(s string) Param { return Param{text: s} }

// Word is a parameter that names another catalogue entry.
func Word(id string) Param { return Param{kind: aWord, text: id} }

// MassOf is a mass parameter.
func MassOf(m unit.Mass) Param { return Param{kind: aMass, ticks: m} }

// LengthOf is a length parameter.
func LengthOf(l unit.Length) Param { return Param{kind: aLength, ticks: unit.Mass(l)} }

// SpeedOf is a speed parameter.
func SpeedOf(s unit.Speed) Param { return Param{kind: aSpeed, ticks: unit.Mass(s)} }

// TemperatureOf is a temperature parameter.
func TemperatureOf(t unit.Temperature) Param { return Param{kind: aTemperature, ticks: unit.Mass(t)} }

// Num is a computed number with its unit, rounded to 9 significant digits.
func Num(v float64, unitName string) Param {
	return Param{kind: aNumber, number: unit.Round9(v), text: unitName}
}

func (p *Param) mass() unit.Mass               { return p.ticks }
func (p *Param) length() unit.Length           { return unit.Length(p.ticks) }
func (p *Param) speed() unit.Speed             { return unit.Speed(p.ticks) }
func (p *Param) temperature() unit.Temperature { return unit.Temperature(p.ticks) }

// IsWord reports whether the parameter names another catalogue entry.
func (p Param) IsWord() bool { return p.kind == aWord }

// Form is the parameter as JSON writes it.
func (p Param) Form() ParamForm {
	switch p.kind {
	case aWord:
		return ParamForm{Word: p.text}
	case aMass:
		v := p.mass()
		return ParamForm{Mass: &v}
	case aLength:
		v := p.length()
		return ParamForm{Length: &v}
	case aSpeed:
		v := p.speed()
		return ParamForm{Speed: &v}
	case aTemperature:
		v := p.temperature()
		return ParamForm{Temperature: &v}
	case aNumber:
		return ParamForm{Number: &p.number, Unit: p.text}
	}
	return ParamForm{Text: p.text}
}

func (f ParamForm) param() Param {
	switch {
	case f.Word != "":
		return Word(f.Word)
	case f.Mass != nil:
		return MassOf(*f.Mass)
	case f.Length != nil:
		return LengthOf(*f.Length)
	case f.Speed != nil:
		return SpeedOf(*f.Speed)
	case f.Temperature != nil:
		return TemperatureOf(*f.Temperature)
	case f.Number != nil:
		return Num(*f.Number, f.Unit)
	}
	return Plain(f.Text)
}

// MarshalJSONTo writes the ParamForm.
func (p Param) MarshalJSONTo(enc *jsontext.Encoder) error {
	switch p.kind {
	case aText, aWord:
		name := "text"
		if p.kind == aWord {
			name = "word"
		}
		return write(enc, jsontext.BeginObject, jsontext.String(name), jsontext.String(p.text), jsontext.EndObject)
	}
	return json.MarshalEncode(enc, p.Form())
}

// UnmarshalJSONFrom reads a ParamForm.
func (p *Param) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	var f ParamForm
	err := json.UnmarshalDecode(dec, &f)
	*p = f.param()
	return err
}

func write(enc *jsontext.Encoder, tokens ...jsontext.Token) error {
	for _, t := range tokens {
		if err := enc.WriteToken(t); err != nil {
			return err
		}
	}
	return nil
}
