package rig

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"pintail/api/finding"
	"pintail/api/unit"
)

// maxProblems bounds how many problems one Validate reports.
const maxProblems = 50

// Checker collects the problems of one input, each with a JSON Pointer. Every
// room that takes a rig inside a larger input checks with the same Checker.
type Checker struct {
	at       string
	problems *[]finding.Problem
}

// NewChecker returns a Checker at the root of an input.
func NewChecker() Checker { return Checker{problems: &[]finding.Problem{}} }

// In returns a Checker for the named member.
func (c Checker) In(name string) Checker {
	name = strings.ReplaceAll(strings.ReplaceAll(name, "~", "~0"), "/", "~1")
	return Checker{at: c.at + "/" + name, problems: c.problems}
}

// Index returns a Checker for an entry of a list.
func (c Checker) Index(i int) Checker { return c.In(strconv.Itoa(i)) }

// Bad records that the value here is not possible.
func (c Checker) Bad(format string, args ...any) {
	if len(*c.problems) < maxProblems {
		*c.problems = append(*c.problems, finding.NewProblem(finding.InvalidValue, c.at, fmt.Sprintf(format, args...)))
	}
}

// Err returns what was found wrong, nil if nothing.
func (c Checker) Err() *finding.Error {
	if len(*c.problems) == 0 {
		return nil
	}
	return &finding.Error{Problems: *c.problems}
}

// Mass checks that an entered mass lies within the bounds given, in pounds.
func (c Checker) Mass(name string, m *unit.Mass, minLB, maxLB float64) {
	if m != nil && (unit.LB(minLB).Over(*m) || m.Over(unit.LB(maxLB))) {
		c.In(name).Bad("%s is not possible here, want %g to %g lb", m, minLB, maxLB)
	}
}

// Length checks that an entered length lies within the bounds given, in feet.
func (c Checker) Length(name string, l *unit.Length, minFT, maxFT float64) {
	if l != nil && (unit.FT(minFT).Over(*l) || l.Over(unit.FT(maxFT))) {
		c.In(name).Bad("%s is not possible here, want %g to %g ft", l, minFT, maxFT)
	}
}

// Distance checks that an entered distance lies within 0 and the miles given.
func (c Checker) Distance(name string, l *unit.Length, maxMI float64) {
	if l != nil && (l.Sign() < 0 || l.Over(unit.MI(maxMI))) {
		c.In(name).Bad("%s is not possible here, want 0 to %g mi", l, maxMI)
	}
}

// Speed checks that an entered speed lies within 5 and 100 mph.
func (c Checker) Speed(name string, s *unit.Speed) { c.SpeedWithin(name, s, 5, 100) }

// SpeedWithin checks that an entered speed lies within the bounds given, in mph.
func (c Checker) SpeedWithin(name string, s *unit.Speed, minMPH, maxMPH float64) {
	if s != nil && (unit.MPH(minMPH).Over(*s) || s.Over(unit.MPH(maxMPH))) {
		c.In(name).Bad("%s is not possible here, want %g to %g mph", s, minMPH, maxMPH)
	}
}

// Temperature checks that an entered air temperature lies within -60 and 140 °F.
func (c Checker) Temperature(name string, t *unit.Temperature) {
	if t != nil && (unit.F(-60).Over(*t) || t.Over(unit.F(140))) {
		c.In(name).Bad("%s is not possible here, want -60 to 140 °F", t)
	}
}

// Number checks that an entered number lies within the bounds given.
func (c Checker) Number(name string, v *float64, lowest, highest float64) {
	if v != nil && !(lowest <= *v && *v <= highest) {
		c.In(name).Bad("%g is not possible here, want %g to %g", *v, lowest, highest)
	}
}

// Count checks that an entered count lies within the bounds given.
func (c Checker) Count(name string, v *int, lowest, highest int) {
	if v != nil && (*v < lowest || *v > highest) {
		c.In(name).Bad("%d is not possible here, want %d to %d", *v, lowest, highest)
	}
}

// Text checks the length of an entered text, in characters.
func (c Checker) Text(name, s string, longest int) {
	if utf8.RuneCountInString(s) > longest {
		c.In(name).Bad("longer than %d characters", longest)
	}
}

// Date checks that an entered date is a real day.
func (c Checker) Date(name string, d unit.Date) {
	if d != "" && !d.Valid() {
		c.In(name).Bad("%q is not a day of the years 1900 to 2199 written YYYY-MM-DD", string(d))
	}
}

// Choice checks that an entered word is one of those its type allows.
func Choice[T interface {
	~string
	Values() []string
}](c Checker, name string, v T) {
	if v != "" && !slices.Contains(v.Values(), string(v)) {
		c.In(name).Bad("%q is not known, want one of %s", string(v), strings.Join(v.Values(), ", "))
	}
}

// Needed checks that a word is there, and one of those its type allows.
func Needed[T interface {
	~string
	Values() []string
}](c Checker, name string, v T) {
	if v == "" {
		c.In(name).Bad("missing")
	}
	Choice(c, name, v)
}

// maxEntries bounds every map of a rig.
const maxEntries = 64

// entries checks the keys of a map: few, short, and plain enough to stand in a
// JSON Pointer, a URL and a file name.
func entries[V any](c Checker, name string, m map[string]V, each func(Checker, V)) {
	c = c.In(name)
	if len(m) > maxEntries {
		c.Bad("%d entries, at most %d", len(m), maxEntries)
		return
	}
	for _, key := range Keys(m) {
		if !PlainKey(key) {
			c.In(key).Bad("a key is 1 to 64 of a-z, A-Z, 0-9, _ and -")
			continue
		}
		each(c.In(key), m[key])
	}
}

// PlainKey reports whether a key of a map is 1 to 64 of a-z, A-Z, 0-9, _ and -.
func PlainKey(key string) bool {
	if key == "" || len(key) > 64 {
		return false
	}
	for i := range len(key) {
		b := key[i]
		if !(b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9' || b == '_' || b == '-') {
			return false
		}
	}
	return true
}

// Keys returns the keys of a map in order.
func Keys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// Is reports whether an answer was given and is want.
func Is(answer *bool, want bool) bool { return answer != nil && *answer == want }
