package journal

import "cmp"

// Bounds of a clock: the end of the year 2199, and what a burst can use up.
const (
	maxWall    = 7_258_118_400_000
	maxCounter = 1 << 30
)

// Clock is a hybrid logical clock: milliseconds of the Unix epoch as far as the
// device knows, and a counter that orders what happens within them or while the
// device's own clock lags behind what it has seen.
type Clock struct {
	Wall    int64 `json:"wall"`
	Counter int64 `json:"counter"`
}

// Compare returns -1, 0 or +1.
func (c Clock) Compare(o Clock) int {
	if d := cmp.Compare(c.Wall, o.Wall); d != 0 {
		return d
	}
	return cmp.Compare(c.Counter, o.Counter)
}

// Next is the time of a new edit by a device whose last time was c, at now
// milliseconds. It is always greater than c, even when now was set back.
func (c Clock) Next(now int64) Clock {
	if now > c.Wall {
		return Clock{Wall: now}
	}
	return Clock{Wall: c.Wall, Counter: c.Counter + 1}
}

// Seen is the device's last time once it has seen another's: the greater.
func (c Clock) Seen(o Clock) Clock {
	if o.Compare(c) > 0 {
		return o
	}
	return c
}

// Ahead reports whether the clock is ahead of now by more than bound, both in
// milliseconds.
func (c Clock) Ahead(now, bound int64) bool { return c.Wall > now+bound }
