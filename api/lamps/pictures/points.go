package pictures

import (
	"strings"

	"pintail/api/circuit"
	"pintail/api/lamps/wiring"
)

// PointsOf lists where a meter can be held on a harness: along each feed from the
// motorhome to the lamps, and along the way back.
func PointsOf(n *wiring.Network) []Point {
	l := lister{n: n}
	l.volts("supply", wiring.InMotorhome, "bat", "0")
	for _, feed := range []wiring.Feed{wiring.Tail, wiring.Left, wiring.Right, wiring.Stop} {
		name := feed.Name()
		x := name[:1] // also the letter of its nodes
		l.volts("socket_"+name, wiring.InMotorhome, "m"+x, "mg")
		l.volts("plug_"+name, wiring.InUmbilical, "c"+x, "cg")
		l.volts("end_"+name, wiring.InCar, "k"+x, "g")
		l.amps("amps_"+name, "umbilical_"+name)
	}
	for _, lamp := range n.Lamps() {
		if lamp.Connected && lamp.Back != circuit.Ground && !strings.HasPrefix(string(lamp.Lens), "car_") {
			l.between("lamp_"+lamp.ID, wiring.InCar, lamp.Live, lamp.Back)
		}
	}
	l.volts("body", wiring.InCar, "g", "0")
	l.volts("plug_ground", wiring.InUmbilical, "cg", "0")
	l.volts("socket_ground", wiring.InMotorhome, "mg", "0")
	l.volts("housing_left", wiring.InCar, "gl", "g")
	l.volts("housing_right", wiring.InCar, "gr", "g")
	l.amps("amps_ground", "umbilical_ground")
	return l.all
}

type lister struct {
	n   *wiring.Network
	all []Point
}

// volts adds a reading between two nodes, if the network has both.
func (l *lister) volts(id string, place wiring.Place, plus, minus string) {
	p, has := l.n.Node(plus)
	m, hasToo := l.n.Node(minus)
	if has && hasToo {
		l.between(id, place, p, m)
	}
}

func (l *lister) between(id string, place wiring.Place, plus, minus circuit.Node) {
	l.all = append(l.all, Point{ID: id, Place: place, Plus: plus, Minus: minus})
}

// amps adds a clamp around a conductor of the umbilical, if the network has it.
func (l *lister) amps(id, part string) {
	if p, ok := l.n.Part(part); ok {
		l.all = append(l.all, Point{ID: id, Place: wiring.InUmbilical, Amps: true, Part: p})
	}
}
