package plan

import (
	"cmp"

	"pintail/api/finding"
	"pintail/api/lamps/parts"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
	"pintail/api/sorting"
	"pintail/api/unit"
)

// mapper lays out the points and links of a harness, from the motorhome's fuses
// to the lamps and back over the grounds.
type mapper struct {
	s      *survey
	h      *wiring.Harness
	rating rating
	points []Point
	links  []Link
}

func newMapper(a *assessment) *mapper {
	m := &mapper{s: a.s, h: &a.s.h, rating: a.rating}
	m.points, m.links = make([]Point, 0, 32), make([]Link, 0, 48)
	m.motorhome()
	m.umbilical()
	m.car()
	m.own()
	m.lampLinks()
	m.grounds()
	sorting.By(m.links, func(a, b Link) int { return cmp.Compare(a.Function.order(), b.Function.order()) })
	return m
}

// lane is everything that differs from feed to feed.
type lane struct {
	feed     wiring.Feed
	function Function
	side     Side
	use      parts.Use
	letter   string
}

var lanes = [...]lane{
	{wiring.Tail, TailFeed, Centre, parts.Tail, "t"},
	{wiring.Left, LeftFeed, OnLeft, parts.Left, "l"},
	{wiring.Right, RightFeed, OnRight, parts.Right, "r"},
	{wiring.Stop, StopFeed, Centre, parts.Stop, "s"},
}

// has reports whether the harness has the feed at all.
func (s *survey) has(l *lane) bool {
	_, ok := s.net.Part("source_" + l.feed.Name())
	return ok
}

// crosses reports whether the feed has a conductor of its own in the umbilical.
func (m *mapper) crosses(l *lane) bool { return m.s.has(l) && m.h.Wires[l.feed] }

func (m *mapper) motorhome() {
	m.point("supply", SupplyPoint, InMotorhome, Centre, "plan.point.supply", nil, "bat")
	for i := range lanes {
		l := &lanes[i]
		// A combining converter takes in a stop feed that does not leave it again.
		if !m.s.has(l) && !(m.h.Combines() && l.feed == wiring.Stop) {
			continue
		}
		id := "fuse_" + l.feed.Name()
		m.point(id, FusePoint, InMotorhome, l.side, "plan.point.fuse", finding.Params{"feed": feedWord(l.function)}, "")
		m.link(Link{ID: "power_" + l.feed.Name(), Function: l.function, Zone: InMotorhome, From: "supply", To: id}, "source_"+l.feed.Name())
	}
	m.point("socket", ConnectorPoint, InMotorhome, Centre, "plan.point.socket", nil, "")
	m.point("car_connector", ConnectorPoint, CarFront, Centre, "plan.point.car_connector", nil, "")
	if m.h.Combines() {
		m.point("converter", ConverterPoint, InMotorhome, Centre, "plan.point.converter", nil, "cv")
	}
	if m.h.Splits() {
		m.point("converter", ConverterPoint, CarFront, Centre, "plan.point.converter", nil, "cv")
	}
}

func (m *mapper) umbilical() {
	for i := range lanes {
		l := &lanes[i]
		from := "fuse_" + l.feed.Name()
		if m.h.Combines() && l.feed != wiring.Tail {
			m.link(Link{ID: "converter_" + l.feed.Name(), Function: l.function, Zone: InMotorhome, From: from, To: "converter"}, "")
			from = "converter"
		}
		if !m.crosses(l) {
			continue
		}
		m.link(Link{ID: "socket_" + l.feed.Name(), Function: l.function, Zone: InMotorhome, From: from, To: "socket", Ohm: m.h.Ohms.Source[l.feed]}, "source_"+l.feed.Name())
		w := Link{ID: "umbilical_" + l.feed.Name(), Function: l.function, Zone: Between, From: "socket", To: "car_connector", New: true, Ohm: m.h.Ohms.Umbilical}
		m.contact(&w, l.use)
		m.run(&w, m.h.Runs.Umbilical, "/harness/umbilical_length")
		m.limit(&w, m.rating.umbilical(m.h.Runs.Umbilical.AWG, w.Function))
		m.link(w, "umbilical_"+l.feed.Name())
	}
}

// contact gives a wire of the umbilical its contact and colour.
func (m *mapper) contact(w *Link, use parts.Use) {
	w.Colour = parts.FunctionColour(use)
	c, ok := m.rating.connector.For(use)
	if !ok && use == parts.Tail {
		c, ok = m.rating.connector.For(parts.TailRight)
	}
	if ok {
		w.Contact, w.Colour = c.Number, c.Colour
	}
}

// drop is one way on from the end of a feed's wire.
type drop struct {
	lane    int
	name    string // the part is feed_<name>
	contact string // the node of the lamp's contact
	lamp    string // the light source fed, which says whether it is connected
}

