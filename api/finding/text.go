package finding

import (
	"strconv"
	"strings"

	"pintail/api/unit"
)

// Text is a sentence of the catalogue: a stable message id with its
// parameters, which screens render in the reader's language and units, and the
// English sentence, which the command line and the API show.
type Text struct {
	ID       string           `json:"id"`
	Params   map[string]Param `json:"params,omitzero"`
	Sentence string           `json:"sentence"`
}

// Params are the values that a sentence of the catalogue names in braces.
type Params = map[string]Param

// Param is one value in a sentence. Exactly one of Text, Word, Mass, Length,
// Speed, Temperature and Number is set; Unit goes with Number.
type Param struct {
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
func Plain(s string) Param { return Param{Text: s} }

// Word is a parameter that names another catalogue entry.
func Word(id string) Param { return Param{Word: id} }

// MassOf is a mass parameter.
func MassOf(m unit.Mass) Param { return Param{Mass: &m} }

// LengthOf is a length parameter.
func LengthOf(l unit.Length) Param { return Param{Length: &l} }

// SpeedOf is a speed parameter.
func SpeedOf(s unit.Speed) Param { return Param{Speed: &s} }

// TemperatureOf is a temperature parameter.
func TemperatureOf(t unit.Temperature) Param { return Param{Temperature: &t} }

// Num is a computed number with its unit, rounded to 9 significant digits.
func Num(v float64, unitName string) Param {
	r := unit.Round9(v)
	return Param{Number: &r, Unit: unitName}
}

// Say renders a sentence of the English catalogue. An id the catalogue lacks
// gives the id itself; a test keeps that from happening.
func Say(id string, params Params) Text {
	return Text{ID: id, Params: params, Sentence: render(english()[id], id, params)}
}

// Advise is Say for an optional sentence such as a remedy.
func Advise(id string, params Params) *Text {
	t := Say(id, params)
	return &t
}

func render(template, id string, params Params) string {
	if template == "" {
		return id
	}
	if strings.IndexByte(template, '{') < 0 {
		return template
	}
	var b strings.Builder
	b.Grow(2 * len(template))
	for {
		open := strings.IndexByte(template, '{')
		if open < 0 {
			break
		}
		end := strings.IndexByte(template[open:], '}')
		if end < 0 {
			break
		}
		b.WriteString(template[:open])
		if p, ok := params[template[open+1:open+end]]; ok {
			b.WriteString(p.english())
		} else {
			b.WriteString(template[open : open+end+1])
		}
		template = template[open+end+1:]
	}
	b.WriteString(template)
	return b.String()
}

// english shows a parameter as an English reader expects it.
func (p Param) english() string {
	switch {
	case p.Word != "":
		return render(english()[p.Word], p.Word, nil)
	case p.Mass != nil:
		return quantity(p.Mass.Value(), p.Mass.Unit())
	case p.Length != nil:
		return quantity(p.Length.Value(), p.Length.Unit())
	case p.Speed != nil:
		return quantity(p.Speed.Value(), p.Speed.Unit())
	case p.Temperature != nil:
		return quantity(p.Temperature.Value(), p.Temperature.Unit())
	case p.Number != nil:
		return quantity(*p.Number, p.Unit)
	}
	return p.Text
}

// unitSign gives a unit as it is written otherwise in a sentence.
func unitSign(name string) string {
	switch name {
	case "km_h":
		return " km/h"
	case "f":
		return " °F"
	case "c":
		return " °C"
	case "pct":
		return " %"
	case "deg":
		return "°"
	case "ohm":
		return " Ω"
	case "":
		return ""
	}
	return " " + name
}

// quantity shows a number with at most two decimals and thousands separated.
// The figure itself keeps its digits; a sentence does not need them.
func quantity(v float64, unitName string) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		s = "0"
	}
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "-", s[1:]
	}
	whole, fraction, _ := strings.Cut(s, ".")
	var b strings.Builder
	for i, c := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(c)
	}
	if fraction != "" {
		b.WriteString("." + fraction)
	}
	return sign + b.String() + unitSign(unitName)
}
