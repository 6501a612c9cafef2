package journal

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
	"pgregory.net/rapid"
)

func id(n int) string { return fmt.Sprintf("0192f0c1-0000-7000-8000-%012x", n) }

func write(n int, wall int64, device, path, value string) Entry {
	e := Entry{ID: id(n), Doc: "rig/1", Path: path, At: Clock{Wall: wall}, Device: device}
	if value == "" {
		e.Removed = true
	} else {
		e.Value = jsontext.Value(value)
	}
	return e
}

func mustFold(tb testing.TB, entries ...Entry) string {
	tb.Helper()
	for i := range entries {
		if r := entries[i].Check(); r != nil {
			tb.Fatalf("%+v: %+v", entries[i], r)
		}
	}
	v, ok := Fold(Set{Entries: entries})
	if !ok {
		return ""
	}
	return string(v)
}

func TestFold(t *testing.T) {
	for _, tt := range []struct {
		name    string
		entries []Entry
		want    string
	}{
		{"Nothing", nil, ""},
		{"Leaves", []Entry{write(1, 1, "a", "/b/c", "1"), write(2, 2, "a", "/b/a", `"x"`)}, `{"b":{"a":"x","c":1}}`},
		{"GreaterWall", []Entry{write(1, 2, "a", "/x", "2"), write(2, 1, "b", "/x", "1")}, `{"x":2}`},
		{"SameWallGreaterDevice", []Entry{write(1, 1, "b", "/x", "2"), write(2, 1, "a", "/x", "1")}, `{"x":2}`},
		{"SameClockSameDeviceGreaterID", []Entry{write(1, 1, "a", "/x", "1"), write(2, 1, "a", "/x", "2")}, `{"x":2}`},
		{"TombstoneHidesUnder", []Entry{write(1, 1, "a", "/b/c", "1"), write(2, 2, "a", "/b", "")}, ``},
		{"NewerChildRevives", []Entry{write(1, 1, "a", "/b/c", "1"), write(2, 2, "a", "/b", ""), write(3, 3, "b", "/b/d", "4")}, `{"b":{"d":4}}`},
		{"OlderChildStaysHidden", []Entry{write(2, 2, "a", "/b", ""), write(3, 1, "b", "/b/d", "4")}, ``},
		{"NewerChildReplacesValue", []Entry{write(1, 1, "a", "/b", "5"), write(2, 2, "a", "/b/c", "1")}, `{"b":{"c":1}}`},
		{"NewerValueHidesChildren", []Entry{write(1, 2, "a", "/b", "5"), write(2, 1, "a", "/b/c", "1")}, `{"b":5}`},
		{"EmptyObjectHidesNothing", []Entry{write(1, 2, "a", "/b", "{}"), write(2, 1, "a", "/b/c", "1")}, `{"b":{"c":1}}`},
		{"EmptyObjectShowsAlone", []Entry{write(1, 2, "a", "/b", "{}")}, `{"b":{}}`},
		{"ArrayIsOneValue", []Entry{write(1, 1, "a", "/r", `["US-OR","US-CA"]`), write(2, 2, "b", "/r", `["US-NV"]`)}, `{"r":["US-NV"]}`},
		{"QuantityIsOneValue", []Entry{write(1, 1, "a", "/w", `{"lb":4300}`), write(2, 2, "b", "/w", `{"kg":1950}`)}, `{"w":{"kg":1950}}`},
		{"EscapedNames", []Entry{write(1, 1, "a", "/a~1b/c~0d", "1")}, `{"a/b":{"c~d":1}}`},
		{"WholeDocumentRemoved", []Entry{write(1, 1, "a", "/x", "1"), write(2, 2, "a", "", "")}, ``},
		{"EmptyDocument", []Entry{write(1, 1, "a", "", "{}")}, `{}`},
		{"UnknownMembersKept", []Entry{write(1, 1, "a", "/from_the_future/deep", `[{"any":null}]`)}, `{"from_the_future":{"deep":[{"any":null}]}}`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := mustFold(t, tt.entries...); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestCheck(t *testing.T) {
	for _, tt := range []struct {
		name    string
		change  func(*Entry)
		reason  Reason
		pointer string
	}{
		{"NotUUID", func(e *Entry) { e.ID = "x" }, BadEntry, "/id"},
		{"UUID4", func(e *Entry) { e.ID = strings.Replace(e.ID, "-7", "-4", 1) }, BadEntry, "/id"},
		{"CapitalID", func(e *Entry) { e.ID = strings.ToUpper(e.ID) }, BadEntry, "/id"},
		{"NoDoc", func(e *Entry) { e.Doc = "" }, BadEntry, "/doc"},
		{"NoDevice", func(e *Entry) { e.Device = "" }, BadEntry, "/device"},
		{"BadDevice", func(e *Entry) { e.Device = "a b" }, BadEntry, "/device"},
		{"NegativeWall", func(e *Entry) { e.At.Wall = -1 }, BadEntry, "/at"},
		{"NoSlash", func(e *Entry) { e.Path = "x" }, BadEntry, "/path"},
		{"EmptyStep", func(e *Entry) { e.Path = "/a//b" }, BadEntry, "/path"},
		{"BadEscape", func(e *Entry) { e.Path = "/a~2" }, BadEntry, "/path"},
		{"ArrayIndex", func(e *Entry) { e.Path = "/route/0" }, ArrayIndex, "/path"},
		{"ArrayAppend", func(e *Entry) { e.Path = "/route/-" }, ArrayIndex, "/path"},
		{"TooDeep", func(e *Entry) { e.Path = strings.Repeat("/a", 17) }, BadEntry, "/path"},
		{"TooLong", func(e *Entry) { e.Path = "/" + strings.Repeat("a", 600) }, BadEntry, "/path"},
		{"NoValue", func(e *Entry) { e.Value = nil }, BadEntry, "/value"},
		{"RemovalWithValue", func(e *Entry) { e.Removed = true }, BadEntry, "/value"},
		{"Null", func(e *Entry) { e.Value = jsontext.Value("null") }, BadEntry, "/value"},
		{"NotJSON", func(e *Entry) { e.Value = jsontext.Value("{") }, BadEntry, "/value"},
		{"Object", func(e *Entry) { e.Value = jsontext.Value(`{"a":1}`) }, NotALeaf, "/value"},
		{"TwoUnits", func(e *Entry) { e.Value = jsontext.Value(`{"lb":1,"kg":1}`) }, NotALeaf, "/value"},
		{"WholeDocument", func(e *Entry) { e.Path = "" }, NotALeaf, "/path"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e := write(1, 1, "a", "/x", "1")
			tt.change(&e)
			r := e.Check()
			if r == nil || r.Reason != tt.reason || r.Pointer != tt.pointer {
				t.Errorf("got %+v, want %s at %s", r, tt.reason, tt.pointer)
			}
		})
	}
}

func TestAdmit(t *testing.T) {
	const now = 1_000_000
	r := NewRegister(Set{})
	steps := []struct {
		name   string
		entry  Entry
		want   Admitted
		reason Reason
	}{
		{"First", write(1, now, "a", "/x", "1"), Taken, ""},
		{"Again", write(1, now, "a", "/x", " 1 "), Already, ""},
		{"OtherBody", write(1, now, "a", "/x", "2"), Refused, OtherBody},
		{"BelowScalar", write(2, now+1, "a", "/x/y", "2"), Refused, BelowScalar},
		{"BelowQuantityTaken", write(3, now, "a", "/q", `{"lb":1}`), Taken, ""},
		{"BelowQuantity", write(4, now, "a", "/q/kg", `1`), Refused, BelowScalar},
		{"NextYear", write(5, now+365*86400_000, "a", "/z", "1"), Refused, ClockAhead},
		{"WithinBound", write(6, now+Bound, "a", "/z", "1"), Taken, ""},
		{"RemoveScalar", write(7, now+2, "a", "/x", ""), Taken, ""},
		{"NowAnObject", write(8, now+3, "a", "/x/y", "2"), Taken, ""},
	}
	for _, s := range steps {
		got, refusal := r.Admit(s.entry, now)
		if got != s.want || refusal != nil && refusal.Reason != s.reason || (refusal == nil) != (s.reason == "") {
			t.Errorf("%s: %s %+v", s.name, got, refusal)
		}
	}
	v, _ := Fold(r.Set())
	if string(v) != `{"q":{"lb":1},"x":{"y":2},"z":1}` {
		t.Errorf("folded to %s", v)
	}
}

func TestClock(t *testing.T) {
	c := Clock{}.Next(100)
	if c != (Clock{Wall: 100}) {
		t.Errorf("first %+v", c)
	}
	if c = c.Next(100); c != (Clock{100, 1}) {
		t.Errorf("same millisecond %+v", c)
	}
	if c = c.Next(50); c != (Clock{100, 2}) {
		t.Errorf("clock set back %+v", c)
	}
	if c = c.Seen(Clock{200, 7}).Next(150); c != (Clock{200, 8}) {
		t.Errorf("after seeing a later one %+v", c)
	}
}

// document draws a document of maps with leaves of every kind.
func document(t *rapid.T, label string) jsontext.Value {
	keys := rapid.SampledFrom([]string{"a", "b", "c/d", "e~f", "g h", "ü"})
	var draw func(depth int) any
	draw = func(depth int) any {
		kind := rapid.IntRange(0, 6).Draw(t, label)
		if depth == 0 {
			kind = 6
		}
		switch {
		case kind == 0:
			return rapid.SampledFrom([]any{1, "x", true, 2.5}).Draw(t, label)
		case kind == 1:
			return []any{rapid.IntRange(0, 3).Draw(t, label)}
		case kind == 2 && depth < 3:
			return map[string]any{rapid.SampledFrom([]string{"lb", "kg"}).Draw(t, label): rapid.IntRange(1, 9).Draw(t, label)}
		}
		m := map[string]any{}
		if depth < 3 {
			for range rapid.IntRange(0, 3).Draw(t, label) {
				m[keys.Draw(t, label)] = draw(depth + 1)
			}
		}
		return m
	}
	m := draw(0)
	b, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	return canonical(b)
}

func entriesOf(writes []Write, from int, device string, last Clock, now int64) ([]Entry, Clock) {
	ids := make([]string, len(writes))
	for i := range ids {
		ids[i] = id(from + i)
	}
	return Entries("rig/1", writes, ids, device, last, now)
}

// Writing the difference makes the document, and nothing else is in it.
func TestDiffMakesTheDocument(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := document(t, "from"), document(t, "to")
		first, last := entriesOf(Diff(nil, from), 0, "a", Clock{}, 1)
		second, _ := entriesOf(Diff(from, to), 1000, "a", last, 2)
		for _, e := range slices.Concat(first, second) {
			if r := e.Check(); r != nil {
				t.Fatalf("%s %s: %+v", e.Path, e.Value, r)
			}
		}
		if got, ok := Fold(Set{Entries: first}); !ok || string(got) != string(from) {
			t.Fatalf("first: got %s want %s", got, from)
		}
		got, ok := Fold(Set{Entries: slices.Concat(first, second)})
		if !ok || string(got) != string(to) {
			t.Fatalf("from %s\nto   %s\ngot  %s %v\n%v", from, to, got, ok, second)
		}
		if len(Diff(to, got)) != 0 {
			t.Fatalf("difference with itself %v", Diff(to, got))
		}
	})
}

