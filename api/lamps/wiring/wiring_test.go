package wiring

import (
	"testing"

	"pintail/api/rig"
)

func TestSmoke(t *testing.T) {
	n := Build(Describe(rig.Rig{}, nil))
	t.Log(n.circuit.Nodes(), n.circuit.Parts(), len(n.Faults()))
	for _, s := range Steps() {
		for _, half := range []Half{Lit, Dark} {
			n.Set(State{Step: s, Half: half})
			if err := n.Solve(); err != nil {
				t.Fatal(s, half, err)
			}
			for i, l := range n.Lamps() {
				t.Logf("%s %s %s %.4f V %.1f %%", s, half, l.ID, n.Volts(i), 100*n.Light(i))
			}
		}
	}
}