var drops = [...]drop{
	{0, "tail", "tl", ""},
	{1, "left", "sl", "stop_left"}, {1, "left_turn", "al", "turn_left"},
	{2, "right", "sr", "stop_right"}, {2, "right_turn", "ar", "turn_right"},
	{3, "stop_left", "sl", "stop_left"}, {3, "stop_right", "sr", "stop_right"},
}

// leads reports whether the drop is there and a lamp hangs on it.
func (m *mapper) leads(d *drop) bool {
	if _, ok := m.s.net.Part("feed_" + d.name); !ok {
		return false
	}
	i := m.s.lamp(d.lamp)
	return d.lamp == "" || i >= 0 && m.s.lamps[i].Connected
}

// car lays the wires from the car's connector to the lamps' contacts.
func (m *mapper) car() {
	m.lampPoints()
	m.contactPoints()
	for i := range lanes {
		l := &lanes[i]
		if !m.s.has(l) || !m.crosses(l) && !(m.h.Splits() && l.feed == wiring.Stop) {
			continue
		}
		from := "car_connector"
		if m.h.Splits() && l.feed != wiring.Tail {
			if m.crosses(l) {
				m.link(Link{ID: "converter_" + l.feed.Name(), Function: l.function, Zone: CarFront, From: from, To: "converter"}, "")
			}
			from = "converter"
		}
		m.carRun(i, from)
	}
	m.jumper()
}

// carRun lays one feed from the front of the car to its end, and its drops.
func (m *mapper) carRun(lane int, from string) {
	l := &lanes[lane]
	var first *drop
	count := 0
	for i := range drops {
		if drops[i].lane == lane && m.leads(&drops[i]) {
			if first == nil {
				first = &drops[i]
			}
			count++
		}
	}
	end := ""
	switch {
	case count == 0:
		return
	case count > 1:
		end = "splice_" + l.feed.Name()
		m.point(end, SplicePoint, CarRear, l.side, "plan.point.splice", finding.Params{"feed": feedWord(l.function)}, "k"+l.letter)
	default:
		end = m.entry(first)
	}
	w := Link{ID: "car_" + l.feed.Name(), Function: l.function, Zone: CarBody, From: from, To: end, New: true, Ohm: m.h.Ohms.Car, Colour: parts.FunctionColour(l.use)}
	m.run(&w, m.h.Runs.Car, "/harness/car_wire/length")
	m.limit(&w, m.rating.car(m.h.Runs.Car.AWG))
	m.link(w, "car_"+l.feed.Name())
	for i := range drops {
		if d := &drops[i]; d.lane == lane && m.leads(d) {
			m.drop(d, l, end)
		}
	}
}

// entry is where a drop begins: its diode, or the lamp's contact.
func (m *mapper) entry(d *drop) string {
	if m.h.FeedDiodes[lanes[d.lane].feed] {
		return "diode_feed_" + d.name
	}
	return m.contactOf(d.contact)
}

func (m *mapper) drop(d *drop, l *lane, end string) {
	part, colour := "feed_"+d.name, parts.FunctionColour(l.use)
	to := m.contactOf(d.contact)
	entry := m.entry(d)
	if entry != to {
		m.point(entry, DiodePoint, CarRear, contactSide(d.contact), "plan.point.feed_diode", finding.Params{"feed": feedWord(l.function)}, "")
		m.link(Link{ID: "out_" + d.name, Function: l.function, Zone: CarRear, From: entry, To: to, New: true, Colour: colour}, part)
	}
	if end != entry {
		m.link(Link{ID: "drop_" + d.name, Function: l.function, Zone: CarRear, From: end, To: entry, New: true, Colour: colour, Ohm: m.h.Ohms.Splice}, part)
	}
}

// contacts are the contacts at which a feed and the car's own wire may meet.
var contacts = [...]struct {
	node, own, lamp string
}{{"tl", "own_tail", "tail_left"}, {"sl", "own_left", "stop_left"}, {"sr", "own_right", "stop_right"}, {"al", "", "turn_left"}, {"ar", "", "turn_right"}}

// contactOf is the point of a lamp's contact: where the feed meets the car's own
// wire or goes on to more lamps, a splice or a relay; otherwise the lamp.
func (m *mapper) contactOf(node string) string {
	for _, c := range contacts {
		if c.node == node && (c.node == "tl" || c.own != "" && !m.h.Added()) {
			return "at_" + c.lamp
		}
	}
	return lampPoint(node)
}