// replicas write into one document, each with its own clock and what it saw.
func randomSet(t *rapid.T) Set {
	var s Set
	paths := []string{"", "/a", "/a/b", "/a/b/c", "/a/d", "/e", "/e/f", "/g~0h"}
	for i := range rapid.IntRange(0, 40).Draw(t, "entries") {
		path := rapid.SampledFrom(paths).Draw(t, "path")
		value := rapid.SampledFrom([]string{"", "1", "2", `{"lb":3}`, "{}", "[1]"}).Draw(t, "value")
		if path == "" && value != "" {
			value = "{}"
		}
		s.Entries = append(s.Entries, write(i, int64(rapid.IntRange(0, 8).Draw(t, "wall")), rapid.SampledFrom([]string{"p", "q", "r", "s"}).Draw(t, "device"), path, value))
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "erasures") {
		s.Erasures = append(s.Erasures, Erasure{
			ID: id(5000 + i), Doc: "rig/1", Path: rapid.SampledFrom(paths).Draw(t, "path"),
			UpTo: Clock{Wall: int64(rapid.IntRange(0, 8).Draw(t, "up to"))}, Device: "server",
		})
	}
	return s
}

// Any order, duplication, split and interleaving over three to six replicas
// converges to the same set and the same document.
func TestMergeConverges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := randomSet(t)
		n := rapid.IntRange(3, 6).Draw(t, "replicas")
		replicas := make([]Set, n)
		for _, e := range all.Entries {
			for range rapid.IntRange(1, 3).Draw(t, "copies") {
				i := rapid.IntRange(0, n-1).Draw(t, "replica")
				replicas[i].Entries = append(replicas[i].Entries, e)
			}
		}
		for _, x := range all.Erasures {
			i := rapid.IntRange(0, n-1).Draw(t, "replica")
			replicas[i].Erasures = append(replicas[i].Erasures, x)
		}
		for range rapid.IntRange(0, 8).Draw(t, "meetings") {
			i, j := rapid.IntRange(0, n-1).Draw(t, "i"), rapid.IntRange(0, n-1).Draw(t, "j")
			replicas[i] = Merge(replicas[i], replicas[j])
		}
		var first []byte
		for range 3 {
			order := rand.Perm(n)
			var m Set
			for _, i := range order {
				m = Merge(m, replicas[i])
			}
			v, ok := Fold(m)
			if w, wok := Fold(all); string(w) != string(v) || ok != wok {
				t.Fatalf("folded to %s %v, all at once to %s %v", v, ok, w, wok)
			}
			b, err := json.Marshal(m)
			if err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = b
			} else if string(first) != string(b) {
				t.Fatalf("two orders, two sets\n%s\n%s", first, b)
			}
			if again := Merge(m, m); len(again.Entries) != len(m.Entries) || len(again.Erasures) != len(m.Erasures) {
				t.Fatal("merging with itself changed the set")
			}
		}
	})
}

