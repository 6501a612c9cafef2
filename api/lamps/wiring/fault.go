package wiring

import (
	"embed"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"

	"pintail/api/circuit"
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

// Place tells on which side of the plugs a fault sits.
type Place string

// The places.
const (
	InMotorhome Place = "motorhome"
	InUmbilical Place = "umbilical" // the cable and the contacts at its ends
	InCar       Place = "car"
)

// Values lists the places.
func (Place) Values() []string { return []string{"motorhome", "umbilical", "car"} }

// Fault is one thing that can be wrong, as it applies to one network.
type Fault struct {
	// ID is stable, for example open_left.
	ID    string
	Place Place
	// Weight is how often the trade meets it, against the other faults: a
	// judgement, not a count.
	Weight float64
	// OpensFuse is whether it blows a fuse, so that its lasting picture is that
	// of the blown fuse.
	OpensFuse bool

	row *faultRow
	ops []op
}

// Site is the fault without its size: what it is and where. Faults of one site
// are mended alike.
func (f *Fault) Site() string { return f.row.site }

// Kind is the fault without its size, its feed, its side and its lamp.
func (f *Fault) Kind() string { return f.row.say }

// Ohm is how large the fault is where it is a resistance, else 0.
func (f *Fault) Ohm() float64 { return f.row.ohm }

// Sized is the same fault with another resistance, in ohms. f must have one.
func (f *Fault) Sized(ohm float64) *Fault {
	g := *f
	g.ops = slices.Clone(f.ops)
	for i := range g.ops {
		if g.ops[i].does == add || g.ops[i].does == branch {
			g.ops[i].ohms = ohm
		}
	}
	return &g
}

// Loose reports whether moving a wire or a plug may make it come and go: it is
// in a contact, a splice or a wire, or two of them touch.
func (f *Fault) Loose() bool {
	for i := range f.ops {
		switch f.ops[i].does {
		case cut, add, bridge, toGround, unplug:
		default:
			return false
		}
	}
	return true
}

// Name is the fault in words.
func (f *Fault) Name() finding.Text { return finding.Say("wiring.fault."+f.row.say, f.row.params) }

// Say is a sentence of the catalogue about the fault: its feed, side, lamp or
// resistance are at hand in it.
func (f *Fault) Say(id string) finding.Text { return finding.Say(id, f.row.params) }

// Faults lists the faults of the catalogue that this network can have.
func (n *Network) Faults() []Fault {
	var all []Fault
	rows := catalogue()
	for i := range rows {
		if f, ok := n.bind(&rows[i]); ok {
			all = append(all, f)
		}
	}
	return all
}

// Fault returns the fault of that id, false if this network cannot have it.
func (n *Network) Fault(id string) (Fault, bool) {
	rows := catalogue()
	for i := range rows {
		if rows[i].ID == id {
			return n.bind(&rows[i])
		}
	}
	return Fault{}, false
}

// KnownFault reports whether any network can have a fault of that id.
func KnownFault(id string) bool {
	rows := catalogue()
	for i := range rows {
		if rows[i].ID == id {
			return true
		}
	}
	return false
}

//go:embed data/faults.json
var files embed.FS

// faultRow is a line of the data file, and each of the faults it stands for.
type faultRow struct {
	ID     string    `json:"id"`
	Place  Place     `json:"place"`
	Weight float64   `json:"weight"`
	Ohms   []float64 `json:"ohms,omitzero"`
	// For names what the harness must have beside the parts named: converter,
	// xor, relays, filaments or interrupter.
	For string   `json:"for,omitzero"`
	Do  []string `json:"do"`

	say, site string
	ohm       float64
	params    finding.Params
}

// catalogue is the data file with every line written out for each feed, side,
// resistance, lamp and diode it stands for.
var catalogue = sync.OnceValue(func() []faultRow {
	b, err := files.ReadFile("data/faults.json")
	var rows []faultRow
	if err == nil {
		err = strictjson.Unmarshal(b, &rows)
	}
	if err != nil {
		panic(err) // embedded; a test reads it
	}
	var all []faultRow
	for _, r := range rows {
		r.say = message(r.ID)
		all = append(all, r.spread()...)
	}
	return all
})

// message is the id without what a line leaves open.
func message(id string) string {
	for _, p := range placeholders {
		id = strings.ReplaceAll(id, "_{"+p.name+"}", "")
	}
	return strings.ReplaceAll(id, "_{ohm}", "")
}

// placeholders are what a line may leave open, what each stands for, and the
// names of its words. letter is the placeholder of the letter of its nodes.
var placeholders = []struct {
	name, letter, words string
	values              []string
}{
	{"feed", "x", "feed", []string{"tail", "left", "right", "stop"}},
	{"side", "y", "side", []string{"left", "right"}},
	{"drop", "", "drop", []string{"tail", "left", "right", "left_turn", "right_turn", "stop_left", "stop_right"}},
	{"own", "", "own", []string{"tail", "left", "right"}},
	{"lamp", "", "lamp", []string{"stop_left", "stop_right", "tail_left", "tail_right", "turn_left", "turn_right", "plate", "clearance_left", "clearance_right", "high_stop"}},
	{"led", "", "lamp", []string{"stop_left", "stop_right", "tail_left", "tail_right", "turn_left", "turn_right", "plate"}},
}

func (r faultRow) spread() []faultRow {
	rows := []faultRow{r}
	for _, p := range placeholders {
		if !strings.Contains(r.ID, "{"+p.name+"}") {
			continue
		}
		var more []faultRow
		for _, row := range rows {
			for _, v := range p.values {
				w := row.with(p.name, v, finding.Word("wiring."+p.words+"."+v))
				if p.letter != "" {
					w = w.with(p.letter, v[:1])
				}
				more = append(more, w)
			}
		}
		rows = more
	}
	for i := range rows {
		rows[i].site = strings.ReplaceAll(rows[i].ID, "_{ohm}", "")
	}
	if r.Ohms == nil {
		return rows
	}
	var more []faultRow
	for _, row := range rows {
		for _, ohm := range r.Ohms {
			row.ohm = ohm
			more = append(more, row.with("ohm", strconv.FormatFloat(ohm, 'g', -1, 64), finding.Num(ohm, "ohm")))
		}
	}
	return more
}

// with fills in one placeholder. In an id a resistance of 0.5 ohm is 0_5.
func (r faultRow) with(name, value string, params ...finding.Param) faultRow {
	mark := "{" + name + "}"
	r.ID = strings.ReplaceAll(r.ID, mark, strings.ReplaceAll(value, ".", "_"))
	do := make([]string, len(r.Do))
	for i, s := range r.Do {
		do[i] = strings.ReplaceAll(s, mark, value)
	}
	r.Do = do
	named := maps.Clone(r.params)
	for _, p := range params {
		if named == nil {
			named = finding.Params{}
		}
		named[name] = p
	}
	r.params = named
	return r
}

// bind finds the row's parts in the network. A row whose parts are not there, or
// would change nothing, does not apply.
func (n *Network) bind(r *faultRow) (Fault, bool) {
	f := Fault{ID: r.ID, Place: r.Place, Weight: r.Weight, row: r}
	if !n.fits(r.For) {
		return f, false
	}
	for _, do := range r.Do {
		o, ok := n.read(strings.Fields(do))
		if !ok {
			return f, false
		}
		f.OpensFuse = f.OpensFuse || o.does == toGround
		f.ops = append(f.ops, o)
	}
	return f, true
}

func (n *Network) fits(what string) bool {
	h := &n.Harness
	switch what {
	case "converter":
		return h.Combines() || h.Splits()
	case "xor":
		return h.Combines() && h.Logic == rig.ConverterXOR
	case "relays":
		return h.Approach == rig.RelayBypass
	case "filaments":
		return !h.StopBulb.LED && !h.TailBulb.LED && h.StopBulb.ID == h.TailBulb.ID
	case "interrupter":
		return h.Interrupted
	}
	return true
}

// does is one kind of change.
type does uint8

const (
	cut does = 1 + iota
	short
	mend
	add
	turn
	swap
	bridge
	toGround
	fuse
	logic
	flasher
	pedal
	notCut
	stuck
	branch
	unplug
)

// op is one change bound to a network.
type op struct {
	does does
	p, q circuit.Part
	a, b circuit.Node
	ohms float64
	feed Feed
	fuse string
}

// read binds one change: its verb and what it is done to.
func (n *Network) read(words []string) (o op, ok bool) {
	arg := func(i int) string {
		if i < len(words) {
			return words[i]
		}
		return ""
	}
	switch words[0] {
	case "cut":
		return n.onPart(cut, arg(1), func(s standing) bool { return s.condition == circuit.Sound })
	case "short":
		return n.onPart(short, arg(1), func(s standing) bool { return s.oneWay })
	case "turn":
		return n.onPart(turn, arg(1), func(s standing) bool { return s.oneWay && s.condition == circuit.Sound })
	case "mend":
		return n.onPart(mend, arg(1), func(s standing) bool { return s.condition == circuit.Cut })
	case "add":
		o, ok = n.onPart(add, arg(1), func(s standing) bool { return s.ohms > 0 && s.condition == circuit.Sound })
		o.ohms = number(arg(2))
	case "stuck":
		o, ok = n.onPart(stuck, arg(1), func(s standing) bool { return s.condition == circuit.Sound })
		o.feed = n.feedOf(o.p)
	case "swap":
		o, ok = n.onPart(swap, arg(1), anyPart)
		other, there := n.onPart(swap, arg(2), anyPart)
		o.q = other.p
		return o, ok && there
	case "bridge", "ground":
		return n.bridge(words[0], arg(1), arg(2), arg(3))
	case "fuse":
		return op{does: fuse, fuse: arg(1)}, n.fuseMatters(arg(1))
	case "logic":
		return op{does: logic, fuse: arg(1)}, true
	case "branch":
		h := &n.Harness
		return op{does: branch, ohms: number(arg(1))}, !h.Combines() && !h.Splits() && n.fuseMatters("stop")
	case "flasher":
		return op{does: flasher}, true
	case "pedal":
		return op{does: pedal}, true
	case "not_cut":
		return op{does: notCut}, true
	case "unplug":
		return op{does: unplug}, true
	}
	return o, ok
}

func anyPart(s standing) bool { return s.condition == circuit.Sound }

// fuseMatters reports whether anything hangs on a fuse: a motorhome with separate
// signals whose stop feed goes nowhere lights no stop lamp through it.
func (n *Network) fuseMatters(name string) bool {
	h := &n.Harness
	return name != "stop" || h.Signals == rig.CombinedSignals || h.Combines() || n.has(Stop)
}

func (n *Network) onPart(d does, name string, can func(standing) bool) (op, bool) {
	p, ok := n.byName[name]
	return op{does: d, p: p}, ok && can(n.base[p])
}

func (n *Network) feedOf(p circuit.Part) Feed {
	for f := range feeds {
		if n.source[f] == p {
			return f
		}
	}
	return 0
}

// bridge binds a resistance between two nodes, or a short of one to the car's
// body, where it is the feed that counts.
func (n *Network) bridge(verb, a, b, ohms string) (op, bool) {
	from, there := n.Node(a)
	if verb == "ground" {
		f := Feed(strings.Index("tlrs", b[:1]))
		to, _ := n.Node("g")
		wired := n.has(f) && n.base[n.umbilical[f]].condition == circuit.Sound
		return op{does: toGround, a: from, b: to, ohms: shortOhm, feed: f}, there && wired
	}
	to, both := n.Node(b)
	return op{does: bridge, a: from, b: to, ohms: number(ohms)}, there && both
}

// shortOhm is a chafed wire on bare metal.
const shortOhm = 0.005

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err) // embedded; a test reads it
	}
	return v
}

