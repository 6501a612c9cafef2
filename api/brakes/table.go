package brakes

import (
	_ "embed"
	"sync"

	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

// actuations is the selection table: engineering judgment, kept as data.
//
//go:embed data/actuations.json
var actuationsFile []byte

// table is what the selection rests on.
type table struct {
	Basis      string      `json:"basis"`
	Actuations []actuation `json:"actuations"`
	Rows       []row       `json:"rows"`
}

// actuation is one type, what it needs and what commands it.
type actuation struct {
	ID rig.Actuation `json:"id"`
	// Pedal is whether the car's pedal moves when it works.
	Pedal       bool             `json:"pedal,omitzero"`
	Controllers []rig.Controller `json:"controllers"`
	// Towing and Towed complete the sentences brakes.need.
	Towing []string `json:"towing"`
	Towed  []string `json:"towed"`
}

// row is what one value of one fact means for the types it touches.
type row struct {
	Fact fact   `json:"fact"`
	Is   string `json:"is"`
	// Cells are a judgment and the ending of the sentence that gives its reason.
	Cells map[rig.Actuation][2]string `json:"cells"`
}

func (r row) cell(a rig.Actuation) (fit Fit, reason string, ok bool) {
	c, ok := r.Cells[a]
	return Fit(c[0]), c[1], ok
}

var actuations = sync.OnceValue(func() *table {
	t := &table{}
	if err := strictjson.Unmarshal(actuationsFile, t); err != nil {
		panic(err) // compiled in; a test reads every row
	}
	return t
})

// reasonID is the message id of a reason.
func reasonID(f Fit, reason string) string {
	if f == RuledOut {
		return "brakes.ruled_out." + reason
	}
	return "brakes.why." + reason
}

// judgment is the basis of the table.
var judgment = finding.Basis{Kind: finding.Practice, Reference: "engineering judgment, from how each actuation type works"}