// contactPoints makes the points at which feeds meet the car's own wires.
func (m *mapper) contactPoints() {
	for _, c := range contacts {
		id := m.contactOf(c.node)
		if id == lampPoint(c.node) {
			continue
		}
		kind, name := SplicePoint, "plan.point.at_lamp"
		if m.h.Approach == rig.RelayBypass && c.own != "" {
			kind, name = RelayPoint, "plan.point.relay"
		}
		m.point(id, kind, CarRear, contactSide(c.node), name, finding.Params{"lamp": lampWord(c.lamp)}, c.node)
	}
}

// lampLinks goes on from those points to the lamps.
func (m *mapper) lampLinks() {
	for _, c := range contacts {
		id, lamp := m.contactOf(c.node), m.s.lamp(c.lamp)
		if id != lampPoint(c.node) && lamp >= 0 && m.s.lamps[lamp].Connected {
			m.link(Link{ID: "lamp_" + c.lamp, Function: m.functionOf(c.node), Zone: CarRear, From: id, To: lampPoint(c.node), New: m.h.Added()}, c.lamp)
		}
	}
}

// lampPoints makes a point for every lens that has a connected light source.
func (m *mapper) lampPoints() {
	for i := range m.s.lamps {
		l := &m.s.lamps[i]
		if !rear(l.Lens) || !l.Connected || m.hasPoint("lens_"+string(l.Lens)) {
			continue
		}
		m.point("lens_"+string(l.Lens), LampPoint, CarRear, lensSide(l.Lens), "plan.lens."+string(l.Lens), nil, "")
	}
}

// jumper lays the tail feed on to the right side and to the plate lamp.
func (m *mapper) jumper() {
	tail := parts.FunctionColour(parts.Tail)
	if m.h.Jumper && m.hasPoint("lens_right_rear") {
		w := Link{ID: "jumper", Function: TailFeed, Zone: CarRear, From: "at_tail_left", To: "lens_right_rear", New: true, Ohm: m.h.Ohms.Jumper, Colour: tail}
		m.run(&w, m.h.Runs.Jumper, "/harness/jumper_wire/length")
		m.limit(&w, m.rating.car(m.h.Runs.Jumper.AWG))
		m.link(w, "jumper")
	}
	if m.h.Plate {
		m.link(Link{ID: "plate", Function: TailFeed, Zone: CarRear, From: "at_tail_left", To: "lens_plate", New: true, Colour: tail}, "plate")
	}
}

// own lays the car's own wires to the lamps that it shares.
func (m *mapper) own() {
	if m.h.Added() {
		return
	}
	m.point("car_stop", CarPoint, CarBody, Centre, "plan.point.car_stop", nil, "sb")
	m.point("car_park", CarPoint, CarBody, Centre, "plan.point.car_park", nil, "ft")
	from := "car_stop"
	if m.h.Interrupted {
		m.point("interrupter", RelayPoint, CarBody, Centre, "plan.point.interrupter", nil, "")
		m.link(Link{ID: "stop_switch", Function: OwnWire, Zone: CarBody, From: from, To: "interrupter"}, "")
		from = "interrupter"
	}
	for _, c := range contacts {
		if c.own == "" {
			continue
		}
		start := from
		if c.own == "own_tail" {
			start = "car_park"
		}
		m.ownWire(start, c.own, m.contactOf(c.node), contactSide(c.node))
	}
}

// ownWire lays one of the car's own wires, through its steering diode if it has
// one.
func (m *mapper) ownWire(from, part, to string, side Side) {
	w := Link{ID: part, Function: OwnWire, Zone: CarRear, From: from, To: to}
	if m.ownDiode(part) {
		id := "diode_" + part
		m.point(id, DiodePoint, CarRear, side, "plan.point.own_diode", nil, "")
		m.link(Link{ID: "in_" + part, Function: OwnWire, Zone: CarRear, From: from, To: id}, part)
		w.From, w.New = id, true
	}
	m.link(w, part)
}

// ownDiode reports whether a steering diode sits in one of the car's own wires.
func (m *mapper) ownDiode(part string) bool {
	return m.h.CarDiodes[ownFeed(m.h, part)]
}

// ownFeed is the feed that meets one of the car's own wires.
func ownFeed(h *wiring.Harness, part string) wiring.Feed {
	switch {
	case part == "own_tail":
		return wiring.Tail
	case h.Apart() && h.ThreeFeeds():
		return wiring.Stop
	case part == "own_left":
		return wiring.Left
	}
	return wiring.Right
}