// A PUT of a whole document against a stale version never wipes a leaf that
// another phone wrote meanwhile.
func TestStalePutWipesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seen, to := document(t, "seen"), document(t, "put")
		base, last := entriesOf(Diff(nil, seen), 0, "server", Clock{}, 1)
		other := write(500, 2, "phone", "/other_phone/leaf", `"kept"`)
		put, _ := entriesOf(Diff(seen, to), 1000, "server", last, 3)
		v, _ := Fold(Set{Entries: slices.Concat(base, []Entry{other}, put)})
		var doc map[string]any
		if err := json.Unmarshal(v, &doc); err != nil {
			t.Fatal(err)
		}
		if m, _ := doc["other_phone"].(map[string]any); m["leaf"] != "kept" {
			t.Fatalf("seen %s\nput  %s\ngot  %s", seen, to, v)
		}
	})
	// The same inside a branch that the PUT empties.
	base, last := entriesOf(Diff(nil, jsontext.Value(`{"towing":{"gvwr":{"lb":1}}}`)), 0, "server", Clock{}, 1)
	other := write(500, 2, "phone", "/towing/gcwr", `{"lb":2}`)
	for _, to := range []string{`{"towing":{}}`, `{}`} {
		put, _ := entriesOf(Diff(jsontext.Value(`{"towing":{"gvwr":{"lb":1}}}`), jsontext.Value(to)), 1000, "server", last, 3)
		if got := mustFold(t, slices.Concat(base, []Entry{other}, put)...); got != `{"towing":{"gcwr":{"lb":2}}}` {
			t.Errorf("put %s: %s", to, got)
		}
	}
}

