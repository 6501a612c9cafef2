package circuit_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pintail/api/circuit"
)

// Every kind of part in every condition, as it is written.
func TestNetlist(t *testing.T) {
	c := circuit.New()
	a, b := c.Node("a"), c.Node("b_2")
	c.Source("Supply 1", a, circuit.Ground, 13.5)
	c.Resistor("R µ", a, b, 0.131)
	c.Filament("stop", b, circuit.Ground, stop)
	c.Diode("d", a, b, silicon)
	c.Diode("e", b, a, silicon)
	c.Switch("on", a, b, true)
	c.Switch("off", a, b, false)
	c.SetCondition(c.Resistor("gone", a, b, 2), circuit.Cut)
	c.SetCondition(c.Diode("through", a, b, schottky), circuit.Shorted)
	got, err := c.Netlist("a title\n.end of it", circuit.NetlistOptions{RelTol: 1e-5})
	if err != nil {
		t.Fatal(err)
	}
	want := `* a title .end of it
* 9 parts; every node has a leak of 1e+11 ohm to ground
v0_supply_1 a 0 dc 13.5
r1_r___ a b_2 0.131
b2_stop b_2 0 i=2.1*(v(b_2,0)/12.8)*pow((v(b_2,0)/12.8)*(v(b_2,0)/12.8)+1.5982286310484043e-05,-0.225)
d3_d a b_2 junction0
d4_e b_2 a junction0
r5_on a b_2 0.005
* 6_off: open between a and b_2
* 7_gone: cut between a and b_2
r8_through a b_2 0.005
rleak_a a 0 1e+11
rleak_b_2 b_2 0 1e+11
.model junction0 d(is=2.8e-08 n=1.8 rs=0.0085)
.options temp=27 tnom=27 gmin=1e-12 reltol=1e-05 abstol=1e-12 vntol=1e-06 itl1=1000
.control
set numdgt=12
op
print v(a)
print v(b_2)
quit
.endc
.end
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// An LED lamp is a junction with its ballast: what falls on the ballast at the
// rating is 4 V at 0.5 A, and 36 e-folds of current are 9 V.
func TestNetlistLED(t *testing.T) {
	c := circuit.New()
	c.LED("led", c.Node("a"), circuit.Ground, circuit.LEDModel{Volts: 13, Amps: 0.5, Threshold: 9})
	text, err := c.Netlist("", circuit.NetlistOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var is, n, rs float64
	_, model, _ := strings.Cut(text, ".model ")
	if _, err := fmt.Sscanf(model, "junction0 d(is=%g n=%g rs=%g)", &is, &n, &rs); err != nil {
		t.Fatalf("%v in %s", err, model)
	}
	if math.Abs(is/0.5*math.Exp(36)-1) > 1e-12 || math.Abs(n*0.02586493*36-9) > 1e-5 || rs != 8 {
		t.Errorf("is %g, n %g, rs %g", is, n, rs)
	}
}

// What follows a title or a name never gets a line of its own.
func TestNetlistKeepsToItsLines(t *testing.T) {
	c := circuit.New()
	c.Resistor("r\n.control\nshell true\n.endc\n", c.Node("a"), circuit.Ground, 1)
	text, err := c.Netlist("x\r\n.control\nshell true", circuit.NetlistOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Count(text, "\n.control"); got != 1 || strings.Contains(text, "\nshell") || strings.Contains(text, "\r") {
		t.Errorf("%s", text)
	}
}
