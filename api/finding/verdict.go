// Package finding holds what every answer is made of: verdicts, findings with
// the figures and the basis that led to them, the sentences of the catalogue,
// and the core's one Error type.
package finding

// Verdict is one of four words. Unknown is a verdict: FindOut, never a guess.
type Verdict string

// The verdicts, from best to worst.
const (
	OK      Verdict = "ok"
	Mind    Verdict = "mind"
	FindOut Verdict = "find_out"
	NoGo    Verdict = "no_go"
)

// Values lists the verdicts from best to worst.
func (Verdict) Values() []string { return []string{"ok", "mind", "find_out", "no_go"} }

// rank orders verdicts; an unknown word ranks worst, so that a slip is never
// read as an OK.
func (v Verdict) rank() int {
	switch v {
	case OK:
		return 0
	case Mind:
		return 1
	case FindOut:
		return 2
	}
	return 3
}

// Worse reports whether v is worse than o.
func (v Verdict) Worse(o Verdict) bool { return v.rank() > o.rank() }

// Area says which of the things that must work together a finding is about.
type Area string

// The areas, in the order in which a report shows them.
const (
	Permission Area = "permission"
	Coupling   Area = "coupling"
	Brakes     Area = "brakes"
	Breakaway  Area = "breakaway"
	Lamps      Area = "lamps"
	Battery    Area = "battery"
	Law        Area = "law"
	Trip       Area = "trip"
)

// Values lists the areas in the order in which a report shows them.
func (Area) Values() []string {
	return []string{"permission", "coupling", "brakes", "breakaway", "lamps", "battery", "law", "trip"}
}

func (a Area) rank() int {
	for i, v := range a.Values() {
		if v == string(a) {
			return i
		}
	}
	return len(a.Values())
}