// add notes what a fault does to switches, fuses and logic.
func (t *trouble) add(o *op) {
	switch o.does {
	case fuse:
		t.tailFuse = t.tailFuse || o.fuse == "tail"
		t.turnFuse = t.turnFuse || o.fuse == "turn"
		t.stopFuse = t.stopFuse || o.fuse == "stop"
	case logic:
		t.logic = rig.ConverterLogic(o.fuse)
	case flasher:
		t.flasherStuck = true
	case pedal:
		t.pedalHeld = true
	case notCut:
		t.notCut = true
	case stuck:
		t.stuckOn[o.feed] = true
	case branch:
		t.stopBranchOhm += o.ohms
	case toGround:
		t.shorted[o.feed] = true
	}
}

// apply makes a fault's change to the circuit.
func (n *Network) apply(o *op, prospective bool) {
	switch o.does {
	case cut:
		n.condition(o.p, circuit.Cut)
	case short:
		n.condition(o.p, circuit.Shorted)
	case mend:
		n.condition(o.p, circuit.Sound)
	case add:
		n.touch(o.p)
		n.circuit.SetOhms(o.p, n.base[o.p].ohms+o.ohms)
	case turn:
		n.touch(o.p)
		n.circuit.SetEnds(o.p, n.base[o.p].b, n.base[o.p].a)
	case swap:
		n.swap(o.p, o.q)
	case bridge:
		n.span(o.a, o.b, o.ohms)
	case toGround:
		if prospective {
			n.span(o.a, o.b, o.ohms)
		}
	case unplug:
		for _, p := range n.plug {
			n.condition(p, circuit.Cut)
		}
	}
}

// swap exchanges what two parts begin at: two wires in each other's place.
func (n *Network) swap(p, q circuit.Part) {
	n.touch(p)
	n.touch(q)
	pa, pb := n.circuit.Ends(p)
	qa, qb := n.circuit.Ends(q)
	n.circuit.SetEnds(p, qa, pb)
	n.circuit.SetEnds(q, pa, qb)
}

// span lays one of the spare resistors between two nodes.
func (n *Network) span(a, b circuit.Node, ohms float64) {
	if n.bridges == len(n.spare) {
		return
	}
	p := n.spare[n.bridges]
	n.bridges++
	n.touch(p)
	n.circuit.SetEnds(p, a, b)
	n.circuit.SetOhms(p, ohms)
	n.circuit.SetCondition(p, circuit.Sound)
}
