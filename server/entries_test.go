package server

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"
)

// wall is the time of the entries of the tests, well before now.
const wall = 1_764_000_000_000

// entry is the n-th entry of a phone, written after what the server holds.
func entry(n int, doc, path, value string) string {
	return fmt.Sprintf(`{"id":%q,"doc":%q,"path":%q,"value":%s,"at":{"wall":%d,"counter":0},"device":"phone-1"}`, entryID(n), doc, path, value, time.Now().UnixMilli()+int64(n))
}

// oldEntry is the same, long ago.
func oldEntry(n int, doc, path, value string, at int64) string {
	return fmt.Sprintf(`{"id":%q,"doc":%q,"path":%q,"value":%s,"at":{"wall":%d,"counter":%d},"device":"phone-1"}`, entryID(n), doc, path, value, at, n)
}

func entryID(n int) string { return fmt.Sprintf("0192f0c1-5d00-7abc-8def-%012x", n) }

// taken is the answer to a page of entries.
type taken struct {
	Outcomes []outcome
	Cursor   int64
	Era      string
	NowMS    int64 `json:"now_ms"`
}

func (l *lab) offer(tb testing.TB, entries ...string) taken {
	tb.Helper()
	var t taken
	mustDecode(tb, l.mustDo(tb, 200, with("POST", "/v1/entries", `{"entries":[`+strings.Join(entries, ",")+`]}`)), &t)
	if len(t.Outcomes) != len(entries) {
		tb.Fatalf("%d outcomes for %d entries", len(t.Outcomes), len(entries))
	}
	return t
}

func (l *lab) mustTake(tb testing.TB, entries ...string) taken {
	tb.Helper()
	t := l.offer(tb, entries...)
	for i, o := range t.Outcomes {
		if o.Outcome != "taken" {
			tb.Fatalf("%s: %+v", entries[i], o)
		}
	}
	return t
}

// TestOutcomes: each entry is judged by itself, and one that cannot be taken
// never holds up the others.
func TestOutcomes(t *testing.T) {
	l := newLab(t, false)
	l.mustTake(t, oldEntry(1, "rig/a", "/towed/axles", "2", wall))
	null := strings.Replace(oldEntry(20, "rig/a", "/x", "1", wall), `"value":1`, `"value":null`, 1)
	newer := strings.Replace(oldEntry(21, "rig/a", "/x", "1", wall), `{"id"`, `{"mood":"good","id"`, 1)
	server := strings.Replace(oldEntry(22, "rig/a", "/x", "1", wall), "phone-1", "server", 1)
	for _, test := range []struct{ name, entry, outcome, reason, pointer string }{
		{"Same", oldEntry(1, "rig/a", "/towed/axles", "2", wall), "already", "", ""},
		{"SameSpaced", oldEntry(1, "rig/a", "/towed/axles", " 2.0 ", wall), "already", "", ""},
		{"OtherBody", oldEntry(1, "rig/a", "/towed/axles", "3", wall), "refused", "other_body", "/id"},
		{"OtherDocument", oldEntry(1, "rig/b", "/towed/axles", "2", wall), "refused", "other_body", "/id"},
		{"Array", oldEntry(2, "rig/a", "/list", "[1,2]", wall), "taken", "", ""},
		{"ArrayIndex", oldEntry(3, "rig/a", "/list/0", "1", wall), "refused", "array_index", "/path"},
		{"ArrayEnd", oldEntry(4, "rig/a", "/list/-", "1", wall), "refused", "array_index", "/path"},
		{"BelowScalar", oldEntry(5, "rig/a", "/towed/axles/front", "1", wall), "refused", "below_scalar", "/path"},
		{"BelowArray", oldEntry(6, "rig/a", "/list/first", "1", wall), "refused", "below_scalar", "/path"},
		{"Object", oldEntry(7, "rig/a", "/towed", `{"a":1,"b":2}`, wall), "refused", "not_a_leaf", "/value"},
		{"Quantity", oldEntry(8, "rig/a", "/towed/weight", `{"lb":4300}`, wall), "taken", "", ""},
		{"NextYear", oldEntry(9, "rig/a", "/late", "1", time.Now().AddDate(1, 0, 0).UnixMilli()), "refused", "clock_ahead", "/at/wall"},
		{"Null", null, "refused", "bad_entry", "/value"},
		{"UnknownMember", newer, "refused", "bad_entry", "/mood"},
		{"NotAnEntry", `7`, "refused", "bad_entry", ""},
		{"NullItself", `null`, "refused", "bad_entry", ""},
		{"ServersName", server, "refused", "bad_entry", "/device"},
		{"NoKind", oldEntry(23, "a", "/x", "1", wall), "refused", "bad_entry", "/doc"},
		{"NewerKind", oldEntry(24, "circuit/a", "/x", "1", wall), "taken", "", ""},
	} {
		neighbour := oldEntry(1000+len(test.name)*40+len(test.entry)%40, "rig/c", "/"+test.name, "1", wall)
		got := l.offer(t, test.entry, neighbour)
		o := got.Outcomes[0]
		pointer := ""
		if o.Pointer != nil {
			pointer = *o.Pointer
		}
		if string(o.Outcome) != test.outcome || string(o.Reason) != test.reason || pointer != test.pointer || (o.Reason == "") != (o.Detail == "") {
			t.Errorf("%s: %+v at %q", test.name, o, pointer)
		}
		if got.Outcomes[1].Outcome == "refused" {
			t.Errorf("%s holds up its neighbour: %+v", test.name, got.Outcomes[1])
		}
	}
	if s, _ := l.mustShow(t, "/v1/rigs/a"); fmt.Sprint(s.Rig) != "map[list:[1 2] towed:map[axles:2 weight:map[lb:4300]]]" {
		t.Errorf("%v", s.Rig)
	}
}

