package circuit

import "strconv"

// NetlistOptions are what a SPICE program is told about its own accuracy. A
// field that is 0 takes a default: 1e-6, 1e-12 A, 1e-6 V, 12 digits.
type NetlistOptions struct {
	RelTol float64 // how far two steps may differ, as a part of the value
	AbsTol float64 // and in amperes
	VnTol  float64 // and in volts
	Digits int     // printed

	// GoOn leaves out the last command, quit, for a netlist that others follow
	// in one run.
	GoOn bool
}

// defaultNetlistOptions are as close as ngspice 39 still settles at: of 4000
// random networks, many of them floating, it gave up on three. Its error is far
// below, for the last step of Newton's method is the square of the one before.
var defaultNetlistOptions = NetlistOptions{RelTol: 1e-6, AbsTol: 1e-12, VnTol: 1e-6, Digits: 12}

// Netlist writes the circuit, as it now is, in the common syntax of SPICE: the
// same parts and the same leak, with a control block that solves it, prints
// v(name) for every node and quits. Nodes keep their names; parts are named by
// number and name. A cut part, or an open switch, is a comment.
//
// It returns what Check returns for a circuit that makes no sense.
func (c *Circuit) Netlist(title string, o NetlistOptions) (string, error) {
	if err := c.Check(); err != nil {
		return "", err
	}
	w := &netlistWriter{c: c}
	w.line("* ", plain(title))
	w.line("* ", strconv.Itoa(len(c.parts)), " parts; every node has a leak of ", number(1/Leak), " ohm to ground")
	for i := range c.parts {
		w.part(Part(i))
	}
	for _, n := range c.names[1:] {
		w.line("rleak_", n, " ", n, " 0 ", number(1/Leak))
	}
	w.models()
	w.control(o.orDefault())
	return string(w.text), nil
}

func (o NetlistOptions) orDefault() NetlistOptions {
	d := defaultNetlistOptions
	if o.RelTol == 0 {
		o.RelTol = d.RelTol
	}
	if o.AbsTol == 0 {
		o.AbsTol = d.AbsTol
	}
	if o.VnTol == 0 {
		o.VnTol = d.VnTol
	}
	if o.Digits == 0 {
		o.Digits = d.Digits
	}
	return o
}

type netlistWriter struct {
	c     *Circuit
	text  []byte
	kinds []DiodeModel // by number of the .model
}

func (w *netlistWriter) line(words ...string) {
	for _, s := range words {
		w.text = append(w.text, s...)
	}
	w.text = append(w.text, '\n')
}

func (w *netlistWriter) part(p Part) {
	q := &w.c.parts[p]
	a, b := w.c.names[q.a], w.c.names[q.b]
	name := strconv.Itoa(int(p)) + "_" + word(q.name)
	ends := name + " " + a + " " + b + " "
	switch {
	case q.condition == Cut:
		w.line("* ", name, ": cut between ", a, " and ", b)
	case q.condition == Shorted, q.kind == breaker && q.closed:
		w.line("r", ends, number(ShortOhms))
	case q.kind == breaker:
		w.line("* ", name, ": open between ", a, " and ", b)
	case q.kind == resistor:
		w.line("r", ends, number(q.value))
	case q.kind == source:
		w.line("v", ends, "dc ", number(q.value))
	case q.kind == filament:
		u := "(v(" + a + "," + b + ")/" + number(q.filament.Volts) + ")"
		w.line("b", ends, "i=", number(q.filament.Amps), "*", u, "*pow(", u, "*", u, "+", number(q.lamp.e2), ",-0.225)")
	default:
		w.line("d", ends, "junction", strconv.Itoa(w.model(q.diode)))
	}
}

// model returns the number of the .model that has these values.
func (w *netlistWriter) model(m DiodeModel) int {
	for i, k := range w.kinds {
		if k == m {
			return i
		}
	}
	w.kinds = append(w.kinds, m)
	return len(w.kinds) - 1
}

func (w *netlistWriter) models() {
	for i, m := range w.kinds {
		w.line(".model junction", strconv.Itoa(i), " d(is=", number(m.SaturationAmps), " n=", number(m.Ideality), " rs=", number(m.SeriesOhms), ")")
	}
}

func (w *netlistWriter) control(o NetlistOptions) {
	t := number(Temperature)
	w.line(".options temp=", t, " tnom=", t, " gmin=", number(JunctionLeak),
		" reltol=", number(o.RelTol), " abstol=", number(o.AbsTol), " vntol=", number(o.VnTol), " itl1=1000")
	w.line(".control")
	w.line("set numdgt=", strconv.Itoa(o.Digits))
	w.line("op")
	for _, n := range w.c.names[1:] {
		w.line("print v(", n, ")")
	}
	if !o.GoOn {
		w.line("quit")
	}
	w.line(".endc")
	w.line(".end")
}

// number writes every digit a value has. SPICE has no letter after it to read
// as a factor.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// word keeps of a name what SPICE may meet inside one.
func word(s string) string {
	out := []byte(s)
	for i, b := range out {
		switch {
		case b >= 'A' && b <= 'Z':
			out[i] = b - 'A' + 'a'
		case (b < 'a' || b > 'z') && (b < '0' || b > '9'):
			out[i] = '_'
		}
	}
	return string(out)
}

// plain keeps a title on its line.
func plain(s string) string {
	out := []byte(s)
	for i, b := range out {
		if b < ' ' {
			out[i] = ' '
		}
	}
	return string(out)
}