// grounds lays the way back.
func (m *mapper) grounds() {
	m.point("ground_car", GroundPoint, CarFront, Centre, "plan.point.ground_car", nil, "g")
	m.point("ground_motorhome", GroundPoint, InMotorhome, Centre, "plan.point.ground_motorhome", nil, "0")
	for _, p := range m.points {
		if p.Kind != LampPoint {
			continue
		}
		w := Link{ID: "back_" + p.ID[len("lens_"):], Function: GroundWire, Zone: CarRear, From: p.ID, To: "ground_car", New: m.h.Added(), Ohm: m.h.Ohms.Housing[0]}
		part := ""
		switch {
		case p.ID == "lens_plate":
			part, w.Ohm = "plate", 0
		case p.Side == OnLeft:
			part = "housing_left"
		default:
			part, w.Ohm = "housing_right", m.h.Ohms.Housing[1]
		}
		if w.New {
			w.Colour = parts.FunctionColour(parts.Ground)
		}
		m.link(w, part)
	}
	if !m.h.Ground {
		return
	}
	w := Link{ID: "car_ground", Function: GroundWire, Zone: CarFront, From: "ground_car", To: "car_connector", New: true, Ohm: m.h.Ohms.CarGround, Colour: parts.FunctionColour(parts.Ground)}
	m.run(&w, m.h.Runs.CarGround, "/harness/ground/wire/length")
	m.limit(&w, m.rating.car(m.h.Runs.CarGround.AWG))
	m.link(w, "car_ground")
	w = Link{ID: "umbilical_ground", Function: GroundWire, Zone: Between, From: "car_connector", To: "socket", New: true, Ohm: m.h.Ohms.UmbilicalGround}
	m.contact(&w, parts.Ground)
	m.run(&w, m.h.Runs.UmbilicalGround, "/harness/umbilical_length")
	m.limit(&w, m.rating.umbilical(m.h.Runs.UmbilicalGround.AWG, GroundWire))
	m.link(w, "umbilical_ground")
	m.link(Link{ID: "chassis", Function: GroundWire, Zone: InMotorhome, From: "socket", To: "ground_motorhome", Ohm: m.h.Ohms.Chassis}, "chassis")
}

func (m *mapper) point(id string, kind PointKind, zone Zone, side Side, name string, params finding.Params, node string) {
	m.points = append(m.points, Point{ID: id, Kind: kind, Zone: zone, Side: side, Name: finding.Say(name, params), Node: node})
}

func (m *mapper) hasPoint(id string) bool {
	for i := range m.points {
		if m.points[i].ID == id {
			return true
		}
	}
	return false
}

// link adds a link; part names the part of the circuit whose current it carries.
func (m *mapper) link(w Link, part string) {
	if p, ok := m.s.net.Part(part); ok {
		w.A = unit.Round9(m.s.amps[p])
	}
	w.Ohm = unit.Round9(w.Ohm)
	m.links = append(m.links, w)
}

func (m *mapper) run(w *Link, r wiring.Run, lengthField string) {
	awg, ft := r.AWG, unit.Round9(r.FT)
	w.AWG, w.Conductor, w.LengthFT, w.How = &awg, r.Conductor, &ft, howOf(m.h, lengthField)
}

func (m *mapper) limit(w *Link, amps float64) {
	if amps > 0 {
		amps = unit.Round9(amps)
		w.LimitA = &amps
	}
}

// howOf says how a field of the rig is known.
func howOf(h *wiring.Harness, field string) wiring.How {
	for i := range h.Values {
		if h.Values[i].Field == field {
			return h.Values[i].How
		}
	}
	return wiring.Template
}

// entered reports whether a field of the rig is recorded or measured.
func entered(h *wiring.Harness, field string) bool { return howOf(h, field) != wiring.Template }

func feedWord(f Function) finding.Param { return finding.Word("plan.feed." + string(f)) }

func lampWord(lamp string) finding.Param { return finding.Word("plan.lamp." + lamp) }

// lampPoint is the point of the lens that holds a contact.
func lampPoint(contact string) string {
	switch contact {
	case "al":
		return "lens_left_turn"
	case "ar":
		return "lens_right_turn"
	case "sr", "tr":
		return "lens_right_rear"
	}
	return "lens_left_rear"
}

func contactSide(contact string) Side {
	if contact[1] == 'r' {
		return OnRight
	}
	return OnLeft
}

func lensSide(l wiring.Lens) Side {
	switch l {
	case wiring.LeftRear, wiring.LeftTurn:
		return OnLeft
	case wiring.RightRear, wiring.RightTurn:
		return OnRight
	}
	return Centre
}

// functionOf is what feeds a contact: with combined signals stop comes on the
// feed of its side.
func (m *mapper) functionOf(contact string) Function {
	switch {
	case contact[0] == 't':
		return TailFeed
	case contact[0] == 's' && m.h.ThreeFeeds():
		return StopFeed
	}
	if contact[1] == 'l' {
		return LeftFeed
	}
	return RightFeed
}
