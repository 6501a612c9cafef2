package walkround

import (
	"pintail/api/finding"
	"pintail/api/rig"
)

// Settlement is one device's word that it looked at a step which another device
// says is not done, and that it is done. It answers that one word of the other
// device and no later one.
type Settlement struct {
	// SaidAt is the moment of the word that is answered, as its tick has it.
	SaidAt Moment  `json:"said_at"`
	At     *Moment `json:"at,omitzero"`
}

func (s Settlement) check(c rig.Checker) {
	requireMoment(c, "said_at", s.SaidAt)
	checkMoment(c, "at", s.At)
}

// Settled is a device's "not done" that another device answered.
type Settled struct {
	Device string  `json:"device"`
	SaidAt Moment  `json:"said_at"`
	By     string  `json:"by"`
	At     *Moment `json:"at,omitzero"`
}

// settled finds who answered a device's "not done" of a step. The answer counts
// only while the device that gave it says done itself, and only for the very
// word it saw: whoever says "not done" anew is heard anew. No clocks are compared
// but for being the same.
func (r *Run) settled(step, device string) (Settled, bool) {
	said := r.Ticks[step][device]
	for _, by := range rig.Keys(r.Settled[step][device]) {
		s := r.Settled[step][device][by]
		if by != device && said.At != nil && *said.At == s.SaidAt && rig.Is(r.Ticks[step][by].Done, true) {
			return Settled{Device: device, SaidAt: s.SaidAt, By: by, At: s.At}, true
		}
	}
	return Settled{}, false
}

// settlements says how many disagreements were settled.
func (n *notes) settlements(stands []*Stand) {
	k := 0
	for _, st := range stands {
		k += len(st.Settled)
	}
	if k > 0 {
		n.aside("settled", finding.Mind, finding.Params{"n": whole(k)})
	}
}
