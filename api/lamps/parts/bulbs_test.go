package parts_test

import (
	"slices"
	"testing"

	"pintail/api/circuit"
	"pintail/api/lamps/parts"
)

func mustElement(tb testing.TB, bulb string, name parts.ElementName) parts.Element {
	tb.Helper()
	b, ok := parts.FindBulb(bulb)
	if !ok {
		tb.Fatalf("no bulb %s", bulb)
	}
	e, ok := b.Element(name)
	if !ok {
		tb.Fatalf("bulb %s has no %s", bulb, name)
	}
	return e
}

// Published figures: trade numbers from comparison tables, P21/5W from the annex
// of Directive 97/24/EC, PY21/5W from ECE/TRANS/WP.29/GRE/2012/34. Where a source
// prints candlepower and lumens, both must come out: lm = 4 pi mscp.
func TestBulbsAsPublished(t *testing.T) {
	for _, tt := range []struct {
		bulb                      string
		name                      parts.ElementName
		volts, amps, mscp, lumens float64
	}{
		{"1157", parts.Major, 12.8, 2.10, 32, 402},
		{"1157", parts.Minor, 14.0, 0.59, 3, 38},
		{"2057", parts.Major, 12.8, 2.10, 32, 402},
		{"2057", parts.Minor, 14.0, 0.49, 2, 25},
		{"2357", parts.Major, 12.8, 2.23, 40, 503},
		{"2357", parts.Minor, 14.0, 0.59, 3, 0},
		{"1156", parts.Single, 12.8, 2.10, 32, 402},
		{"1141", parts.Single, 12.8, 1.44, 21, 264},
		{"3157", parts.Major, 12.8, 2.10, 32, 402},
		{"7443", parts.Major, 13.5, 1.86, 35, 440},
		{"7443", parts.Minor, 13.5, 0.44, 2.8, 35},
		{"194", parts.Single, 14.0, 0.27, 2, 25},
		{"168", parts.Single, 14.0, 0.35, 3, 38},
		{"P21/5W", parts.Major, 13.5, 25 / 13.5, 0, 440},
		{"P21/5W", parts.Minor, 13.5, 6 / 13.5, 0, 35},
		{"PY21/5W", parts.Major, 13.5, 26.5 / 13.5, 0, 270},
		{"PY21/5W", parts.Minor, 13.5, 6.6 / 13.5, 0, 21},
		{"W5W", parts.Single, 13.5, 5 / 13.5, 0, 50},
		{"W5W/LED", parts.LED, 13.5, 2 / 13.5, 0, 50},
	} {
		e := mustElement(t, tt.bulb, tt.name)
		if e.Volts != tt.volts || !near(e.Amps, tt.amps, 2e-3) {
			t.Errorf("%s %s: %g V %g A, want %g V %g A", tt.bulb, tt.name, e.Volts, e.Amps, tt.volts, tt.amps)
		}
		if tt.mscp != 0 && !near(e.MSCP(), tt.mscp, 0.01) {
			t.Errorf("%s %s: %g mscp, want %g", tt.bulb, tt.name, e.MSCP(), tt.mscp)
		}
		if tt.lumens != 0 && !near(e.Lumens, tt.lumens, 0.01) {
			t.Errorf("%s %s: %g lm, want %g", tt.bulb, tt.name, e.Lumens, tt.lumens)
		}
	}
}

// lm = 4 pi mscp: 32, 3, 2 and 40 candlepower.
func TestCandlepower(t *testing.T) {
	for mscp, lumens := range map[float64]float64{32: 402.1, 3: 37.7, 2: 25.1, 40: 502.7} {
		if got := (parts.Element{Lumens: lumens}).MSCP(); !near(got, mscp, 2e-3) {
			t.Errorf("%g lm: %g mscp, want %g", lumens, got, mscp)
		}
	}
}

