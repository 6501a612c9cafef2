//go:build !js

package wiring_test

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pintail/api/circuit"
	"pintail/api/lamps"
	"pintail/api/lamps/wiring"
)

// ngspice returns the program, or skips the test if it is missing.
func ngspice(tb testing.TB) string {
	tb.Helper()
	path, err := exec.LookPath("ngspice")
	if err != nil {
		if os.Getenv("CI") == "true" {
			tb.Fatal("ngspice is missing")
		}
		tb.Skip("ngspice is missing")
	}
	return path
}

// triples draws inputs of lamps/netlist: any harness, any step, up to two of its
// faults.
func triples(r *rand.Rand, count int) []lamps.NetlistInput {
	var all []lamps.NetlistInput
	for range count {
		x := wiring.AnyRig(r)
		s := wiring.AnyState(r)
		in := lamps.NetlistInput{Rig: &x, Step: s.Step, Half: s.Half, Prospective: &s.Prospective}
		faults := wiring.Build(wiring.Describe(x)).Faults()
		for range r.IntN(3) {
			in.Faults = append(in.Faults, faults[r.IntN(len(faults))].ID)
		}
		all = append(all, in)
	}
	return all
}

// TestNgspiceAgrees exports seeded (harness, step, fault) triples, has ngspice
// solve them, a hundred in a run, and compares every node: equal within 1e-5 V or
// a millionth; a node that the leak alone holds within what the leak decides
// there, which is what it moves when the leak is doubled.
func TestNgspiceAgrees(t *testing.T) {
	const inOneRun = 100
	inputs := triples(rand.New(rand.NewPCG(2026, 1125)), 520)
	compared, floating := 0, 0
	for from := 0; from < len(inputs); from += inOneRun {
		some := inputs[from:min(from+inOneRun, len(inputs))]
		for i, volts := range solveAll(t, some) {
			c, f := compare(t, from+i, some[i], volts)
			compared, floating = compared+c, floating+f
		}
	}
	t.Logf("%d triples, %d node voltages compared, %d of them held by the leak", len(inputs), compared, floating)
	if floating > compared/10 {
		t.Error("too many nodes float for this to say much")
	}
}

// solveAll has one run of ngspice solve many netlists, and returns the voltages it
// prints for each.
func solveAll(t *testing.T, inputs []lamps.NetlistInput) []map[string]float64 {
	t.Helper()
	program, dir := ngspice(t), t.TempDir()
	var driver strings.Builder
	driver.WriteString("* each netlist in its turn\n.control\n")
	for i, in := range inputs {
		if err := in.Validate(); err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(lamps.Netlist(in).Netlist, "\nquit\n", "\n", 1)
		file := mustWrite(t, dir, strconv.Itoa(i)+".cir", text)
		fmt.Fprintf(&driver, "echo ==== %d\nsource %s\ndestroy all\nremcirc\n", i, file)
	}
	driver.WriteString("quit\n.endc\n.end\n")
	return printed(run(program, dir, mustWrite(t, dir, "driver.cir", driver.String())), len(inputs))
}

// compare holds one answer to what ngspice printed, and counts its nodes and those
// that float.
func compare(t *testing.T, triple int, in lamps.NetlistInput, volts map[string]float64) (compared, floating int) {
	t.Helper()
	r, decided := lamps.Netlist(in), leakDecides(t, in)
	if len(volts) != len(r.Nodes) {
		t.Errorf("triple %d: ngspice printed %d of %d nodes", triple, len(volts), len(r.Nodes))
		return 0, 0
	}
	for _, node := range r.Nodes {
		want := volts[node.Name]
		compared++
		if decided[node.Name] > 1e-5 {
			floating++
		}
		if d := math.Abs(node.Volts - want); !(d <= max(1e-5, 1e-6*math.Abs(want), decided[node.Name])) {
			t.Errorf("triple %d (%s %s %v): v(%s) is %.9g, ngspice has %.9g", triple, in.Step, in.Half, in.Faults, node.Name, node.Volts, want)
		}
	}
	return compared, floating
}

// TestNetlistRunsUnchanged: the text as answered, given to ngspice alone, prints
// the names and the voltages of the answer.
func TestNetlistRunsUnchanged(t *testing.T) {
	program, dir := ngspice(t), t.TempDir()
	for i, in := range triples(rand.New(rand.NewPCG(5, 25)), 3) {
		r := lamps.Netlist(in)
		out := run(program, dir, mustWrite(t, dir, strconv.Itoa(i)+".cir", r.Netlist))
		volts := printed(append([]byte("==== 0\n"), out...), 1)[0]
		decided := leakDecides(t, in)
		for _, n := range r.Nodes {
			want, there := volts[n.Name]
			if !there || math.Abs(n.Volts-want) > max(1e-5, 1e-6*math.Abs(want), decided[n.Name]) {
				t.Errorf("v(%s) is %.9g, ngspice has %.9g (printed: %t)", n.Name, n.Volts, want, there)
			}
		}
	}
}

func mustWrite(t *testing.T, dir, name, text string) string {
	t.Helper()
	file := filepath.Join(dir, name)
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func run(program, dir, file string) []byte {
	cmd := exec.Command(program, "-n", "-b", file)
	cmd.Dir = dir
	out, _ := cmd.Output() // its exit code says nothing of the circuits
	return out
}

// printed takes "==== 12" and "v(name) = 1.23e+00" from what ngspice prints.
func printed(out []byte, count int) []map[string]float64 {
	answers := make([]map[string]float64, count)
	at := -1
	for lines := bufio.NewScanner(bytes.NewReader(out)); lines.Scan(); {
		line := lines.Text()
		if i, ok := strings.CutPrefix(line, "==== "); ok {
			at, _ = strconv.Atoi(strings.TrimSpace(i))
			answers[at] = map[string]float64{}
			continue
		}
		rest, isNode := strings.CutPrefix(line, "v(")
		name, value, _ := strings.Cut(rest, ") = ")
		if v, err := strconv.ParseFloat(value, 64); isNode && err == nil && at >= 0 {
			answers[at][name] = v
		}
	}
	return answers
}

// leakDecides solves a triple once more with the leak of every node doubled, and
// returns how far each node moves.
func leakDecides(t *testing.T, in lamps.NetlistInput) map[string]float64 {
	t.Helper()
	n := wiring.Build(wiring.Describe(*in.Rig))
	var faults []*wiring.Fault
	for _, id := range in.Faults {
		f, ok := n.Fault(id)
		if !ok {
			t.Fatalf("no fault %s", id)
		}
		faults = append(faults, &f)
	}
	n.Set(wiring.State{Step: in.Step, Half: in.Half, Prospective: *in.Prospective}, faults...)
	c := n.Circuit()
	before := make([]float64, c.Nodes())
	if err := n.Solve(); err != nil {
		t.Fatal(err)
	}
	for i := range before {
		before[i] = n.Voltage(circuit.Node(i))
	}
	for i := 1; i < c.Nodes(); i++ {
		c.Resistor("leak", circuit.Node(i), circuit.Ground, 1/circuit.Leak)
	}
	if err := n.Solve(); err != nil {
		t.Fatal(err)
	}
	moved := map[string]float64{}
	for i := range before {
		moved[c.NodeName(circuit.Node(i))] = math.Abs(n.Voltage(circuit.Node(i)) - before[i])
	}
	return moved
}
