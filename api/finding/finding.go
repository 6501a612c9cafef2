package finding

import (
	"cmp"
	"slices"
)

// Finding is one statement about a rig or a trip.
type Finding struct {
	// ID is stable across versions, for example "coupling.weakest-link".
	ID      string  `json:"id"`
	Area    Area    `json:"area"`
	Verdict Verdict `json:"verdict"`
	// Decides is true when the report's verdict can be no better than this one.
	Decides bool `json:"decides"`
	Says    Text `json:"says"`
	// Figures are the numbers with units that led to the verdict.
	Figures []Figure `json:"figures,omitzero"`
	// Basis is never empty on an OK.
	Basis  []Basis `json:"basis,omitzero"`
	Remedy *Text   `json:"remedy,omitzero"`
	// Fields are JSON Pointers into the rig: what to fill in, read or change.
	Fields []string `json:"fields,omitzero"`
}

// Figure is one number of a finding: a quantity as entered, or a computed
// number with its unit. Exactly one of Mass, Length, Speed, Temperature and
// Number is set.
type Figure struct {
	// Label is a catalogue id, for example "figure.car_actual".
	Label string `json:"label"`
	Value Param  `json:"value"`
	// Entered is true for what a person typed, false for what we computed.
	Entered bool `json:"entered"`
}

// BasisKind says what a statement rests on.
type BasisKind string

// The kinds of basis.
const (
	Rating   BasisKind = "rating"   // a label or maker's figure the person entered
	Statute  BasisKind = "statute"  // a law row
	Standard BasisKind = "standard" // a published standard or federal rule used as a yard-stick
	Practice BasisKind = "practice" // common practice, no published source
	Measured BasisKind = "measured" // measured on this rig
	Computed BasisKind = "computed" // arithmetic on the figures shown
	Memory   BasisKind = "memory"   // recalled, not read: a lead, not a fact
)

// Values lists the kinds of basis.
func (BasisKind) Values() []string {
	return []string{"rating", "statute", "standard", "practice", "measured", "computed", "memory"}
}

// Basis is where a statement comes from.
type Basis struct {
	Kind BasisKind `json:"kind"`
	// Reference is a citation, a field of the rig, or a short statement.
	Reference string `json:"reference"`
	URL       string `json:"url,omitzero"`
	// Year is the year of the text read, 0 when not known.
	Year int `json:"year,omitzero"`
	// Known says how well it is known: high, medium or low; empty where that
	// does not apply.
	Known string `json:"known,omitzero"`
}

// Worst returns the worst verdict among the deciding findings, OK if there are
// none.
func Worst(fs []Finding) Verdict {
	worst := OK
	for _, f := range fs {
		if f.Decides && f.Verdict.Worse(worst) {
			worst = f.Verdict
		}
	}
	return worst
}

// Sort orders findings as a person should read them: worst first, deciding
// before not deciding, then by area and id; equals stay in their order.
func Sort(fs []Finding) {
	// A finding is large and full of pointers: sorting small keys and moving
	// each finding once costs a fraction of moving them about.
	var room [64]sortKey
	keys := room[:0]
	for i := range fs {
		keys = append(keys, sortKey{rank: fs[i].rank(), id: fs[i].ID, from: i})
	}
	slices.SortFunc(keys, sortKey.compare)
	for to := range keys {
		if keys[to].from != to {
			follow(fs, keys, to)
		}
	}
}

// follow moves the findings of one ring of the new order, each once: the place
// start gets the one meant for it, whose place gets the next, until it closes.
func follow(fs []Finding, keys []sortKey, start int) {
	first := fs[start]
	to := start
	for {
		from := keys[to].from
		keys[to].from = to
		if from == start {
			fs[to] = first
			return
		}
		fs[to] = fs[from]
		to = from
	}
}

type sortKey struct {
	rank int
	id   string
	from int
}

func (k sortKey) compare(o sortKey) int {
	if c := cmp.Compare(k.rank, o.rank); c != 0 {
		return c
	}
	if c := cmp.Compare(k.id, o.id); c != 0 {
		return c
	}
	return cmp.Compare(k.from, o.from)
}

// rank is small for what should be read first.
func (f *Finding) rank() int {
	rank := 2 * (NoGo.rank() - f.Verdict.rank())
	if !f.Decides {
		rank++
	}
	return 100*rank + f.Area.rank()
}

// Stamp names the engine and the facts that gave an answer. Every answer
// carries it.
type Stamp struct {
	EngineVersion string `json:"engine_version"`
	FactsVersion  string `json:"facts_version"`
}

// SetStamp records the stamp on the answer that embeds it.
func (s *Stamp) SetStamp(v Stamp) { *s = v }
