package rules

import (
	"errors"
	"strconv"
	"strings"

	"pintail/api/unit"
)

// A condition in one line, as a table of rows writes it:
//
//	gross over 3000 lb
//	any(gross over 2000 kg, gross over 40 % of towing_gvwr)
//	all(width_at_least 80 in, night)
//	stated "the hitch is a ball and socket"
//
// The words are the members of Condition. A weight is followed by over,
// at_least, under or up_to and a mass, or by over, at_least or under, a share
// and the weight it is of.

// text writes the condition in one line.
func (c *Condition) text() string { return string(c.append(nil)) }

func (c *Condition) append(b []byte) []byte {
	switch {
	case c.All != nil:
		return appendJoined(append(b, "all("...), c.All)
	case c.Any != nil:
		return appendJoined(append(b, "any("...), c.Any)
	case c.Weight != "":
		return c.appendWeight(append(append(b, c.Weight...), ' '))
	case c.Stated != "":
		return strconv.AppendQuote(append(b, "stated "...), c.Stated)
	}
	for _, w := range wordsOf(c) {
		if w.is() {
			b = append(b, w.name...)
			if w.show != nil {
				b = append(append(b, ' '), w.show()...)
			}
		}
	}
	return b
}

func appendJoined(b []byte, parts []Condition) []byte {
	for i := range parts {
		if i > 0 {
			b = append(b, ", "...)
		}
		b = parts[i].append(b)
	}
	return append(b, ')')
}

func (c *Condition) appendWeight(b []byte) []byte {
	for _, o := range c.operatorWords() {
		switch {
		case *o.mass != nil:
			return append(append(append(b, o.name...), ' '), quantityText(**o.mass)...)
		case o.pct != nil && *o.pct != nil:
			b = strconv.AppendInt(append(append(b, o.name...), ' '), **o.pct, 10)
			return append(append(b, " % of "...), c.Of...)
		}
	}
	return b
}

// operatorWord is one operator with what it compares with.
type operatorWord struct {
	name string
	mass **unit.Mass
	pct  **int64
}

func (c *Condition) operatorWords() [4]operatorWord {
	return [...]operatorWord{
		{"over", &c.Over, &c.OverPct}, {"at_least", &c.AtLeast, &c.AtLeastPct}, {"under", &c.Under, &c.UnderPct}, {"up_to", &c.UpTo, nil},
	}
}

// conditionWord is a test that begins with its own name.
type conditionWord struct {
	name string
	is   func() bool
	show func() string               // what stands after the name, nil if nothing
	read func(*conditionReader) bool // reads that
}

// wordsOf are the tests that begin with their own name, over one condition.
func wordsOf(c *Condition) []conditionWord {
	return []conditionWord{
		stringWord("built_after", &c.BuiltAfter),
		quantityWord("width_over", &c.WidthOver, unit.NewLength),
		quantityWord("width_at_least", &c.WidthAtLeast, unit.NewLength),
		quantityWord("pair_length_over", &c.PairLengthOver, unit.NewLength),
		quantityWord("speed_over", &c.SpeedOver, unit.NewSpeed),
		countWord("units_at_least", &c.UnitsAtLeast),
		countWord("units_up_to", &c.UnitsUpTo),
		quantityWord("stops_within", &c.StopsWithin, unit.NewLength),
		stringWord("fitted", &c.Fitted),
		stringWord("not_fitted", &c.NotFitted),
		stringWord("duty", &c.Duty),
		stringWord("fails", &c.Fails),
		stringWord("link", &c.Link),
		flagWord("night", &c.Night),
		flagWord("day", &c.Day),
		flagWord("disabled", &c.Disabled),
		flagWord("registered_here", &c.RegisteredHere),
		flagWord("driveaway", &c.Driveaway),
	}
}

func stringWord[T ~string](name string, v *T) conditionWord {
	return conditionWord{name, func() bool { return *v != "" }, func() string { return string(*v) }, func(r *conditionReader) bool {
		*v = T(r.word())
		return *v != ""
	}}
}

func flagWord(name string, v *bool) conditionWord {
	return conditionWord{name, func() bool { return *v }, nil, func(*conditionReader) bool {
		*v = true
		return true
	}}
}

func countWord(name string, v **int) conditionWord {
	return conditionWord{name, func() bool { return *v != nil }, func() string { return strconv.Itoa(**v) }, func(r *conditionReader) bool {
		n, err := strconv.Atoi(r.word())
		*v = &n
		return err == nil
	}}
}

