//go:build !js

package circuit_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pintail/api/circuit"
)

// twentyNodes is the reference harness of the benchmarks: four feeds (left,
// right, tail and the car's own stop feed) and a diode behind each, two
// stop/turn and two tail filaments, two plate lamps, their housings and one
// white wire; tail and brake on.
func twentyNodes() *net {
	n := newNet()
	for _, f := range []string{"l", "r", "t", "c"} {
		n.r("bat", "m"+f, feedOhms)
		n.r("m"+f, "k"+f, runOhms)
	}
	n.d("kl", "sl", silicon)
	n.d("kr", "sr", silicon)
	n.d("kt", "tl", silicon)
	n.d("kc", "fc", silicon)
	n.r("fc", "sl", 0.03)
	n.r("fc", "sr", 0.03)
	n.r("tl", "tr", 0.012)
	n.r("tl", "tp", 0.02)
	n.r("tp", "pl", 0.005)
	n.r("tp", "pr", 0.005)
	for _, lamp := range []struct {
		a, b string
		m    circuit.FilamentModel
	}{
		{"sl", "gl", stop}, {"sr", "gr", stop}, {"tl", "gl", tail}, {"tr", "gr", tail},
		{"pl", "g", circuit.FilamentModel{Volts: 14, Amps: 0.35, ColdRatio: circuit.ColdRatio}},
		{"pr", "g", circuit.FilamentModel{Volts: 14, Amps: 0.35, ColdRatio: circuit.ColdRatio}},
	} {
		n.lamp(lamp.a, lamp.b, lamp.m)
	}
	n.r("gl", "g", housingOhms)
	n.r("gr", "g", housingOhms)
	n.r("g", "0", groundOhms)
	return n
}

func TestTwentyNodes(t *testing.T) {
	if n := twentyNodes(); n.Nodes() != 21 {
		t.Errorf("%d nodes and ground", n.Nodes()-1)
	}
}

// BenchmarkColdSolve solves from nothing, each time with another white wire.
func BenchmarkColdSolve(b *testing.B) {
	n := twentyNodes()
	benchmarkSolve(b, n, (*circuit.Solver).Solve)
}

// BenchmarkWarmSolve starts from the answer before.
func BenchmarkWarmSolve(b *testing.B) {
	n := twentyNodes()
	benchmarkSolve(b, n, (*circuit.Solver).SolveWarm)
}

func benchmarkSolve(b *testing.B, n *net, solve func(*circuit.Solver, *circuit.Circuit) error) {
	ground := n.ground()
	s := mustSolve(b, n.Circuit)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		n.SetOhms(ground, 0.05+0.001*float64(i%100))
		if err := solve(s, n.Circuit); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkNewShape reads a new shape before it solves: a part on other nodes.
func BenchmarkNewShape(b *testing.B) {
	n := twentyNodes()
	ground := n.ground()
	g, zero := n.Ends(ground)
	s := mustSolve(b, n.Circuit)
	b.ReportAllocs()
	for b.Loop() {
		g, zero = zero, g
		n.SetEnds(ground, g, zero)
		if err := s.Solve(n.Circuit); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBuild makes circuit and solver anew and solves once.
func BenchmarkBuild(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		mustSolve(b, twentyNodes().Circuit)
	}
}

// ground is the last resistor added.
func (n *net) ground() circuit.Part { return circuit.Part(n.Parts() - 1) }

// In one run: the harness solved again and again with another white wire by
// this package, and by ngspice's own loop of alter and op in one process, of
// which what it takes to start is not counted.
func TestFasterThanNgspice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	const times = 3000
	n := twentyNodes()
	text, err := n.Netlist("harness", circuit.NetlistOptions{})
	if err != nil {
		t.Fatal(err)
	}
	theirs := (alterLoop(t, text, n, times) - alterLoop(t, text, n, 1)) / (times - 1)

	ground, s := n.ground(), circuit.NewSolver(n.Circuit)
	start := time.Now()
	for i := range times * 10 {
		n.SetOhms(ground, 0.05+0.001*float64(i%100))
		if err := s.Solve(n.Circuit); err != nil {
			t.Fatal(err)
		}
	}
	ours := time.Since(start) / (times * 10)
	t.Logf("%v here, %v there: %.0f times the solves a second", ours, theirs, float64(theirs)/float64(ours))
	if theirs < 10*ours {
		t.Errorf("%v here, %v there", ours, theirs)
	}
}

func alterLoop(t *testing.T, text string, n *net, times int) time.Duration {
	element := "r" + strconv.Itoa(int(n.ground())) + "_g_to_0"
	if !strings.Contains(text, "\n"+element+" ") {
		t.Fatalf("%s is not in the netlist", element)
	}
	body, _, _ := strings.Cut(text, ".control")
	loop := ".control\nlet i = 0\nwhile i < " + strconv.Itoa(times) + "\nalter " + element +
		" = 0.05 + 0.001 * i / 30\nop\ndestroy\nlet i = i + 1\nend\nquit\n.endc\n.end\n"
	file := filepath.Join(t.TempDir(), "loop.cir")
	if err := os.WriteFile(file, []byte(body+loop), 0o644); err != nil {
		t.Fatal(err)
	}
	start := time.Now()
	out, _ := exec.Command(ngspice(t), "-n", "-b", file).Output()
	took := time.Since(start)
	if got := strings.Count(string(out), "No. of Data Rows : 1\n"); got != times {
		t.Fatalf("ngspice solved %d times, not %d:\n%.2000s", got, times, out)
	}
	return took
}
