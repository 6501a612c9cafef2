package record

import (
	"strings"

	"pintail/api/finding"
)

// Word is the name of the kind of test.
func (k Kind) Word() finding.Param { return finding.Word("record.test." + string(k)) }

// WordOf is the name of a lamp, of a pin of the bench or of a part of the
// motorhome, its id where it has none.
func WordOf(id string) finding.Param {
	for _, word := range [...]string{"wiring.lamp." + id, "record.pin." + id, "survey.where." + id} {
		if finding.Sentence(word) != word {
			return finding.Word(word)
		}
	}
	return finding.Plain(id)
}

// Signals reports whether a lamp is one of those that tell others what the rig is
// about to do: tail, stop and turn lamps at the rear of the car.
func Signals(lamp string) bool {
	for _, kind := range [...]string{"tail_", "stop_", "turn_"} {
		if strings.HasPrefix(lamp, kind) {
			return true
		}
	}
	return false
}