// TestClockAhead: the answer carries the server's time, and an edit written again
// with it is taken.
func TestClockAhead(t *testing.T) {
	l := newLab(t, false)
	late := l.offer(t, oldEntry(1, "rig/a", "/name", `"Late"`, time.Now().AddDate(1, 0, 0).UnixMilli()))
	if o := late.Outcomes[0]; o.Reason != "clock_ahead" || late.Cursor != 3 {
		t.Errorf("%+v", late)
	}
	if off := time.Since(time.UnixMilli(late.NowMS)); off < -time.Second || off > 10*time.Second {
		t.Errorf("the server's time is off by %v", off)
	}
	l.mustTake(t, oldEntry(2, "rig/a", "/name", `"In time"`, late.NowMS))
	if s, _ := l.mustShow(t, "/v1/rigs/a"); s.Name != "In time" {
		t.Errorf("%+v", s)
	}
}

// TestTenThousand: one phone's ten thousand edits in pages, offered twice where
// the answer was lost, and read back in pages of another size.
func TestTenThousand(t *testing.T) {
	l := newLab(t, false)
	const all, page = 10_000, 500
	begin := l.offer(t).Cursor
	for from := 0; from < all; from += page {
		var entries []string
		for n := from; n < from+page; n++ {
			entries = append(entries, oldEntry(n, fmt.Sprint("walk/w", n%5), fmt.Sprint("/ticks/step-", n%400, "/phone-1/done"), fmt.Sprint(n%3 == 0), wall+int64(n)))
		}
		l.mustTake(t, entries...)
		if from == 2*page {
			for _, o := range l.offer(t, entries...).Outcomes {
				if o.Outcome != "already" {
					t.Fatalf("offered again: %+v", o)
				}
			}
		}
	}
	seen := 0
	for after := begin; ; {
		var p struct {
			Changes        []struct{ Cursor int64 }
			Cursor, Newest int64
		}
		mustDecode(t, l.mustDo(t, 200, request{path: fmt.Sprint("/v1/entries?limit=777&after=", after)}), &p)
		for _, c := range p.Changes {
			if after++; c.Cursor != after {
				t.Fatalf("change %d came where %d was next", c.Cursor, after)
			}
			seen++
		}
		if p.Cursor == p.Newest {
			break
		}
	}
	if seen != all {
		t.Errorf("%d of %d read back", seen, all)
	}
	var w struct {
		WalkRound struct {
			Ticks map[string]map[string]struct{ Done bool }
		} `json:"walk_round"`
	}
	mustDecode(t, l.mustDo(t, 200, request{path: "/v1/walk-rounds/w0"}), &w)
	// Step 395's last edit of walk w0 is number 9995, which 3 does not divide.
	if len(w.WalkRound.Ticks) != 80 || w.WalkRound.Ticks["step-395"]["phone-1"].Done != (9995%3 == 0) || w.WalkRound.Ticks["step-390"]["phone-1"].Done != (9990%3 == 0) {
		b, _ := json.Marshal(w)
		t.Errorf("%d steps: %.300s", len(w.WalkRound.Ticks), b)
	}
}

func TestPageRefused(t *testing.T) {
	l := newLab(t, false)
	many := strings.TrimSuffix(strings.Repeat("1,", 501), ",")
	for name, s := range map[string]scenario{
		"TooMany":   {with("POST", "/v1/entries", `{"entries":[`+many+`]}`), 400, []string{"invalid_value", `"/entries"`}, nil, nil},
		"TooLarge":  {with("POST", "/v1/entries", `{"entries":[]}`+strings.Repeat(" ", maxPage)), 413, []string{"4 MiB"}, nil, nil},
		"Missing":   {with("POST", "/v1/entries", `{}`), 400, []string{`"/entries"`}, nil, nil},
		"Null":      {with("POST", "/v1/entries", `{"entries":null}`), 400, []string{`"/entries"`}, nil, nil},
		"Unknown":   {with("POST", "/v1/entries", `{"entries":[],"more":1}`), 400, []string{"unknown_member", `"/more"`}, nil, nil},
		"Cut":       {with("POST", "/v1/entries", `{"entries":[`), 400, []string{"malformed_json"}, nil, nil},
		"Object":    {with("POST", "/v1/entries", `{"entries":{}}`), 400, []string{"wrong_type"}, nil, nil},
		"After":     {request{path: "/v1/entries?after=-1"}, 400, []string{"after"}, nil, nil},
		"AfterWord": {request{path: "/v1/entries?after=x"}, 400, []string{"after"}, nil, nil},
		"Limit":     {request{path: "/v1/entries?limit=1001"}, 400, []string{"limit"}, nil, nil},
		"Beyond":    {request{path: "/v1/entries?after=999"}, 200, []string{`"changes":[]`, `"cursor":999`, `"newest":3`}, nil, nil},
		"None":      {with("POST", "/v1/entries", `{"entries":[]}`), 200, []string{`"outcomes":[]`, `"cursor":3`}, nil, nil},
	} {
		t.Run(name, func(t *testing.T) { s.run(t, l) })
	}
}