func TestHistory(t *testing.T) {
	s := Set{Entries: []Entry{
		write(1, 1, "a", "/x", "1"), write(2, 2, "b", "/x", "2"), write(3, 3, "a", "/y/z", "3"), write(4, 4, "a", "/y", ""),
	}}
	var got []string
	for _, c := range History(s, "") {
		got = append(got, c.Entry.Path+" "+string(c.Standing))
	}
	want := []string{"/y current", "/y/z hidden", "/x current", "/x superseded"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v", got)
	}
}

func TestErase(t *testing.T) {
	s := Set{Entries: []Entry{write(1, 1, "a", "/owner/name", `"somebody"`), write(2, 2, "a", "/towing/gvwr", `{"lb":1}`), write(3, 9, "a", "/owner/name", `"again"`)}}
	s = Erase(s, Erasure{ID: id(9), Doc: "rig/1", Path: "/owner", UpTo: Clock{Wall: 5}, At: Clock{Wall: 6}, Device: "server", Reason: "customer asked"})
	if got, _ := Fold(s); string(got) != `{"owner":{"name":"again"},"towing":{"gvwr":{"lb":1}}}` {
		t.Errorf("folded to %s", got)
	}
	b, _ := json.Marshal(s)
	if strings.Contains(string(b), "somebody") {
		t.Errorf("still there: %s", b)
	}
	// A phone that still has it brings it back to nobody.
	back := Merge(s, Set{Entries: []Entry{write(1, 1, "a", "/owner/name", `"somebody"`)}})
	if b, _ := json.Marshal(back); strings.Contains(string(b), "somebody") {
		t.Errorf("came back: %s", b)
	}
}