func quantityWord[D unit.Dimension](name string, v **unit.Quantity[D], make func(float64, string) (unit.Quantity[D], error)) conditionWord {
	return conditionWord{name, func() bool { return *v != nil }, func() string { return quantityText(**v) }, func(r *conditionReader) bool {
		q, err := make(r.number(), r.word())
		*v = &q
		return err == nil
	}}
}

func quantityText[D unit.Dimension](q unit.Quantity[D]) string {
	return strconv.FormatFloat(q.Value(), 'f', -1, 64) + " " + q.Unit()
}

// conditionReader reads a condition from one line.
type conditionReader struct {
	rest string
	bad  error
}

// parseCondition reads what text writes. Row.check judges the figures.
func parseCondition(line string) (*Condition, error) {
	r := &conditionReader{rest: line}
	var c Condition
	r.condition(&c, 1)
	if r.bad == nil && r.skip() != "" {
		r.fail("nothing can stand after the condition, here stands " + cut(r.rest))
	}
	return &c, r.bad
}

func (r *conditionReader) fail(reason string) {
	if r.bad == nil {
		r.bad = errors.New(reason)
	}
}

func (r *conditionReader) skip() string {
	r.rest = strings.TrimLeft(r.rest, " ")
	return r.rest
}

// word reads letters, digits, underscores, dashes and points.
func (r *conditionReader) word() string {
	r.skip()
	end := strings.IndexAny(r.rest, " ,()%\"")
	if end < 0 {
		end = len(r.rest)
	}
	w := r.rest[:end]
	r.rest = r.rest[end:]
	return w
}

func (r *conditionReader) number() float64 {
	w := r.word()
	v, err := strconv.ParseFloat(w, 64)
	if err != nil {
		r.fail("want a number, here stands " + cut(w))
	}
	return v
}

// sign reads one sign if it stands there.
func (r *conditionReader) sign(s string) bool {
	rest, ok := strings.CutPrefix(r.skip(), s)
	r.rest = rest
	return ok
}

func (r *conditionReader) condition(c *Condition, depth int) {
	switch w := r.word(); w {
	case "all":
		c.All = r.joined(depth)
	case "any":
		c.Any = r.joined(depth)
	case "stated":
		r.stated(c)
	case "":
		r.fail("want a condition, here stands " + cut(r.rest))
	default:
		if known(Weight(w)) {
			c.Weight = Weight(w)
			r.weight(c)
			return
		}
		r.named(c, w)
	}
}

func (r *conditionReader) named(c *Condition, name string) {
	for _, w := range wordsOf(c) {
		if w.name == name {
			if !w.read(r) {
				r.fail("want a figure with a known unit, or a word, after " + name)
			}
			return
		}
	}
	r.fail("no condition is named " + cut(name))
}

func (r *conditionReader) joined(depth int) []Condition {
	if !r.sign("(") {
		r.fail("want ( after all or any")
	}
	if depth >= deepest {
		r.fail("nested deeper than " + strconv.Itoa(deepest))
	}
	var parts []Condition
	for r.bad == nil {
		var c Condition
		r.condition(&c, depth+1)
		parts = append(parts, c)
		if !r.sign(",") {
			break
		}
	}
	if !r.sign(")") {
		r.fail("want , or ) before " + cut(r.rest))
	}
	return parts
}

func (r *conditionReader) stated(c *Condition) {
	quoted, err := strconv.QuotedPrefix(r.skip())
	if err == nil {
		r.rest = r.rest[len(quoted):]
		c.Stated, err = strconv.Unquote(quoted)
	}
	if err != nil || c.Stated == "" {
		r.fail("want words in double quotes after stated")
	}
}

func (r *conditionReader) weight(c *Condition) {
	name := r.word()
	for _, o := range c.operatorWords() {
		if o.name != name {
			continue
		}
		v := r.number()
		if r.sign("%") {
			r.share(c, o, v)
			return
		}
		m, err := unit.NewMass(v, r.word())
		if err != nil {
			r.fail(err.Error())
		}
		*o.mass = &m
		return
	}
	r.fail("a threshold without an operator: want over, at_least, under or up_to after " + string(c.Weight))
}

func (r *conditionReader) share(c *Condition, o operatorWord, v float64) {
	pct := int64(v)
	switch {
	case o.pct == nil:
		r.fail("up_to is for a mass")
	case float64(pct) != v:
		r.fail("want whole per cent")
	case r.word() != "of":
		r.fail("want of and a weight after a share")
	default:
		*o.pct, c.Of = &pct, Weight(r.word())
	}
}

// cut shows the beginning of what stands somewhere.
func cut(s string) string {
	const most = 40
	if s == "" {
		return "nothing"
	}
	for i := range s {
		if i >= most {
			return s[:i] + "…"
		}
	}
	return s
}
