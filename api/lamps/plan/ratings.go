package plan

import (
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/unit"
)

// typicalInsulation is taken where nobody recorded the wire's: the class of
// ordinary automotive PVC (SAE J1128 GPT, 80 to 85 °C).
const typicalInsulation = 80

// rating is what conductors and contacts of one harness may carry.
type rating struct {
	insulation int
	// bundled is how many conductors lie together.
	bundled int
	// contact is what the label of the connector says, 0 where not recorded.
	contact float64
	// connector has no ID where nobody recorded its kind.
	connector parts.Connector
}

func ratingOf(r *rig.Rig, h *wiring.Harness) rating {
	t := rating{insulation: typicalInsulation}
	t.connector, _ = parts.FindConnector(string(r.Harness.Connector.Kind))
	if c := r.Harness.InsulationC; c != nil {
		t.insulation = *c
	}
	if a := r.Harness.Connector.ContactA; a != nil {
		t.contact = *a
	}
	for f, wired := range h.Wires {
		if wired && (wiring.Feed(f) != wiring.Stop || h.ThreeFeeds()) {
			t.bundled++
		}
	}
	if h.Ground {
		t.bundled++
	}
	return t
}

// car is what a wire through the car may carry, with the heat of its engine
// space; 0 where no table says.
func (t rating) car(awg int) float64 {
	amps, _ := parts.Ampacity(awg, t.insulation, true)
	return unit.Round9(amps * parts.BundleFactor(t.bundled))
}

// umbilical is what a conductor of the umbilical may carry, its contact
// included; 0 where no table says.
func (t rating) umbilical(awg int, f Function) float64 {
	amps, ok := parts.Ampacity(awg, t.insulation, false)
	amps = unit.Round9(amps * parts.BundleFactor(t.bundled))
	if contact := t.contactFor(f); contact > 0 && (!ok || contact < amps) {
		return contact
	}
	return amps
}

// contactFor is what a contact may carry: by the label recorded, otherwise by
// the connector's standard; 0 where neither says.
func (t rating) contactFor(f Function) float64 {
	if t.contact > 0 {
		return t.contact
	}
	for _, l := range lanes {
		if l.function == f {
			contact, _ := t.connector.For(l.use)
			return contact.Amps
		}
	}
	return 0
}
