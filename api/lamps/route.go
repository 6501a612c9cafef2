package lamps

import "pintail/api/rig"

// way is how stop and turn travel from the motorhome to the car's lamps.
type way int

const (
	notKnown way = iota
	shared       // left and right feed carry stop and turn to one lamp a side
	apart        // a feed and a lamp each
	split        // a converter tells stop and turn apart from two feeds
	merged       // a converter puts three feeds on one lamp a side
	clash        // three feeds meet on one lamp a side with no converter
)

// target is what the feeds arrive at.
type target int

const (
	targetUnknown  target = iota
	factoryOneLamp        // the car's own, stop and turn on one lamp a side
	factoryApart          // the car's own, stop and turn on lamps of their own
	addedLamps            // bulbs or lamps that are not the car's own
	// ownOrAdded is where only one of factoryApart and addedLamps can be: the
	// two light alike.
	ownOrAdded
)

func targetOf(h rig.Harness, t rig.Towed) target {
	factory := h.Approach == rig.SteeringDiodes || h.Approach == rig.RelayBypass || h.Approach == rig.SplicedOn
	apart := t.RearLamps == rig.AmberTurn || t.RearLamps == rig.RedTurn
	switch {
	case h.Approach == rig.SeparateBulbs || h.Approach == rig.RemovableLamps:
		return addedLamps
	case factory && t.RearLamps == rig.CombinedLamps:
		return factoryOneLamp
	case factory && apart:
		return factoryApart
	case h.Approach == "" && apart:
		return ownOrAdded
	}
	return targetUnknown
}

// route finds the way of stop and turn. Where it is not known, or the converter
// recorded does not fit, it says what to find out.
func route(h rig.Harness, t rig.Towed) (way, needs) {
	to := targetOf(h, t)
	switch h.Signals {
	case rig.CombinedSignals:
		return routeCombined(h.Converter, to, h, t)
	case rig.SeparateSignals:
		return routeSeparate(h.Converter, to, h, t)
	}
	return notKnown, needs{{nil, "/harness/signals", "lamps.cause.signals"}}
}

func routeCombined(c rig.Converter, to target, h rig.Harness, t rig.Towed) (way, needs) {
	switch {
	case c == rig.NoConverter, c == "" && (to == factoryOneLamp || to == addedLamps):
		return shared, nil
	case c == "":
		return notKnown, needs{converterUnknown}
	case c == rig.SeparatesSignals && to == targetUnknown:
		return notKnown, arrangementUnknown(h, t)
	case c == rig.SeparatesSignals && to != factoryOneLamp:
		return split, nil
	}
	return notKnown, needs{converterUnfit}
}

func routeSeparate(c rig.Converter, to target, h rig.Harness, t rig.Towed) (way, needs) {
	switch {
	case c == rig.CombinesSignals:
		return merged, nil
	case c == rig.SeparatesSignals:
		return notKnown, needs{converterUnfit}
	case to == targetUnknown:
		return notKnown, arrangementUnknown(h, t)
	case to != factoryOneLamp:
		return apart, nil
	case c == rig.NoConverter:
		return clash, nil
	}
	return notKnown, needs{converterUnknown}
}

var (
	converterUnknown = need{nil, "/harness/converter", "lamps.cause.converter"}
	converterUnfit   = need{nil, "/harness/converter", "lamps.cause.converter_unfit"}
)

func arrangementUnknown(h rig.Harness, t rig.Towed) needs {
	var ns needs
	if h.Approach == "" {
		ns = append(ns, need{nil, "/harness/approach", "lamps.cause.approach"})
	}
	if t.RearLamps == "" {
		ns = append(ns, need{nil, "/towed/rear_lamps", "lamps.cause.rear_lamps"})
	}
	return ns
}

// tiedThroughTurnSwitch reports whether a turn feed lights both sides: in a car
// with combined lamps the turn switch at rest ties the left and right filaments
// together, and nothing on a spliced harness keeps the feed out of that tie.
func tiedThroughTurnSwitch(h rig.Harness, t rig.Towed) bool {
	return h.Approach == rig.SplicedOn && t.RearLamps == rig.CombinedLamps
}
