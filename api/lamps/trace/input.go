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
	in.Evidence.Check(c)
	if err := c.Err(); err != nil {
		return err
	}
	in.Evidence.CheckAgainst(c, *in.Rig)
	return c.Err()
}

// Check records everything in the evidence that no rig could give.
func (e *Evidence) Check(c rig.Checker) {
	each(c.In("pictures"), e.Pictures, maxPictures, (*Picture).check)
	each(c.In("comparisons"), e.Comparisons, maxComparisons, (*Comparison).check)
	each(c.In("readings"), e.Readings, maxReadings, (*Reading).check)
	each(c.In("intermittents"), e.Intermittents, maxIntermittents, (*Intermittent).check)
}

// CheckAgainst records every entry that this rig cannot give. Rig and evidence
// have been checked by themselves.
func (e *Evidence) CheckAgainst(c rig.Checker, r rig.Rig) {
	k := checker{n: wiring.Build(wiring.Describe(r))}
	k.steps, k.points = pictures.StepsOf(&k.n.Harness), pictures.PointsOf(k.n)
	each(c.In("pictures"), e.Pictures, maxPictures, k.picture)
	each(c.In("comparisons"), e.Comparisons, maxComparisons, k.comparison)
	each(c.In("readings"), e.Readings, maxReadings, k.reading)
	each(c.In("intermittents"), e.Intermittents, maxIntermittents, k.intermittent)
}

func each[T any](c rig.Checker, list []T, most int, check func(*T, rig.Checker)) {
	if len(list) > most {
		c.Bad("%d entries, at most %d", len(list), most)
		return
	}
	for i := range list {
		check(&list[i], c.Index(i))
	}
}

func (x *Picture) check(c rig.Checker) {
	rig.Needed(c, "step", x.Step)
	present(c, "lamp", x.Lamp)
	rig.Choice(c, "glow", x.Glow)
	rig.Choice(c, "pattern", x.Pattern)
	rig.Choice(c, "phase", x.Phase)
	rig.Choice(c, "trust", x.Trust)
}

func (x *Comparison) check(c rig.Checker) {
	rig.Needed(c, "step", x.Step)
	present(c, "lamp", x.Lamp)
	rig.Needed(c, "brighter", x.Brighter)
}

func (r *Reading) check(c rig.Checker) {
	rig.Needed(c, "step", r.Step)
	rig.Choice(c, "half", r.Half)
	present(c, "point", r.Point)
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

func (x *Intermittent) check(c rig.Checker) {
	rig.Needed(c, "place", x.Place)
	rig.Choice(c, "step", x.Step)
}

// present refuses an id that is not given.
func present(c rig.Checker, name, id string) {
	if id == "" {
		c.In(name).Bad("missing")
	}
}

// checker holds evidence to one harness.
type checker struct {
	n      *wiring.Network
	steps  []wiring.Step
	points []pictures.Point
}

func (k *checker) picture(x *Picture, c rig.Checker) {
	k.step(c, x.Step)
	k.lamp(c, x.Lamp)
}

func (k *checker) comparison(x *Comparison, c rig.Checker) {
	k.step(c, x.Step)
	if !k.has(x.Lamp+"_left") || !k.has(x.Lamp+"_right") {
		c.In("lamp").Bad("this rig has no pair of lamps %q, want one of %s", x.Lamp, strings.Join(k.pairs(), ", "))
	}
}

func (k *checker) reading(r *Reading, c rig.Checker) {
	k.step(c, r.Step)
	point := pictures.Find(k.points, r.Point)
	switch {
	case point < 0:
		c.In("point").Bad("this rig has no point %q to measure at", r.Point)
	case k.points[point].Amps && r.A == nil:
		c.In("point").Bad("%s is a current: it is read in a", r.Point)
	case !k.points[point].Amps && r.A != nil:
		c.In("a").Bad("%s is a voltage: it is read in v, or lit with a test lamp", r.Point)
	}
}

func (k *checker) intermittent(x *Intermittent, c rig.Checker) {
	if x.Step != "" {
		k.step(c, x.Step)
	}
	if x.Lamp != "" {
		k.lamp(c, x.Lamp)
	}
}

// step refuses a step that the harness cannot be put through.
func (k *checker) step(c rig.Checker, s wiring.Step) {
	if at(k.steps, s) < 0 {
		c.In("step").Bad("%s needs a brake unit that presses the car's pedal; this rig has none", s)
	}
}

func (k *checker) lamp(c rig.Checker, id string) {
	if !k.has(id) {
		c.In("lamp").Bad("this rig has no lamp %q, want one of %s", id, strings.Join(k.lamps(), ", "))
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
