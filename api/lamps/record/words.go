package record

import (
	"strings"

	"pintail/api/finding"
)

// Word is the name of the kind of test.
func (k Kind) Word() finding.Param { return finding.Word("record.test." + string(k)) }

// WordOf is the name of something that a test of the kind found wrong: a lamp, a
// pin of the bench, a part of the motorhome; its id where it has none.
func (k Kind) WordOf(id string) finding.Param {
	words := []string{"wiring.lamp." + id, "record.pin." + id}
	if k == SocketSurvey {
		words = []string{"survey.where." + id}
	}
	for _, word := range words {
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
