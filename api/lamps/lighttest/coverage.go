package lighttest

import (
	"cmp"
	"math"

	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/sorting"
	"pintail/api/unit"
)

// CoverageInput is the input of lamps/coverage.
type CoverageInput struct {
	Rig *rig.Rig `json:"rig"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in CoverageInput) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	return c.Err()
}

// Coverage is the answer of lamps/coverage.
type Coverage struct {
	finding.Stamp `json:",inline"`
	Says          finding.Text `json:"says"`
	// Order is the steps in the order of the light test.
	Order []CoverStep `json:"order"`
	// Faults are all that this harness can have, each with the steps that show it.
	Faults []CoverFault `json:"faults"`
	// Alike are faults that look the same in every step.
	Alike []AlikeFaults `json:"alike,omitzero"`
	// Values are those that the answer rests on.
	Values []wiring.Value `json:"values"`
}

// CoverStep is one step and the faults that it is the first to show.
type CoverStep struct {
	Step wiring.Step `json:"step"`
	// Needed is whether it belongs to the least set of steps that shows all that
	// can be shown.
	Needed bool     `json:"needed"`
	Shows  []string `json:"shows,omitzero"`
}

// CoverFault is one fault and where it shows.
type CoverFault struct {
	ID    string        `json:"id"`
	Says  finding.Text  `json:"says"`
	Place wiring.Place  `json:"place"`
	Steps []wiring.Step `json:"steps,omitzero"` // none: no step shows it by eye
	// Reading shows it where no step does.
	Reading *Split `json:"reading,omitzero"`
}

// AlikeFaults are faults that no look tells apart.
type AlikeFaults struct {
	Faults []string `json:"faults"`
	// Reading tells most of them apart, absent where none tells any.
	Reading *Split `json:"reading,omitzero"`
}

// Split is a reading that tells causes apart.
type Split struct {
	Step  wiring.Step `json:"step"`
	Point string      `json:"point"`
	Amps  bool        `json:"amps,omitzero"`
	// Sound is the reading on a sound harness, Values those of the faults in their
	// order, in volts or amperes.
	Sound  float64   `json:"sound"`
	Values []float64 `json:"values"`
	// Parts is how many kinds of reading there are among the faults.
	Parts int `json:"parts"`
}

// Cover says which step shows which fault.
func Cover(in CoverageInput) Coverage {
	h := wiring.Describe(*in.Rig)
	p, err := pictures.Of(wiring.Build(h), 0)
	if err != nil {
		return Coverage{Says: finding.Say("trace.not_solved", nil), Order: []CoverStep{}, Faults: []CoverFault{}, Values: h.Values}
	}
	m := masks(p)
	c := Coverage{Faults: []CoverFault{}, Alike: alike(p), Values: h.Values}
	steps, needed := order(p, m)
	c.Order = ordered(p, m, steps, needed)
	never := 0
	for i := 1; i < p.Singles; i++ {
		f := faultOf(p, i, m[i])
		if f.Steps == nil {
			never++
		}
		c.Faults = append(c.Faults, f)
	}
	c.Says = finding.Say("light.coverage", finding.Params{
		"faults": count(len(c.Faults)), "shown": count(len(c.Faults) - never), "steps": count(needed),
	})
	return c
}

func count(n int) finding.Param { return finding.Num(float64(n), "") }

func ordered(p *pictures.Pictures, m []uint32, steps []int, needed int) []CoverStep {
	all := []CoverStep{}
	shown := uint32(0)
	for k, step := range steps {
		s := CoverStep{Step: p.Steps[step], Needed: k < needed}
		for i := range m {
			if m[i]&(1<<step) != 0 && m[i]&shown == 0 {
				s.Shows = append(s.Shows, p.Causes[i].Faults[0].ID)
			}
		}
		shown |= 1 << step
		all = append(all, s)
	}
	return all
}

func faultOf(p *pictures.Pictures, cause int, mask uint32) CoverFault {
	f := p.Causes[cause].Faults[0]
	c := CoverFault{ID: f.ID, Says: f.Name(), Place: f.Place}
	for step := range p.Steps {
		if mask&(1<<step) != 0 {
			c.Steps = append(c.Steps, p.Steps[step])
		}
	}
	if c.Steps == nil {
		c.Reading = split(p, []int{0, cause})
	}
	return c
}

// alike lists the faults of one look in all steps, by sites.
func alike(p *pictures.Pictures) []AlikeFaults {
	at := map[string]int{}
	var classes [][]int
	for i := 1; i < p.Singles; i++ {
		s := signature(p, i)
		k, known := at[s]
		if !known {
			k = len(classes)
			at[s] = k
			classes = append(classes, nil)
		}
		classes[k] = append(classes[k], i)
	}
	var all []AlikeFaults
	for _, class := range classes {
		if len(class) < 2 {
			continue
		}
		a := AlikeFaults{Reading: split(p, class)}
		for _, i := range class {
			a.Faults = append(a.Faults, p.Causes[i].Faults[0].ID)
		}
		all = append(all, a)
	}
	return all
}

// A meter tells two voltages or currents apart from these differences on: a
// tenth of the greater, and no less than so much. Judgement: contacts and supply
// differ by as much between two sound rigs.
const (
	tellsV, tellsA, tellsShare = 0.5, 0.3, 0.1
)

// split finds the reading with most kinds of outcome among causes, and of those
// the one whose kinds lie furthest apart.
func split(p *pictures.Pictures, causes []int) *Split {
	var best *Split
	bestGap := 0.0
	values := make([]float64, len(causes))
	sorted := make([]float64, len(causes))
	for step, s := range p.Steps {
		if s == wiring.StepUnplugged {
			continue // the car hangs on nothing that a meter could be held against
		}
		for point := range p.Points {
			x := &p.Points[point]
			for k, i := range causes {
				values[k] = math.Abs(p.Value(i, step, 0, wiring.Lit, point))
			}
			copy(sorted, values)
			sorting.By(sorted, cmp.Compare[float64])
			parts, gap := kinds(sorted, x.Amps)
			if parts < 2 || best != nil && (parts < best.Parts || parts == best.Parts && gap <= bestGap*1.01) {
				continue
			}
			best, bestGap = &Split{Step: s, Point: x.ID, Amps: x.Amps, Parts: parts, Sound: read(p, 0, step, point)}, gap
			for _, i := range causes {
				if i != 0 || len(causes) != 2 {
					best.Values = append(best.Values, read(p, i, step, point))
				}
			}
		}
	}
	return best
}

func read(p *pictures.Pictures, cause, step, point int) float64 {
	return unit.Round9(math.Round(1000*math.Abs(p.Value(cause, step, 0, wiring.Lit, point))) / 1000)
}

// kinds counts the clusters of sorted readings, and gives the least gap between
// two of them against what a meter tells.
func kinds(sorted []float64, amps bool) (parts int, gap float64) {
	least := tellsV
	if amps {
		least = tellsA
	}
	parts, gap = 1, math.Inf(1)
	for k := 1; k < len(sorted); k++ {
		need := max(least, tellsShare*sorted[k])
		if d := sorted[k] - sorted[k-1]; d > need {
			parts++
			gap = min(gap, d/need)
		}
	}
	return parts, gap
}
