package rig

// BulbID is a bulb by its US trade number or UN category. The last two stand for
// LED lamps without a number.
type BulbID string

// Values lists the bulbs known.
func (BulbID) Values() []string {
	return []string{"1157", "2057", "1034", "2357", "2397", "1156", "1141", "3157", "3156", "3057", "3457", "7440", "7443", "194", "168",
		"P21/5W", "PY21/5W", "P21W", "PY21W", "W21W", "W21/5W", "R5W", "R10W", "W5W", "C5W", "T4W", "W5W/LED", "LED-STOP", "LED-TAIL"}
}

// Bulb is the bulb of one lamp. A are its amperes at its design voltage where
// they were measured; absent, those of its number count.
type Bulb struct {
	ID BulbID   `json:"id,omitzero"`
	A  *float64 `json:"a,omitzero"`
}

func (b Bulb) check(c Checker) {
	Choice(c, "id", b.ID)
	c.Number("a", b.A, 0.005, 10)
}

// Bulbs are the bulbs the harness lights, by what they do. In a lamp that is
// stop and turn at once, Stop is its bulb.
type Bulbs struct {
	Tail  Bulb `json:"tail,omitzero"`
	Stop  Bulb `json:"stop,omitzero"`
	Turn  Bulb `json:"turn,omitzero"`
	Plate Bulb `json:"plate,omitzero"`
}

func (b Bulbs) check(c Checker) {
	b.Tail.check(c.In("tail"))
	b.Stop.check(c.In("stop"))
	b.Turn.check(c.In("turn"))
	b.Plate.check(c.In("plate"))
}
