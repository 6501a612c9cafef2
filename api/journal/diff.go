package journal

import (
	"slices"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/strictjson"
)

// Write is one change of a leaf, not yet an entry: it has no id, time or device.
type Write struct {
	Path    string         `json:"path"`
	Value   jsontext.Value `json:"value,omitzero"`
	Removed bool           `json:"removed,omitzero"`
}

// Diff returns the writes that turn one document into another, in the order of
// their paths; a nil document is none. Removals name the leaves that were there,
// never a whole branch, so that applying them to a newer version leaves alone
// what the older one did not have. Both documents must be valid JSON objects.
func Diff(from, to jsontext.Value) []Write {
	var d differ
	d.value("", from, to)
	return d.writes
}

// Entries turns writes into entries of one document: each gets the next id and
// the next time of the device's clock. It returns the clock's last time.
func Entries(doc string, writes []Write, ids []string, device string, last Clock, now int64) ([]Entry, Clock) {
	entries := make([]Entry, len(writes))
	for i, w := range writes {
		last = last.Next(now)
		entries[i] = Entry{ID: ids[i], Doc: doc, Path: w.Path, Value: w.Value, Removed: w.Removed, At: last, Device: device}
	}
	return entries, last
}

type differ struct {
	writes []Write
}

func (d *differ) value(path string, from, to jsontext.Value) {
	a, aBranch := branch(from)
	b, bBranch := branch(to)
	switch {
	case aBranch && bBranch:
		d.members(path, a, b)
		if len(b) == 0 && len(a) > 0 {
			d.write(path, to)
		}
	case aBranch:
		d.remove(path, a)
		if to != nil {
			d.write(path, to)
		} else if len(a) == 0 {
			d.writes = append(d.writes, Write{Path: path, Removed: true})
		}
	case bBranch:
		if from != nil && len(b) > 0 {
			// A leaf is written below a value only once the value is gone.
			d.writes = append(d.writes, Write{Path: path, Removed: true})
		}
		d.members(path, nil, b)
		if len(b) == 0 {
			d.write(path, to)
		}
	case to == nil && from != nil:
		d.writes = append(d.writes, Write{Path: path, Removed: true})
	case to != nil && string(canonical(from)) != string(canonical(to)):
		d.write(path, to)
	}
}

func (d *differ) write(path string, v jsontext.Value) {
	if finite(v) { // the others are for Check to refuse as they are
		v = canonical(v)
	}
	d.writes = append(d.writes, Write{Path: path, Value: v})
}

func (d *differ) members(path string, a, b map[string]jsontext.Value) {
	for _, name := range names(a, b) {
		d.value(path+"/"+escape(name), a[name], b[name])
	}
}

// remove removes every leaf of a branch.
func (d *differ) remove(path string, members map[string]jsontext.Value) {
	for _, name := range names(members, nil) {
		d.value(path+"/"+escape(name), members[name], nil)
	}
}

// branch returns the members of an object that is not one atomic value.
func branch(v jsontext.Value) (map[string]jsontext.Value, bool) {
	if v == nil || v.Kind() != jsontext.KindBeginObject || quantity(v) {
		return nil, false
	}
	return object(v)
}

// object returns the members of a JSON object.
func object(v jsontext.Value) (map[string]jsontext.Value, bool) {
	var members map[string]jsontext.Value
	if err := strictjson.Unmarshal(v, &members); err != nil {
		return nil, false
	}
	return members, true
}

// names are the member names of both, in order, each once.
func names(a, b map[string]jsontext.Value) []string {
	all := make([]string, 0, len(a)+len(b))
	for n := range a {
		all = append(all, n)
	}
	for n := range b {
		if _, both := a[n]; !both {
			all = append(all, n)
		}
	}
	slices.Sort(all)
	return all
}
