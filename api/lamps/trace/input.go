package trace

import (
	"strings"

	"pintail/api/finding"
	"pintail/api/lamps/pictures"
	"pintail/api/lamps/wiring"
	"pintail/api/rig"
)

// Input is the input of lamps/trace: a rig, what its lamps do, and what is to
// hand.
type Input struct {
	Rig *rig.Rig `json:"rig"`
	// Tools is what a person has to measure with, none when absent.
	Tools    Tools `json:"tools,omitzero"`
	Evidence `json:",inline"`
}

// The most entries of each list.
const (
	maxPictures      = 400
	maxComparisons   = 60
	maxReadings      = 100
	maxIntermittents = 20
)

// What a meter at 12 V lamps can show: more is a slip of the pen. Either sign is
// taken, for leads and clamps get turned round.
const (
	highestV = 60
	highestA = 100
)

// Validate returns what is not possible in the input, nil if nothing.
func (in Input) Validate() *finding.Error {
	c := rig.NewChecker()
	rig.Required(c.In("rig"), in.Rig)
	rig.Choice(c, "tools", in.Tools)
	atMost(c.In("pictures"), len(in.Pictures), maxPictures)
	atMost(c.In("comparisons"), len(in.Comparisons), maxComparisons)
	atMost(c.In("readings"), len(in.Readings), maxReadings)
	atMost(c.In("intermittents"), len(in.Intermittents), maxIntermittents)
	if err := c.Err(); err != nil {
		return err
	}
	k := checker{n: wiring.Build(wiring.Describe(*in.Rig, nil))}
	k.steps, k.points = pictures.StepsOf(&k.n.Harness), pictures.PointsOf(k.n)
	for i := range in.Pictures {
		k.picture(c.In("pictures").Index(i), &in.Pictures[i])
	}
	for i := range in.Comparisons {
		k.comparison(c.In("comparisons").Index(i), &in.Comparisons[i])
	}
	for i := range in.Readings {
		k.reading(c.In("readings").Index(i), &in.Readings[i])
	}
	for i := range in.Intermittents {
		k.intermittent(c.In("intermittents").Index(i), &in.Intermittents[i])
	}
	return c.Err()
}

func atMost(c rig.Checker, n, most int) {
	if n > most {
		c.Bad("%d entries, at most %d", n, most)
	}
}

// checker holds evidence to one harness.
type checker struct {
	n      *wiring.Network
	steps  []wiring.Step
	points []pictures.Point
}

func (k *checker) picture(c rig.Checker, x *Picture) {
	k.step(c, x.Step)
	k.lamp(c, "lamp", x.Lamp)
	rig.Choice(c, "glow", x.Glow)
	rig.Choice(c, "pattern", x.Pattern)
	rig.Choice(c, "phase", x.Phase)
	rig.Choice(c, "trust", x.Trust)
}

func (k *checker) comparison(c rig.Checker, x *Comparison) {
	k.step(c, x.Step)
	switch {
	case x.Lamp == "":
		c.In("lamp").Bad("missing")
	case !k.has(x.Lamp+"_left") || !k.has(x.Lamp+"_right"):
		c.In("lamp").Bad("this rig has no pair of lamps %q, want one of %s", x.Lamp, strings.Join(k.pairs(), ", "))
	}
	needed(c, "brighter", x.Brighter)
}

func (k *checker) reading(c rig.Checker, r *Reading) {
	k.step(c, r.Step)
	rig.Choice(c, "half", r.Half)
	k.meter(c, r)
	point := pictures.Find(k.points, r.Point)
	switch {
	case r.Point == "":
		c.In("point").Bad("missing")
	case point < 0:
		c.In("point").Bad("this rig has no point %q to measure at", r.Point)
	case k.points[point].Amps && r.A == nil:
		c.In("point").Bad("%s is a current: it is read in a", r.Point)
	case !k.points[point].Amps && r.A != nil:
		c.In("a").Bad("%s is a voltage: it is read in v, or lit with a test lamp", r.Point)
	}
}

func (k *checker) meter(c rig.Checker, r *Reading) {
	given := 0
	for _, yes := range [...]bool{r.V != nil, r.A != nil, r.Lit != nil} {
		if yes {
			given++
		}
	}
	if given != 1 {
		c.Bad("%d of v, a and lit are given, want one", given)
	}
	c.Number("v", r.V, -highestV, highestV)
	c.Number("a", r.A, -highestA, highestA)
}

func (k *checker) intermittent(c rig.Checker, x *Intermittent) {
	needed(c, "place", x.Place)
	if x.Step != "" {
		k.step(c, x.Step)
	}
	if x.Lamp != "" {
		k.lamp(c, "lamp", x.Lamp)
	}
}

func needed[T interface {
	~string
	Values() []string
}](c rig.Checker, name string, v T) {
	if v == "" {
		c.In(name).Bad("missing")
	}
	rig.Choice(c, name, v)
}

// step refuses a step that the harness cannot be put through.
func (k *checker) step(c rig.Checker, s wiring.Step) {
	needed(c, "step", s)
	for _, known := range wiring.Steps() {
		if s == known && at(k.steps, s) < 0 {
			c.In("step").Bad("%s needs a brake unit that presses the car's pedal; this rig has none", s)
		}
	}
}

func (k *checker) lamp(c rig.Checker, name, id string) {
	switch {
	case id == "":
		c.In(name).Bad("missing")
	case !k.has(id):
		c.In(name).Bad("this rig has no lamp %q, want one of %s", id, strings.Join(k.lamps(), ", "))
	}
}

func (k *checker) has(lamp string) bool { return at(k.lamps(), lamp) >= 0 }

// lamps are the ids of the lamps connected.
func (k *checker) lamps() []string {
	var ids []string
	for _, l := range k.n.Lamps() {
		if l.Connected {
			ids = append(ids, l.ID)
		}
	}
	return ids
}

// pairs are the ids of the lamps that have one on each side, without the side.
func (k *checker) pairs() []string {
	var ids []string
	for _, id := range k.lamps() {
		if pair, left := strings.CutSuffix(id, "_left"); left && k.has(pair+"_right") {
			ids = append(ids, pair)
		}
	}
	return ids
}
