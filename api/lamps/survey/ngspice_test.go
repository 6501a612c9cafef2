//go:build !js

package survey_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pintail/api/lamps/survey"
	"pintail/api/rig"
)

// motorhome is a motorhome with known ohms: the wire to each pin, and what lies
// before the switch for stop and for turn, or in the switch's contact of one side.
type motorhome struct {
	supply               float64
	tail, left, right    float64
	turn, stop, leftStop float64
	ownTail, ownSide     float64 // amperes of its own lamps, 0 for a socket fed by relays
	loadA, gain          float64
	fault                survey.Where
	excess               float64
	pins                 []survey.Pin
	states               []survey.Switches
	ohms, own            []float64
}

// lamp is a filament for ngspice: amperes by the voltage to the power 0.55 (the
// IES handbook's exponents), and a twelfth of its hot resistance when cold.
func lamp(name, node string, amps float64) string {
	return fmt.Sprintf("B%s %s 0 I=%.6g*(V(%s)/12.8)*((V(%s)/12.8)**2+1.6e-5)**(-0.225)\n", name, node, amps, node, node)
}

func anyMotorhome(r *rand.Rand, i int) *motorhome {
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	m := &motorhome{
		supply: between(13.2, 14.4), tail: between(0.08, 0.25), left: between(0.08, 0.2), right: between(0.08, 0.2),
		turn: between(0, 0.03), stop: between(0, 0.03), loadA: between(1.9, 2.1), gain: between(-0.005, 0.005),
	}
	if r.IntN(2) == 0 {
		m.ownTail, m.ownSide = between(2.2, 4), between(1.9, 2.3)
	}
	switch m.excess = between(0.8, 5); i % 4 {
	case 0:
		m.excess = 0
	case 1:
		m.fault, m.stop = survey.AtStop, m.stop+m.excess
	case 2:
		m.fault, m.leftStop = survey.AtLeftStop, m.excess
	case 3:
		m.fault, m.tail = survey.AtTail, m.excess
	}
	m.read(survey.TailPin, survey.Tail, m.tail, m.ownTail)
	m.read(survey.LeftPin, survey.Left, m.turn+m.left, m.ownSide)
	m.read(survey.RightPin, survey.Right, m.turn+m.right, m.ownSide)
	m.read(survey.LeftPin, survey.Brake, m.stop+m.leftStop+m.left, m.ownSide)
	m.read(survey.RightPin, survey.Brake, m.stop+m.right, m.ownSide)
	return m
}

func (m *motorhome) read(pin survey.Pin, state survey.Switches, ohms, own float64) {
	m.pins, m.states, m.ohms, m.own = append(m.pins, pin), append(m.states, state), append(m.ohms, ohms), append(m.own, own)
}

// netlist is every reading of every motorhome as a circuit of its own.
func netlist(all []*motorhome) string {
	var b strings.Builder
	b.WriteString("* sockets\n")
	var print []string
	for i, m := range all {
		fmt.Fprintf(&b, "V%d s%d 0 %.6g\n", i, i, m.supply)
		for k := range m.pins {
			for _, load := range []string{"o", "l"} {
				node := fmt.Sprintf("%s%dx%d", load, i, k)
				fmt.Fprintf(&b, "R%s s%d %s %.6g\nRm%s %s 0 10meg\n", node, i, node, m.ohms[k], node, node)
				if m.own[k] > 0 {
					b.WriteString(lamp("own"+node, node, m.own[k]))
				}
				if load == "l" {
					b.WriteString(lamp("load"+node, node, m.loadA))
				}
				print = append(print, node)
			}
		}
	}
	b.WriteString(".control\nop\n")
	for _, node := range print {
		fmt.Fprintf(&b, "print v(%s)\n", node)
	}
	b.WriteString("quit\n.endc\n.end\n")
	return b.String()
}

// solve has ngspice solve the netlist.
func solve(t *testing.T, text string) map[string]float64 {
	t.Helper()
	program, err := exec.LookPath("ngspice")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("ngspice is missing")
		}
		t.Skip("ngspice is missing")
	}
	file := filepath.Join(t.TempDir(), "sockets.cir")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	out, _ := exec.Command(program, "-n", "-b", file).Output() // its exit code says nothing of the circuit
	volts := map[string]float64{}
	for _, m := range regexp.MustCompile(`(?m)^v\((\w+)\) = (\S+)`).FindAllStringSubmatch(string(out), -1) {
		if v, err := strconv.ParseFloat(m[2], 64); err == nil {
			volts[m[1]] = v
		}
	}
	return volts
}

// TestNgspice surveys motorhomes of known ohms, solved by ngspice and read with a
// meter that is off by its own gain and last digit and a load lamp of another
// ampere than its rating: the ohms come back within the band given, the fault in
// its place and no other, and own lamps where there are any.
func TestNgspice(t *testing.T) {
	r := rand.New(rand.NewPCG(2026, 29))
	var all []*motorhome
	for i := range 120 {
		all = append(all, anyMotorhome(r, i))
	}
	volts := solve(t, netlist(all))
	branches, tapped := 0, 0
	for i, m := range all {
		meter := func(v float64) *float64 {
			v = math.Round(100*(v*(1+m.gain)+0.02*(r.Float64()-0.5))) / 100
			return &v
		}
		running := true
		s := survey.Socket{Readings: []survey.SocketReading{{Pin: survey.SupplyPin, State: survey.AllOff, Engine: &running, OpenV: meter(m.supply)}}}
		for k := range m.pins {
			open, loaded := volts[strings.ToLower(fmt.Sprintf("o%dx%d", i, k))], volts[fmt.Sprintf("l%dx%d", i, k)]
			if loaded == 0 || open == 0 {
				t.Fatalf("ngspice did not solve reading %d of %d", k, i)
			}
			s.Readings = append(s.Readings, survey.SocketReading{Pin: m.pins[k], State: m.states[k], Engine: &running, OpenV: meter(open), LoadedV: meter(loaded)})
		}
		report := survey.Make(survey.Input{Rig: &rig.Rig{}, Socket: &s})
		for _, b := range report.Branches {
			branches++
			truth := m.ohms[b.Reading-1]
			if b.Ohm == nil || truth < b.LowOhm || truth > *b.HighOhm {
				t.Errorf("motorhome %d, %s for %s: %.3f Ω lie outside %.3f to %v", i, b.Pin, b.Job, truth, b.LowOhm, *b.HighOhm)
			}
			if b.OwnLampsA != nil {
				tapped++
				if own := m.own[b.Reading-1]; math.Abs(*b.OwnLampsA-own) > 0.35*own+0.25 {
					t.Errorf("motorhome %d, %s: own lamps of %.2f A, there are %.2f", i, b.Pin, *b.OwnLampsA, own)
				}
			}
		}
		var want []survey.Where
		if m.fault != "" {
			want = append(want, m.fault)
		}
		var got []survey.Where
		for _, f := range report.Faults {
			got = append(got, f.Where)
			if m.excess > 0 && (f.LowOhm == nil || f.HighOhm == nil || m.excess < *f.LowOhm || m.excess > *f.HighOhm) {
				t.Errorf("motorhome %d, %s: %.3f Ω lie outside what %q says", i, f.Where, m.excess, f.Says.Sentence)
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("motorhome %d: faults at %v, want %v", i, got, want)
		}
	}
	t.Logf("%d motorhomes, %d ways solved, own lamps found at %d", len(all), branches, tapped)
	if branches != 5*len(all) || tapped == 0 {
		t.Errorf("%d ways solved of %d, own lamps at %d", branches, 5*len(all), tapped)
	}
}
