package rules

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/unit"
)

// CoverageInput is the input of rules/coverage. What is left out does not
// narrow the list.
type CoverageInput struct {
	Jurisdiction string  `json:"jurisdiction,omitzero"`
	Subject      Subject `json:"subject,omitzero"`
	// On is the day that decides whether a text is old.
	On          unit.Date `json:"on,omitzero"`
	RuleChanges []Change  `json:"rule_changes,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in CoverageInput) Validate() *finding.Error {
	c := rig.NewChecker()
	checkFilter(c, in.Jurisdiction, in.Subject)
	c.Date("on", in.On)
	checkChanges(c.In("rule_changes"), in.RuleChanges, MaxRows)
	return c.Err()
}

// CoverageReport is the answer of rules/coverage: how far the law of every
// jurisdiction was read, subject by subject.
type CoverageReport struct {
	finding.Stamp `json:",inline"`
	Jurisdictions []PlaceCoverage `json:"jurisdictions"`
	// Totals counts the subjects of all that are listed.
	Totals Totals `json:"totals"`
}

// Totals is how many points of law stand how.
type Totals struct {
	Read     int `json:"read"`
	Partly   int `json:"partly"`
	Silent   int `json:"silent"`
	NotFound int `json:"not_found"`
}

// PlaceCoverage is how far one jurisdiction was read.
type PlaceCoverage struct {
	Jurisdiction string `json:"jurisdiction"`
	Name         string `json:"name"`
	// Definition is whether its word trailer covers a car; absent where it was
	// not looked up.
	Definition *Definition       `json:"definition,omitzero"`
	Subjects   []SubjectCoverage `json:"subjects"`
}

// SubjectCoverage is how far one subject of one jurisdiction was read.
type SubjectCoverage struct {
	Subject  Subject  `json:"subject"`
	Coverage Coverage `json:"coverage"`
	// Rows is how many rows count, Yours how many of them the workspace added or
	// changed.
	Rows  int `json:"rows"`
	Yours int `json:"yours,omitzero"`
	// Known is the best grade among them; NewestText the year of the newest text.
	Known      Known `json:"known,omitzero"`
	NewestText int   `json:"newest_text,omitzero"`
	// Old is true where even that is older than five years.
	Old bool `json:"old,omitzero"`
	// Sections are those read in full that say nothing.
	Sections []RowRef `json:"sections,omitzero"`
}

// Cover says how far the law was read.
func Cover(in CoverageInput) CoverageReport {
	out := CoverageReport{Jurisdictions: []PlaceCoverage{}}
	for _, p := range builtIn().with(in.RuleChanges).places {
		if in.Jurisdiction != "" && in.Jurisdiction != p.Code {
			continue
		}
		pc := PlaceCoverage{Jurisdiction: p.Code, Name: p.Name, Subjects: make([]SubjectCoverage, 0, len(subjects))}
		if p.definition.Jurisdiction != "" {
			pc.Definition = &p.definition
		}
		for i, s := range subjects {
			if in.Subject == "" || in.Subject == s {
				cell := p.cell(i, in.On)
				out.Totals.add(cell.Coverage)
				pc.Subjects = append(pc.Subjects, cell)
			}
		}
		out.Jurisdictions = append(out.Jurisdictions, pc)
	}
	return out
}

func (t *Totals) add(c Coverage) {
	switch c {
	case CoverageRead:
		t.Read++
	case CoveragePartly:
		t.Partly++
	case CoverageSilent:
		t.Silent++
	default:
		t.NotFound++
	}
}

func (p *place) cell(subject int, on unit.Date) SubjectCoverage {
	cell := SubjectCoverage{Subject: subjects[subject], Coverage: p.coverage(subject)}
	for _, r := range p.all {
		if int(r.index) != subject {
			continue
		}
		cell.Rows++
		if r.text.Yours {
			cell.Yours++
		}
		if cell.Known == "" || better(r.Known, cell.Known) {
			cell.Known = r.Known
		}
		cell.NewestText = max(cell.NewestText, r.TextYear)
	}
	cell.Old = old(cell.NewestText, on)
	for i := range p.silent[subject] {
		s := &p.silent[subject][i]
		cell.Sections = append(cell.Sections, RowRef{ID: s.id, Reading: Silent, Met: None, RowText: &s.text})
	}
	return cell
}

// better reports whether a is a better grade than b.
func better(a, b Known) bool { return a == High && b != High || a == Medium && b == Low }

// coverage is how far one subject was read. Only a section or row that says so
// makes it silent; a row that nobody found makes nothing.
func (p *place) coverage(subject int) Coverage {
	best := CoverageNotFound
	if len(p.silent[subject]) > 0 {
		best = CoverageSilent
	}
	for _, r := range p.all {
		switch {
		case int(r.index) != subject || r.Says == SaysNotFound:
		case r.Says == SaysSilent || r.Covers == OtherThing:
			if best == CoverageNotFound {
				best = CoverageSilent
			}
		case !r.weak() && r.Covers != Unclear && r.Doubt == "":
			return CoverageRead
		default:
			best = CoveragePartly
		}
	}
	return best
}
