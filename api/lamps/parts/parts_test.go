package parts_test

import (
	"math"
	"slices"
	"testing"

	"pintail/api/finding"
	"pintail/api/lamps/parts"
)

// Forward voltages of the two diode models. Schottky: data-sheet maxima of the
// JEDEC type 1N5822, 0.525 V at 3 A and 0.950 V at 9.4 A; the others solved.
func TestDiodes(t *testing.T) {
	for _, tt := range []struct {
		id    string
		amps  float64
		volts float64
	}{
		{"silicon", 0.1, 0.703}, {"silicon", 1, 0.818}, {"silicon", 2.1, 0.862}, {"silicon", 3, 0.886}, {"silicon", 6, 0.944},
		{"schottky", 0.1, 0.254}, {"schottky", 1, 0.372}, {"schottky", 2.1, 0.460}, {"schottky", 3, 0.525}, {"schottky", 6, 0.728},
		{"schottky", 9.4, 0.950},
	} {
		d, ok := parts.FindDiode(tt.id)
		if !ok {
			t.Fatalf("no diode %s", tt.id)
		}
		// Shockley at 27 °C, kT/q = 0.025865 V.
		if got := d.N*0.025865*math.Log1p(tt.amps/d.IS) + tt.amps*d.RS; !near(got, tt.volts, 0.002) {
			t.Errorf("%s at %g A: %g V, want %g", tt.id, tt.amps, got, tt.volts)
		}
	}
	if _, ok := parts.FindDiode("germanium"); ok {
		t.Error("a diode nobody recorded was found")
	}
}

// Heat: 40 °C a watt from junction to air, data sheet of the 1N5822; a stop
// lamp's silicon diode in air of 60 °C reaches 132 °C, a Schottky 99 °C, a
// silicon diode that feeds the whole tail circuit 157 °C.
func TestHeat(t *testing.T) {
	for _, tt := range []struct {
		id    string
		watts float64
		want  float64
		holds bool
	}{
		{"silicon", 2.1 * 0.862, 132, true}, {"schottky", 2.1 * 0.460, 99, true}, {"silicon", 2.435, 157, false},
	} {
		d, _ := parts.FindDiode(tt.id)
		got := d.JunctionAt(60, tt.watts)
		if !near(got, tt.want, 0.005) || (got <= d.JunctionMax) != tt.holds {
			t.Errorf("%s, %g W: %g °C of %g, want %g", tt.id, tt.watts, got, d.JunctionMax, tt.want)
		}
	}
}

// Contacts as the standards and their readers list them.
func TestConnectors(t *testing.T) {
	for _, tt := range []struct {
		connector string
		use       parts.Use
		number    string
		colour    string
	}{
		{"flat_4", parts.Ground, "1", "white"}, {"flat_4", parts.Tail, "2", "brown"}, {"flat_4", parts.Left, "3", "yellow"}, {"flat_4", parts.Right, "4", "green"},
		{"flat_5", parts.Left, "3", "yellow"}, {"round_6", parts.Tail, "TM", "brown"},
		{"blade_7", parts.Ground, "1", "white"}, {"blade_7", parts.Tail, "3", "brown"}, {"blade_7", parts.Left, "5", "yellow"}, {"blade_7", parts.Right, "6", "green"},
		{"round_7", parts.Stop, "4", "red"}, {"round_7", parts.Clearance, "2", "black"},
		{"iso_1724", parts.TailLeft, "7", "black"}, {"iso_1724", parts.TailRight, "5", "brown"}, {"iso_1724", parts.Stop, "6", "red"},
		{"iso_11446", parts.Ground, "3", "white"}, {"iso_11446", parts.Reverse, "8", "pink"}, {"iso_11446", parts.Power, "9", "orange"},
		{"as_2513", parts.Tail, "7", "brown"}, {"as_2513", parts.Stop, "6", "red"},
	} {
		c, ok := parts.FindConnector(tt.connector)
		if !ok {
			t.Fatalf("no connector %s", tt.connector)
		}
		if got, ok := c.For(tt.use); !ok || got.Number != tt.number || got.Colour != tt.colour {
			t.Errorf("%s %s: contact %q, %q, want %q, %q", tt.connector, tt.use, got.Number, got.Colour, tt.number, tt.colour)
		}
	}
	// Nobody may assume what the fifth wire does.
	flat, _ := parts.FindConnector("flat_5")
	for _, u := range []parts.Use{parts.Stop, parts.Reverse, parts.BrakeControl} {
		if _, ok := flat.For(u); ok {
			t.Errorf("the fifth wire was taken for %s", u)
		}
	}
}

// 53 contacts in eight connectors, each whole, numbered once, from a source.
func TestConnectorTable(t *testing.T) {
	total := 0
	for _, id := range parts.ConnectorIDs() {
		c, _ := parts.FindConnector(id)
		seen := map[string]bool{}
		for _, contact := range c.Contacts() {
			total++
			if seen[contact.Number] || contact.Number == "" || contact.Use == "" || contact.Origin.Source == "" {
				t.Errorf("%s: contact %+v is not whole or stands twice", id, contact)
			}
			if contact.Colour == "" && contact.Use != parts.Reserved || (contact.Use == parts.Unsettled) != (len(contact.Also) > 0) {
				t.Errorf("%s: contact %s has no colour, or does not say what it may be", id, contact.Number)
			}
			seen[contact.Number] = true
		}
		if c.SplitsTail() != slices.Contains([]string{"iso_1724", "iso_11446"}, id) {
			t.Errorf("%s: splits the tail lamps: %t", id, c.SplitsTail())
		}
	}
	if want := 4 + 5 + 6 + 7 + 7 + 7 + 13 + 7; total != want {
		t.Errorf("%d contacts, want %d", total, want)
	}
	if _, ok := parts.FindConnector("flat_9"); ok {
		t.Error("a connector nobody recorded was found")
	}
}

func TestFunctionColours(t *testing.T) {
	for use, want := range map[parts.Use]string{
		parts.Ground: "white", parts.Tail: "brown", parts.Left: "yellow", parts.Right: "green", parts.Stop: "red",
		parts.BrakeControl: "blue", parts.Power: "black", parts.Reverse: "purple", parts.Unsettled: "",
	} {
		if got := parts.FunctionColour(use); got != want {
			t.Errorf("%s: %q, want %q", use, got, want)
		}
	}
}

func TestOrigins(t *testing.T) {
	for _, o := range []parts.Origin{parts.AmpacityOrigin(), parts.BundleOrigin(), parts.FuseOrigin()} {
		if b := o.Basis(); b.Reference == "" || b.Known == "" {
			t.Errorf("origin %+v gives basis %+v", o, b)
		}
	}
	if got := parts.BundleOrigin().Basis().Kind; got != finding.Memory {
		t.Errorf("what is recalled has basis %s, want memory", got)
	}
	if got := parts.AmpacityOrigin().Basis().Kind; got != finding.Standard {
		t.Errorf("what was read has basis %s, want standard", got)
	}
}
