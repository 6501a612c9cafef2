package walkround

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// tally names what a step counts, from the parts of this rig.
type tally string

// The tallies.
const (
	receiverPins tally = "receiver" // pins and clips of receiver, extension, adapter
	armPins      tally = "arms"     // pins and clips of bar, quick disconnect, base plate
	allPins      tally = "pins"     // pins and clips of the whole chain
	cableEnds    tally = "cables"   // both ends of each cable
	everything   tally = "all"      // pins, clips and cable ends
)

// on sets the number a step must reach, and the check that says it.
func (t tally) on(s *Step, r rig.Rig) {
	pins, clips, known := t.pins(r.Coupling)
	ends, cables := 2*len(r.Coupling.Cables), len(r.Coupling.Cables) > 0
	message, total := "walkround.count_pins", pins+clips
	switch t {
	case cableEnds:
		message, total, known = "walkround.count_cables", ends, cables
	case everything:
		message, total, known = "walkround.count_all", total+ends, known && cables
	}
	if !known {
		s.Check = finding.Advise(message+"_unknown.check", nil)
		return
	}
	s.Count = &total
	s.Check = finding.Advise(message+".check", finding.Params{
		"pins": whole(pins), "clips": whole(clips), "ends": whole(ends), "total": whole(total),
	})
}

func whole(n int) finding.Param { return finding.Num(float64(n), "") }

// pins adds up what a person counts on the parts, and whether every part of the
// tally is there and counted.
func (t tally) pins(k rig.Coupling) (pins, clips int, known bool) {
	missing := map[rig.PartKind]bool{}
	for _, kind := range t.mustHave() {
		missing[kind] = true
	}
	known = true
	for _, id := range k.Chain() {
		p := k.Parts[id]
		if !t.counts(p.Kind) {
			continue
		}
		delete(missing, p.Kind)
		if p.Pins == nil || p.Clips == nil {
			known = false
			continue
		}
		pins, clips = pins+*p.Pins, clips+*p.Clips
	}
	return pins, clips, known && len(missing) == 0
}

func (t tally) counts(kind rig.PartKind) bool {
	front := isOneOf(kind, rig.Receiver, rig.Extension, rig.Adapter)
	switch t {
	case receiverPins:
		return front
	case armPins:
		return !front
	}
	return true
}

// mustHave are the parts that every chain has; one that lacks them is not
// entered completely.
func (t tally) mustHave() []rig.PartKind {
	switch t {
	case receiverPins:
		return []rig.PartKind{rig.Receiver}
	case armPins:
		return []rig.PartKind{rig.TowBar, rig.BasePlate}
	}
	return []rig.PartKind{rig.Receiver, rig.TowBar, rig.BasePlate}
}

// uncounted are the places of the rig where a number is still missing.
func uncounted(k rig.Coupling) []string {
	var fields []string
	for _, id := range k.Chain() {
		if k.Parts[id].Pins == nil {
			fields = append(fields, "/coupling/parts/"+id+"/pins")
		}
		if k.Parts[id].Clips == nil {
			fields = append(fields, "/coupling/parts/"+id+"/clips")
		}
	}
	if _, _, complete := everything.pins(k); !complete && fields == nil {
		fields = append(fields, "/coupling/parts")
	}
	if len(k.Cables) == 0 {
		fields = append(fields, "/coupling/cables")
	}
	return fields
}
