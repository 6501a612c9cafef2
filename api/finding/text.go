package finding

import (
	"slices"
	"strconv"
	"strings"
)

// Text is a sentence of the catalogue: a stable message id with its
// parameters, which screens render in the reader's language and units, and the
// English sentence, which the command line and the API show.
type Text struct {
	ID       string `json:"id"`
	Params   Values `json:"params,omitzero"`
	Sentence string `json:"sentence"`
}

// Params are the values that a sentence of the catalogue names in braces, as a
// caller writes them. Say copies what it keeps, so the map costs nothing.
type Params = map[string]Param

// Say renders a sentence of the English catalogue and keeps those parameters
// that it names. An id the catalogue lacks gives the id itself; a test keeps
// that from happening.
func Say(id string, params Params) Text {
	template := english()[id]
	v := namedIn(template, params)
	return Text{ID: id, Params: v, Sentence: render(template, id, v)}
}

// Advise is Say for an optional sentence such as a remedy.
func Advise(id string, params Params) *Text {
	t := Say(id, params)
	return &t
}

// Say is Say with parameters that several sentences share; it keeps them all.
func (v Values) Say(id string) Text {
	return Text{ID: id, Params: v, Sentence: render(english()[id], id, v)}
}

// Advise is Say for an optional sentence.
func (v Values) Advise(id string) *Text {
	t := v.Say(id)
	return &t
}

// Sentence is the English sentence of an id without parameters.
func Sentence(id string) string { return render(english()[id], id, nil) }

func render(template, id string, params Values) string {
	if template == "" {
		return id
	}
	if strings.IndexByte(template, '{') < 0 {
		return template
	}
	var room [512]byte
	return string(appendSentence(room[:0], template, params))
}

func appendSentence(b []byte, template string, params Values) []byte {
	for {
		before, name, after, ok := cutName(template)
		b = append(b, before...)
		if !ok {
			return b
		}
		if p := params.find(name); p != nil {
			b = p.appendEnglish(b)
		} else {
			b = append(append(append(b, '{'), name...), '}')
		}
		template = after
	}
}

// cutName returns the first name in braces, and what stands before and after it.
func cutName(template string) (before, name, after string, ok bool) {
	if open := strings.IndexByte(template, '{'); open >= 0 {
		if end := strings.IndexByte(template[open:], '}'); end >= 0 {
			return template[:open], template[open+1 : open+end], template[open+end+1:], true
		}
	}
	return template, "", "", false
}

// appendEnglish shows a parameter as an English reader expects it.
func (p *Param) appendEnglish(b []byte) []byte {
	switch p.kind {
	case aWord:
		if word := english()[p.text]; word != "" {
			return append(b, word...)
		}
	case aMass:
		return appendQuantity(b, p.mass().Value(), p.mass().Unit())
	case aLength:
		return appendQuantity(b, p.length().Value(), p.length().Unit())
	case aSpeed:
		return appendQuantity(b, p.speed().Value(), p.speed().Unit())
	case aTemperature:
		return appendQuantity(b, p.temperature().Value(), p.temperature().Unit())
	case aNumber:
		return appendQuantity(b, p.number, p.text)
	}
	return append(b, p.text...)
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
	}
	return ""
}

// appendQuantity shows a number with at most two decimals and thousands
// separated. The figure itself keeps its digits; a sentence does not need them.
func appendQuantity(b []byte, v float64, unitName string) []byte {
	var room [32]byte
	digits := strconv.AppendFloat(room[:0], v, 'f', 2, 64)
	for digits[len(digits)-1] == '0' {
		digits = digits[:len(digits)-1]
	}
	if last := len(digits) - 1; digits[last] == '.' {
		digits = digits[:last]
	}
	if digits[0] == '-' {
		digits = digits[1:]
		if digits[0] != '0' || len(digits) > 1 {
			b = append(b, '-')
		}
	}
	whole := slices.Index(digits, '.')
	if whole < 0 {
		whole = len(digits)
	}
	for i, c := range digits {
		if i > 0 && i < whole && (whole-i)%3 == 0 {
			b = append(b, ',')
		}
		b = append(b, c)
	}
	if sign := unitSign(unitName); sign != "" || unitName == "" {
		return append(b, sign...)
	}
	return append(append(b, ' '), unitName...)
}
