package rules

import "pintail/api/finding"

// JurisdictionsInput is the input of rules/jurisdictions: nothing.
type JurisdictionsInput struct{}

// Validate finds nothing wrong.
func (JurisdictionsInput) Validate() *finding.Error { return nil }

// Registry is the answer of rules/jurisdictions.
type Registry struct {
	finding.Stamp `json:",inline"`
	Jurisdictions []Jurisdiction `json:"jurisdictions"`
}

// Jurisdiction is one state or province, and how far its law was read.
type Jurisdiction struct {
	// Code is ISO 3166-2.
	Code string `json:"code"`
	Name string `json:"name"`
	// Neighbours are those reached by land or bridge, in order.
	Neighbours []string             `json:"neighbours"`
	Coverage   map[Subject]Coverage `json:"coverage"`
}

// Jurisdictions lists every jurisdiction known and how far its law was read.
func Jurisdictions(JurisdictionsInput) Registry {
	var r Registry
	for i := range builtIn().places {
		p := &builtIn().places[i]
		j := Jurisdiction{Code: p.Code, Name: p.Name, Neighbours: append([]string{}, p.Neighbours...), Coverage: map[Subject]Coverage{}}
		for k, s := range subjects {
			j.Coverage[s] = p.coverage(k)
		}
		r.Jurisdictions = append(r.Jurisdictions, j)
	}
	return r
}

// coverage is how far one subject was read.
func (p *place) coverage(s int) Coverage {
	best := CoverageNotFound
	if len(p.silent[s]) > 0 {
		best = CoverageSilent
	}
	for _, r := range p.about(s) {
		switch {
		case r.Says == SaysNotFound:
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

// about are the rows whose own subject it is.
func (p *place) about(s int) []*Row {
	var rows []*Row
	for _, lists := range []*perSubject[[]*Row]{&p.rows, &p.joined, &p.reliefs} {
		for _, list := range lists {
			for _, r := range list {
				if r.Subject == subjects[s] {
					rows = append(rows, r)
				}
			}
		}
	}
	return rows
}
