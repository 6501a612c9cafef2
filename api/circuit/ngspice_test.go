//go:build !js

package circuit_test

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

// solveAll has one run of ngspice solve many circuits, and returns the voltages
// it prints for each.
func solveAll(t *testing.T, circuits []*circuit.Circuit) []map[string]float64 {
	t.Helper()
	program, dir := ngspice(t), t.TempDir()
	var driver strings.Builder
	driver.WriteString("* each netlist in its turn\n.control\n")
	for i, c := range circuits {
		text, err := c.Netlist("network "+strconv.Itoa(i), circuit.NetlistOptions{GoOn: true})
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, strconv.Itoa(i)+".cir")
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&driver, "echo ==== %d\nsource %s\nremcirc\n", i, file)
	}
	driver.WriteString("quit\n.endc\n.end\n")
	file := filepath.Join(dir, "driver.cir")
	if err := os.WriteFile(file, []byte(driver.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "-n", "-b", file)
	cmd.Dir = dir
	out, _ := cmd.Output() // its exit code says nothing of the circuits
	if os.Getenv("DUMP") != "" {
		os.WriteFile("/tmp/ng.out", out, 0o644)
		exec.Command("cp", "-r", dir, "/tmp/ngdir").Run()
	}
	return read(t, out, len(circuits))
}

// read takes "==== 12" and "v(name) = 1.23e+00" from what ngspice prints.
func read(t *testing.T, out []byte, count int) []map[string]float64 {
	t.Helper()
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

// The same networks solved by ngspice, from the netlist: node voltages equal
// within 1e-5 V or a millionth. A node that the leak alone holds may differ by
// as much as the leak decides there, which is what it moves when the leak is
// doubled: ngspice adds 1e-11 S to some 200 S of a wire and keeps 16 digits of
// the sum.
func TestNgspiceAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(2026, 11))
	var circuits []*circuit.Circuit
	for range 400 {
		circuits = append(circuits, randomNet(r))
	}
	for _, tt := range references {
		circuits = append(circuits, tt.build().Circuit)
	}
	compared, floating := 0, 0
	for i, volts := range solveAll(t, circuits) {
		c := circuits[i]
		s := mustSolve(t, c)
		if len(volts) != c.Nodes()-1 {
			t.Errorf("network %d: ngspice printed %d of %d nodes", i, len(volts), c.Nodes()-1)
		}
		ours := make([]float64, c.Nodes())
		for n := range ours {
			ours[n] = s.Voltage(circuit.Node(n))
		}
		leaked := leakTwice(t, c)
		for name, want := range volts {
			n := c.Node(name)
			got, decided := ours[n], math.Abs(leaked.Voltage(n)-ours[n])
			if decided > 1e-5 {
				floating++
			}
			compared++
			if d := math.Abs(got - want); !(d <= max(1e-5, 1e-6*math.Abs(want), decided)) {
				t.Errorf("network %d: v(%s) is %.9g, ngspice has %.9g", i, name, got, want)
			}
		}
	}
	t.Logf("%d node voltages compared, %d of them floating", compared, floating)
	if floating > compared/10 {
		t.Error("too many nodes float for this to say much")
	}
}

// leakTwice solves a circuit with the leak of every node doubled.
func leakTwice(t *testing.T, c *circuit.Circuit) *circuit.Solver {
	for n := 1; n < c.Nodes(); n++ {
		c.Resistor("leak", circuit.Node(n), circuit.Ground, 1/circuit.Leak)
	}
	return mustSolve(t, c)
}

// The names SPICE gives a meaning elsewhere are nodes like any other.
func TestNgspiceNodeNames(t *testing.T) {
	names := []string{"a", "e", "i", "v", "pi", "time", "hertz", "boltz", "true", "no", "mod", "temp", "const", "let", "x1_branch", "op", "dc", "pow", "ground", "vss", "abcdefghijklmnopqrstuvwxyz_0123456789_abcdefghijklmnopqrstuvwxyz"}
	c := circuit.New()
	c.Source("v", c.Node("a"), circuit.Ground, 13.5)
	for i, name := range names[1:] {
		c.Resistor("r", c.Node(names[i]), c.Node(name), 0.1)
		c.Filament("f", c.Node(names[i]), c.Node(name), stop)
		c.Filament("f", c.Node(name), circuit.Ground, tail)
	}
	s := mustSolve(t, c)
	volts := solveAll(t, []*circuit.Circuit{c})[0]
	for _, name := range names {
		got, ok := volts[name]
		if want := s.Voltage(c.Node(name)); !ok || math.Abs(got-want) > 1e-5 {
			t.Errorf("v(%s) is %g, ngspice has %g", name, want, got)
		}
	}
}

// A netlist run as it stands prints and quits.
func TestNgspiceRunsUnchanged(t *testing.T) {
	n := harness{tail: true, left: true, right: true, tapped: true, car: steered}.build()
	text, err := n.Netlist("as it stands", circuit.NetlistOptions{})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(ngspice(t), "-n", "-b", "/dev/stdin")
	cmd.Stdin = strings.NewReader(text)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if got := strings.Count(string(out), "\nv("); got != n.Nodes()-1 {
		t.Errorf("%d of %d nodes printed\n%s", got, n.Nodes()-1, out)
	}
}
