package survey

import (
	"math"
	"slices"
	"strings"

	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// number gives a figure for an entry, rounded to a thousandth: no meter at a
// socket shows more.
func (w *worker) number(field, unitName string, v float64, why string, into func(*rig.Rig) **float64) *Edit {
	v = milli(v)
	return w.edit(Edit{Field: field, Number: &v, Unit: unitName, Says: finding.Say(why, nil)}, func(r *rig.Rig) { *into(r) = &v })
}

func (w *worker) yes(field string, v bool, why string, into func(*rig.Rig) **bool) *Edit {
	return w.edit(Edit{Field: field, Yes: &v, Says: finding.Say(why, nil)}, func(r *rig.Rig) { *into(r) = &v })
}

func word[T ~string](w *worker, field string, v T, why string, into func(*rig.Rig) *T) *Edit {
	return w.edit(Edit{Field: field, Word: string(v), Says: finding.Say(why, nil)}, func(r *rig.Rig) { *into(r) = v })
}

func (w *worker) edit(e Edit, set func(*rig.Rig)) *Edit {
	e.Key = strings.ReplaceAll(strings.TrimPrefix(e.Field, "/"), "/", "-")
	if at := slices.IndexFunc(w.was.Values, func(v wiring.Value) bool { return v.Field == e.Field }); at >= 0 {
		e.Was = &w.was.Values[at]
	}
	w.report.Edits, w.set = append(w.report.Edits, e), append(w.set, set)
	return &w.report.Edits[len(w.report.Edits)-1]
}

// given reports whether the survey gives an entry.
func (w *worker) given(field string) bool {
	return slices.ContainsFunc(w.report.Edits, func(e Edit) bool { return e.Field == field })
}

// open takes down those entries that the survey could give and does not, and
// that nobody has recorded.
func (w *worker) open(id string, fields ...string) {
	var missing []string
	for _, field := range fields {
		at := slices.IndexFunc(w.was.Values, func(v wiring.Value) bool { return v.Field == field })
		if !w.given(field) && (at < 0 || w.was.Values[at].How == wiring.Template) {
			missing = append(missing, field)
		}
	}
	if missing == nil {
		return
	}
	w.report.Open = append(w.report.Open, missing...)
	f := w.find(id, finding.FindOut, false, finding.Say("survey.open", finding.Params{"count": finding.Num(float64(len(missing)), "")}))
	f.Fields = missing
}

// applied is the rig with all edits made.
func (w *worker) applied() rig.Rig {
	r := w.rig
	for _, set := range w.set {
		set(&r)
	}
	return r
}

// Value is the edit as an entry of the circuit.
func (e *Edit) Value() wiring.Value {
	v := wiring.Value{Field: e.Field, How: wiring.Measured, Word: e.Word, Number: e.Number, Unit: e.Unit}
	if e.Yes != nil {
		v.Word = "no"
		if *e.Yes {
			v.Word = "yes"
		}
	}
	return v
}

func milli(v float64) float64 { return unit.Round9(math.Round(1000*v) / 1000) }