func FuzzEntryCheck(f *testing.F) {
	f.Add("/a/b~1c", `{"lb":3}`, int64(5))
	f.Add("", `{}`, int64(0))
	f.Add("/0", `[1,2`, int64(-1))
	f.Add("/~", "null", int64(1)<<60)
	f.Fuzz(func(t *testing.T, path, value string, wall int64) {
		e := Entry{ID: id(1), Doc: "rig/1", Path: path, Value: jsontext.Value(value), At: Clock{Wall: wall}, Device: "a"}
		if e.Check() != nil {
			return
		}
		v, ok := Fold(Set{Entries: []Entry{e}})
		if !ok || !v.IsValid() {
			t.Fatalf("%q %q folded to %q", path, value, v)
		}
		// What was folded, written again, is the same document.
		again, _ := entriesOf(Diff(nil, v), 10, "b", Clock{}, 1)
		if w, _ := Fold(Set{Entries: again}); string(w) != string(v) {
			t.Fatalf("%q became %q", v, w)
		}
	})
}

func BenchmarkFold10000(b *testing.B) {
	var s Set
	for i := range 10_000 {
		s.Entries = append(s.Entries, write(i, int64(i), "a", fmt.Sprintf("/part%d/sub%d/leaf%d", i%7, i%41, i%1500), `{"lb":4300}`))
	}
	for b.Loop() {
		Fold(s)
	}
}

// TestDiffIsAdmitted: what a difference writes, the journal takes, one after the
// other, and it makes the new document.
func TestDiffIsAdmitted(t *testing.T) {
	r := NewRegister(Set{})
	var at Clock
	n := 0
	for _, want := range []string{
		`{"a":1}`, `{"a":{"b":2}}`, `{"a":{"b":{"lb":2}}}`, `{"a":{"b":{"c":2,"d":{"e":[1]}}}}`, `{"a":{"b":{"c":{"x":0},"d":{"e":{"y":1}}}}}`,
		`{"a":[1]}`, `{"a":{}}`, `{"a":{"x":1}}`, `{"a":{"x":{"y":{"z":1}}}}`,
	} {
		base, _ := r.Fold()
		writes := Diff(base, jsontext.Value(want))
		ids := make([]string, len(writes))
		for i := range ids {
			n++
			ids[i] = id(n)
		}
		var entries []Entry
		entries, at = Entries("rig/1", writes, ids, "server", at, 1)
		for _, e := range entries {
			if admitted, refusal := r.Admit(e, 1); admitted != Taken {
				t.Fatalf("%s: %s is %s: %+v", want, e.Path, admitted, refusal)
			}
		}
		if got, _ := r.Fold(); string(got) != want {
			t.Fatalf("got %s, want %s", got, want)
		}
	}
}
