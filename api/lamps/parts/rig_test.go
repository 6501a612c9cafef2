package parts_test

import (
	"slices"
	"testing"

	"pintail/api/lamps/parts"
	"pintail/api/rig"
)

// What a person can record in a rig is a part that is known, and the other way
// round.
func TestEveryPartARigNames(t *testing.T) {
	same := func(what string, named, known []string) {
		t.Helper()
		slices.Sort(named)
		slices.Sort(known)
		if !slices.Equal(named, known) {
			t.Errorf("%s: a rig names %q, known are %q", what, named, known)
		}
	}
	same("bulbs", rig.BulbID("").Values(), parts.BulbIDs())
	same("connectors", rig.ConnectorKind("").Values(), parts.ConnectorIDs())
	for _, kind := range rig.DiodeKind("").Values() {
		if _, ok := parts.FindDiode(kind); !ok {
			t.Errorf("diodes: a rig names %s, which is not known", kind)
		}
	}
	for _, c := range rig.Conductor("").Values() {
		if c != string(parts.Solid) && parts.Conductor(c).Factor() == 1 {
			t.Errorf("conductors: a rig names %s, which has no factor of its own", c)
		}
	}
}
