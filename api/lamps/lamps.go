// Package lamps judges the car's rear lamps: which of them the harness as it is
// described can light, and which of its faults hide a signal.
//
// It answers on paper. Only a light test shows what the lamps do.
package lamps

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Report is the answer of lamps/check.
type Report struct {
	finding.Stamp `json:",inline"`
	Verdict       finding.Verdict   `json:"verdict"`
	Findings      []finding.Finding `json:"findings"`
	Lit           Count             `json:"lit"`
}

// Count says how many lamps of each kind at the rear of the car the motorhome
// lights, and how many reflectors are there. An absent number is not known.
type Count struct {
	Tail       *int  `json:"tail,omitzero"`
	Stop       *int  `json:"stop,omitzero"`
	Turn       *int  `json:"turn,omitzero"`
	Clearance  *int  `json:"clearance,omitzero"`
	Reflectors *int  `json:"reflectors,omitzero"`
	Plate      *bool `json:"plate,omitzero"`
}

// Check judges a rig's rear lamps.
func Check(in rig.Input) Report {
	h, t := in.Rig.Harness, in.Rig.Towed
	r := Report{Lit: Lit(h, t)}
	judges := [...]func(rig.Rig) *finding.Finding{groundMissing, converterMissing, splicedOn, bothLampsOnOneFeed, turnMasked, interrupted}
	r.Findings = append(make([]finding.Finding, 0, 6+len(judges)),
		pairFinding("tail", tailNeeds(h, h.Lamps.Tail, "tail")), pairFinding("stop", stopNeeds(h, t)), pairFinding("turn", turnNeeds(h, t)),
		plateFinding(h), reflectorFinding(h))
	for _, judge := range judges {
		if f := judge(*in.Rig); f != nil {
			r.Findings = append(r.Findings, *f)
		}
	}
	r.Findings = append(r.Findings, lightTest())
	finding.Sort(r.Findings)
	r.Verdict = finding.Worst(r.Findings)
	return r
}

// Lit counts the rear lamps that the harness as described lights. A lamp counts
// only when its feed, its ground and its connection are recorded; it is dark
// when one of them is recorded as missing, and otherwise not known.
func Lit(h rig.Harness, t rig.Towed) Count {
	return Count{
		Tail:       count(tailNeeds(h, h.Lamps.Tail, "tail")),
		Stop:       count(stopNeeds(h, t)),
		Turn:       count(turnNeeds(h, t)),
		Clearance:  count(tailNeeds(h, h.Lamps.Clearance, "clearance")),
		Reflectors: h.Lamps.Reflectors,
		Plate:      plateNeeds(h).answer(),
	}
}