// Light against voltage by the exponent 3.4 of the Standard Handbook for
// Electrical Engineers.
func TestRerating(t *testing.T) {
	for u, pct := range map[float64]float64{1: 100, 0.95: 84.0, 0.90: 69.9, 0.85: 57.5, 0.80: 46.8, 0.70: 29.7, 0.50: 9.5, 0.25: 0.90} {
		if got := 100 * parts.Light(u*12.8, 12.8); !near(got, pct, 0.005) {
			t.Errorf("u %g: %g %% light, want %g", u, got, pct)
		}
	}
	if got := parts.Light(-10.88, 12.8); !near(got, 0.575, 0.005) {
		t.Errorf("backwards: light %g, want 0.575: a filament knows no direction", got)
	}
	// 1157 at 13.5 V: stop 2.162 A and 119.8 %, tail 0.578 A and 88.4 %.
	for _, tt := range []struct {
		name        parts.ElementName
		amps, light float64
	}{{parts.Major, 2.162, 1.198}, {parts.Minor, 0.578, 0.884}} {
		e := mustElement(t, "1157", tt.name)
		if got := current(t, e, 13.5); !near(got, tt.amps, 1e-3) {
			t.Errorf("%s at 13.5 V: %g A, want %g", tt.name, got, tt.amps)
		}
		if got := parts.Light(13.5, e.Volts); !near(got, tt.light, 1e-3) {
			t.Errorf("%s at 13.5 V: light %g, want %g", tt.name, got, tt.light)
		}
	}
}

// current solves one filament on a source.
func current(t *testing.T, e parts.Element, volts float64) float64 {
	t.Helper()
	c := circuit.New()
	c.Source("supply", c.Node("bat"), circuit.Ground, volts)
	lamp := c.Filament("lamp", c.Node("bat"), circuit.Ground, circuit.FilamentModel{Volts: e.Volts, Amps: e.Amps, ColdRatio: circuit.ColdRatio})
	s := circuit.NewSolver(c)
	if err := s.Solve(c); err != nil {
		t.Fatal(err)
	}
	return s.Current(lamp)
}

// Every bulb is whole and says where it comes from.
func TestBulbTable(t *testing.T) {
	ids := parts.BulbIDs()
	if len(ids) < 29 {
		t.Errorf("%d bulbs, once there were 29", len(ids))
	}
	for _, id := range ids {
		b, ok := parts.FindBulb(id)
		if !ok || b.ID != id || b.Cap == "" {
			t.Errorf("bulb %s is not whole", id)
		}
		for _, e := range []parts.Element{b.Bright(), b.Dim()} {
			if e.Volts < 12 || e.Volts > 14.5 || e.Amps <= 0 || e.Amps > 3 {
				t.Errorf("%s %s: %g V, %g A", id, e.Name, e.Volts, e.Amps)
			}
			if e.Origin.Source == "" || !slices.Contains([]string{"high", "medium", "low"}, e.Origin.Sure) ||
				!slices.Contains([]parts.Known{parts.Seen, parts.Partly, parts.Memory, parts.Assumed}, e.Origin.Known) {
				t.Errorf("%s %s: origin %+v", id, e.Name, e.Origin)
			}
		}
		if b.Bright().Amps < b.Dim().Amps {
			t.Errorf("%s: the bright filament draws less than the dim one", id)
		}
	}
	if slices.Contains(ids[1:], ids[0]) {
		t.Error("a bulb stands twice")
	}
	if _, ok := parts.FindBulb("9999"); ok {
		t.Error("a bulb nobody knows was found")
	}
}

// The yard-stick of California Vehicle Code 24252(b): 85 % of the design
// voltage, which is 57.5 % of the light.
func TestYardStick(t *testing.T) {
	for name, want := range map[parts.ElementName]float64{parts.Major: 10.88, parts.Minor: 11.90} {
		e := mustElement(t, "1157", name)
		if got := parts.YardStick * e.Volts; !near(got, want, 1e-9) {
			t.Errorf("%s: %g V, want %g", name, got, want)
		}
		if got := parts.Light(parts.YardStick*e.Volts, e.Volts); !near(got, 0.575, 1e-3) {
			t.Errorf("%s: light %g, want 0.575", name, got)
		}
	}
}
