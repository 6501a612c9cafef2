package lamps

import (
	"strconv"

	"pintail/api/circuit"
	"pintail/api/finding"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// NetlistInput is the input of lamps/netlist.
type NetlistInput struct {
	Rig  *rig.Rig    `json:"rig"`
	Step wiring.Step `json:"step"`
	// Half is the half of the flash, the lit one when absent.
	Half wiring.Half `json:"half,omitzero"`
	// Faults are ids of the fault catalogue, at most two.
	Faults []string `json:"faults,omitzero"`
	// HazardAndBrake overrides what the rig says, to try both.
	HazardAndBrake rig.HazardAndBrake `json:"hazard_and_brake,omitzero"`
	// Prospective keeps the fuses whole that a short would open.
	Prospective *bool `json:"prospective,omitzero"`
}

// maxFaults is how many faults one circuit may have.
const maxFaults = 2

// Validate returns what is not possible in the input, nil if nothing.
func (in NetlistInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	if in.Step == "" {
		c.In("step").Bad("missing")
	}
	rig.Choice(c, "step", in.Step)
	rig.Choice(c, "half", in.Half)
	rig.Choice(c, "hazard_and_brake", in.HazardAndBrake)
	if len(in.Faults) > maxFaults {
		c.In("faults").Bad("%d faults, at most %d", len(in.Faults), maxFaults)
	}
	if err := c.Err(); err != nil || len(in.Faults) == 0 {
		return err
	}
	n := wiring.Build(wiring.Describe(*in.Rig))
	for i, id := range in.Faults {
		at := c.In("faults").In(strconv.Itoa(i))
		if !wiring.KnownFault(id) {
			at.Bad("no fault is named %q", id)
		} else if _, ok := n.Fault(id); !ok {
			at.Bad("this harness cannot have the fault %s", id)
		}
	}
	return c.Err()
}

// NetlistReport is the answer of lamps/netlist: the circuit as text for a SPICE
// program, and our own answer beside it.
type NetlistReport struct {
	finding.Stamp `json:",inline"`
	// Netlist is common SPICE syntax: run it in batch, and it prints v(name) for
	// every node.
	Netlist  string            `json:"netlist"`
	Options  SolverOptions     `json:"options"`
	Nodes    []NodeVoltage     `json:"nodes"`
	Lamps    []LampReading     `json:"lamps"`
	SupplyA  float64           `json:"supply_a"`
	Values   []wiring.Value    `json:"values"`
	Findings []finding.Finding `json:"findings,omitzero"`
}

// SolverOptions are what the netlist tells a SPICE program about accuracy, and
// the conductance in siemens that holds every node to ground in both solvers.
type SolverOptions struct {
	RelTol  float64 `json:"reltol"`
	AbsTolA float64 `json:"abstol_a"`
	VnTolV  float64 `json:"vntol_v"`
	GminS   float64 `json:"gmin_s"`
	LeakS   float64 `json:"leak_s"`
}

// NodeVoltage is the voltage of one node against the motorhome's chassis.
type NodeVoltage struct {
	Name  string  `json:"name"`
	Volts float64 `json:"volts"`
}

// LampReading is what one light source does.
type LampReading struct {
	ID   string      `json:"id"`
	Lens wiring.Lens `json:"lens"`
	Job  wiring.Job  `json:"job"`
	// Live and Back are its nodes; Volts and Amps lie between them.
	Live  string  `json:"live"`
	Back  string  `json:"back"`
	Volts float64 `json:"volts"`
	Amps  float64 `json:"amps"`
	// Light is 1 at the design voltage, Glow the word for it.
	Light float64     `json:"light"`
	Glow  wiring.Glow `json:"glow"`
}

// netlistAccuracy is what a SPICE program reaches in double precision with LED
// lamps as well: of 30,000 drawn circuits ngspice 39 gave up on one, where with
// a hundredth of the volts it gave up on one in 2,500. Newton's last step leaves
// far less than it asks for.
var netlistAccuracy = circuit.NetlistOptions{RelTol: 1e-5, AbsTol: 1e-11, VnTol: 1e-6, Digits: 12}

// Netlist writes the circuit of a harness in one step, with faults if wanted,
// and solves it.
func Netlist(in NetlistInput) NetlistReport {
	n := wiring.Build(wiring.Describe(*in.Rig))
	faults := make([]*wiring.Fault, 0, maxFaults)
	title := "rear lamps, step " + string(in.Step) + ", " + string(half(in.Half)) + " half"
	for _, id := range in.Faults {
		if f, ok := n.Fault(id); ok {
			faults = append(faults, &f)
			title += ", " + id
		}
	}
	n.Set(wiring.State{Step: in.Step, Half: half(in.Half), HazardAndBrake: in.HazardAndBrake, Prospective: rig.Is(in.Prospective, true)}, faults...)
	r := NetlistReport{Options: options(), Values: n.Harness.Values, Findings: circuitFindings(n)}
	solved := n.Solve()
	text, err := n.Circuit().Netlist(title, netlistAccuracy)
	if err != nil || solved != nil {
		r.Findings = append(r.Findings, notSolved())
	}
	r.Netlist, r.Nodes, r.Lamps = text, nodeVoltages(n), readings(n)
	r.SupplyA = unit.Micro(supplied(n))
	return r
}

func half(h wiring.Half) wiring.Half {
	if h == "" {
		return wiring.Lit
	}
	return h
}

// supplied is what the motorhome gives, through a converter or not, in amperes.
func supplied(n *wiring.Network) float64 {
	total := 0.0
	for _, name := range []string{"supply", "converter"} {
		if p, ok := n.Part(name); ok {
			total -= n.Current(p)
		}
	}
	return total
}

func options() SolverOptions {
	a := netlistAccuracy
	return SolverOptions{RelTol: a.RelTol, AbsTolA: a.AbsTol, VnTolV: a.VnTol, GminS: circuit.JunctionLeak, LeakS: circuit.Leak}
}

func nodeVoltages(n *wiring.Network) []NodeVoltage {
	c := n.Circuit()
	nodes := make([]NodeVoltage, 0, c.Nodes()-1)
	for i := 1; i < c.Nodes(); i++ {
		node := circuit.Node(i)
		nodes = append(nodes, NodeVoltage{Name: c.NodeName(node), Volts: unit.Micro(n.Voltage(node))})
	}
	return nodes
}

func readings(n *wiring.Network) []LampReading {
	var out []LampReading
	for i, l := range n.Lamps() {
		if !l.Connected {
			continue
		}
		light := unit.Micro(n.Light(i))
		out = append(out, LampReading{
			ID: l.ID, Lens: l.Lens, Job: l.Job, Live: n.Circuit().NodeName(l.Live), Back: n.Circuit().NodeName(l.Back),
			Volts: unit.Micro(n.Volts(i)), Amps: unit.Micro(n.Amps(i)), Light: light, Glow: wiring.GlowOf(light),
		})
	}
	return out
}

// circuitFindings say where the circuit is not what the rig records, or leads
// nowhere.
func circuitFindings(n *wiring.Network) []finding.Finding {
	var fs []finding.Finding
	if n.Harness.Unfit() {
		fs = append(fs, finding.Finding{
			ID: "wiring.converter-unfit", Area: finding.Lamps, Verdict: finding.Mind,
			Says: finding.Say("wiring.converter_unfit", nil), Remedy: finding.Advise("wiring.converter_unfit.remedy", nil),
			Basis: []finding.Basis{asDescribed}, Fields: []string{"/harness/converter"},
		})
	}
	for i, l := range n.Lamps() {
		if n.Fed(i) {
			continue
		}
		fs = append(fs, finding.Finding{
			ID: "wiring.lamp-unfed." + l.ID, Area: finding.Lamps, Verdict: finding.Mind,
			Says:   finding.Say("wiring.lamp_unfed", finding.Params{"lamp": finding.Word("wiring.lamp." + l.ID)}),
			Remedy: finding.Advise("wiring.lamp_unfed.remedy", nil),
			Basis:  []finding.Basis{asDescribed}, Fields: []string{"/harness/lamps"},
		})
	}
	return fs
}

func notSolved() finding.Finding {
	return finding.Finding{
		ID: "wiring.not-solved", Area: finding.Lamps, Verdict: finding.FindOut, Decides: true,
		Says: finding.Say("wiring.not_solved", nil), Remedy: finding.Advise("wiring.not_solved.remedy", nil),
		Fields: []string{"/harness"},
	}
}
