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
	for _, p := range builtIn().places {
		j := Jurisdiction{Code: p.Code, Name: p.Name, Neighbours: append([]string{}, p.Neighbours...), Coverage: map[Subject]Coverage{}}
		for k, s := range subjects {
			j.Coverage[s] = p.coverage(k)
		}
		r.Jurisdictions = append(r.Jurisdictions, j)
	}
	return r
}
