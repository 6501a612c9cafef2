package lamps

import "pintail/api/rig"

// need is one thing a lamp needs before it lights: a feed, a ground, a
// connection, or two ends that understand each other.
type need struct {
	// is is nil where nobody recorded it.
	is *bool
	// field points into the rig, word names the thing in the catalogue.
	field, word string
}

// needs are all the things one lamp needs.
type needs []need

// answer is true when all are there, false when one is missing, nil otherwise.
func (ns needs) answer() *bool {
	all := true
	for _, n := range ns {
		switch {
		case rig.Is(n.is, false):
			return n.is
		case n.is == nil:
			all = false
		}
	}
	if !all {
		return nil
	}
	return &all
}

// count is the number of lamps of a pair that light, nil when either is not
// known.
func count(pair [2]needs) *int {
	n := 0
	for _, ns := range pair {
		lit := ns.answer()
		if lit == nil {
			return nil
		}
		if *lit {
			n++
		}
	}
	return &n
}

// that returns the needs of both lamps whose answer is want, nil for those not
// recorded, each field once.
func that(pair [2]needs, want *bool) needs {
	var found needs
	seen := map[string]bool{}
	for _, n := range append(append(needs{}, pair[0]...), pair[1]...) {
		same := n.is == nil && want == nil || n.is != nil && want != nil && *n.is == *want
		if same && !seen[n.field] {
			seen[n.field] = true
			found = append(found, n)
		}
	}
	return found
}

func feed(name string, is *bool) need {
	n := feedNames[name]
	n.is = is
	return n
}

func connection(kind, side string, is *bool) need {
	n := connectionNames[kind][side == "right"]
	n.is = is
	return n
}

// feedNames and connectionNames are where the needs are entered and what they
// are called: the same in every answer.
var (
	feedNames = func() map[string]need {
		all := map[string]need{}
		for _, name := range []string{"ground", "tail", "left", "right", "brake"} {
			all[name] = need{nil, "/harness/feeds/" + name, "lamps.feed." + name}
		}
		return all
	}()
	connectionNames = func() map[string]map[bool]need {
		all := map[string]map[bool]need{}
		for _, kind := range []string{"tail", "stop", "turn", "clearance"} {
			at := "/harness/lamps/" + kind
			all[kind] = map[bool]need{false: {nil, at + "/left", "lamps.lamp." + kind}, true: {nil, at + "/right", "lamps.lamp." + kind}}
		}
		return all
	}()
)

// ground is never a reason to call a lamp dark: without a conductor some
// current finds its way through the hitch. It only keeps a lamp from being
// proven.
func ground(h rig.Harness) need {
	n := feed("ground", h.Feeds.Ground)
	if rig.Is(n.is, false) {
		n.is = nil
	}
	return n
}

func tailNeeds(h rig.Harness, p rig.Pair, kind string) [2]needs {
	tail := feed("tail", h.Feeds.Tail)
	return [2]needs{
		{ground(h), tail, connection(kind, "left", p.Left)},
		{ground(h), tail, connection(kind, "right", p.Right)},
	}
}

func plateNeeds(h rig.Harness) needs {
	return needs{ground(h), feed("tail", h.Feeds.Tail), {h.Lamps.Plate, "/harness/lamps/plate", "lamps.lamp.plate"}}
}

func stopNeeds(h rig.Harness, t rig.Towed) [2]needs {
	way, unknown := route(h, t)
	left, right := feed("left", h.Feeds.Left), feed("right", h.Feeds.Right)
	var l, r needs
	switch way {
	case shared:
		l, r = needs{left}, needs{right}
	case split:
		// Only both feeds lit at once mean that the driver brakes.
		l, r = needs{left, right}, needs{left, right}
	case apart, merged, clash:
		brake := feed("brake", h.Feeds.Brake)
		l, r = needs{brake}, needs{brake}
	}
	l = append(append(needs{ground(h)}, unknown...), append(l, connection("stop", "left", h.Lamps.Stop.Left))...)
	r = append(append(needs{ground(h)}, unknown...), append(r, connection("stop", "right", h.Lamps.Stop.Right))...)
	return [2]needs{l, r}
}

func turnNeeds(h rig.Harness, t rig.Towed) [2]needs {
	way, unknown := route(h, t)
	own := way == apart || way == split
	common := append(needs{ground(h)}, unknown...)
	if way == clash {
		common = append(common, hiddenBy(h.Feeds.Brake))
	}
	if tiedThroughTurnSwitch(h, t) {
		no := false
		common = append(common, need{&no, "/harness/approach", "lamps.cause.spliced"})
	}
	side := func(name string, f, turn, stop *bool) needs {
		lamp := connection("turn", name, turn)
		if !own {
			lamp.is = either(turn, stop)
		}
		return append(append(needs{}, common...), feed(name, f), lamp)
	}
	return [2]needs{
		side("left", h.Feeds.Left, h.Lamps.Turn.Left, h.Lamps.Stop.Left),
		side("right", h.Feeds.Right, h.Lamps.Turn.Right, h.Lamps.Stop.Right),
	}
}

// hiddenBy is the need that no brake feed reaches the lamp that should flash.
func hiddenBy(brake *bool) need {
	n := need{nil, "/harness/converter", "lamps.cause.no_converter"}
	if brake != nil {
		free := !*brake
		n.is = &free
	}
	return n
}

// either is true when one of the two is, false when both are false.
func either(a, b *bool) *bool {
	switch {
	case rig.Is(a, true):
		return a
	case rig.Is(b, true):
		return b
	case a == nil || b == nil:
		return nil
	}
	return a
}
