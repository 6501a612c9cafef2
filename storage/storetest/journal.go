package storetest

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/journal"
	"pintail/storage"
)

// ID is the nth of a run of UUIDs of version 7.
func ID(n int) string { return fmt.Sprintf("0192f0c1-0000-7000-8000-%012x", n) }

// Entry is an entry of a phone: the nth id, ms milliseconds after Noon.
func Entry(n int, doc, path, value string, ms int64) journal.Entry {
	e := journal.Entry{ID: ID(n), Doc: doc, Path: path, At: journal.Clock{Wall: Noon.UnixMilli() + ms}, Device: "phone"}
	if value == "" {
		e.Removed = true
	} else {
		e.Value = jsontext.Value(value)
	}
	return e
}

func offer(entries ...journal.Entry) storage.Append {
	return storage.Append{Entries: entries, Actor: "key-1", At: Noon}
}

func mustAppend(tb testing.TB, w storage.Workspace, entries ...journal.Entry) storage.Outcome {
	tb.Helper()
	out, err := w.Append(tb.Context(), offer(entries...))
	if err != nil {
		tb.Fatalf("Append: %v", err)
	}
	if !out.Taken() {
		tb.Fatalf("Append: refused: %s", show(out.Results))
	}
	return out
}

func mustWrite(tb testing.TB, w storage.Workspace, x storage.Write) storage.Outcome {
	tb.Helper()
	out, err := w.Write(tb.Context(), x)
	if err != nil {
		tb.Fatalf("Write: %v", err)
	}
	return out
}

// mustDocument returns the document's value, "" when it is removed.
func mustDocument(tb testing.TB, w storage.Workspace, doc string) storage.Document {
	tb.Helper()
	d, found, err := w.Document(tb.Context(), doc)
	if err != nil || !found {
		tb.Fatalf("Document(%s): found %v, %v", doc, found, err)
	}
	return d
}

func mustSince(tb testing.TB, w storage.Workspace, after int64) storage.Page {
	tb.Helper()
	p, err := w.Since(tb.Context(), after, storage.MaxPage)
	if err != nil {
		tb.Fatalf("Since: %v", err)
	}
	return p
}

func wantValue(tb testing.TB, w storage.Workspace, doc, want string) {
	tb.Helper()
	if got := mustDocument(tb, w, doc); string(got.Value) != want {
		tb.Fatalf("%s is %s, want %s", doc, got.Value, want)
	}
}

func show(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(b)
}

func untouched(t *testing.T, p Place) {
	s := open(t, p)
	if err := s.Ready(t.Context()); err != nil {
		t.Fatalf("Ready: %v", err)
	}
	w := s.In(storage.Default)
	a, err := w.About(t.Context())
	if err != nil || a.ID != storage.Default || a.Cursor != 0 || a.Era == "" {
		t.Fatalf("About: %+v, %v", a, err)
	}
	page := mustSince(t, w, 0)
	if len(page.Changes) != 0 || page.Cursor != 0 || page.Newest != 0 || page.Era != a.Era {
		t.Fatalf("Since: %+v", page)
	}
	if _, found, err := w.Document(t.Context(), "rig/a"); found || err != nil {
		t.Fatalf("Document: found %v, %v", found, err)
	}
	if v, err := w.Versions(t.Context(), "rig/a"); len(v) != 0 || err != nil {
		t.Fatalf("Versions: %v, %v", v, err)
	}
}

func appends(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	first := Entry(1, "rig/a", "/name", `"Kibbit"`, 0)
	out := mustAppend(t, w, first, Entry(2, "rig/a", "/towed/curb", `{"lb":3650}`, 1), Entry(3, "trip/a", "/night", `true`, 2))
	if out.Cursor != 3 || out.Results[2].Cursor != 3 || out.Now != Noon.UnixMilli() || out.Clock != (journal.Clock{Wall: Noon.UnixMilli() + 2}) {
		t.Fatalf("outcome %s", show(out))
	}
	d := mustDocument(t, w, "rig/a")
	micro := Noon.UTC().Truncate(time.Microsecond)
	if string(d.Value) != `{"name":"Kibbit","towed":{"curb":{"lb":3650}}}` || d.Name != "Kibbit" || d.Version != 2 || !d.Created.Equal(micro) || !d.Updated.Equal(micro) {
		t.Fatalf("document %+v", d)
	}
	again, err := w.Append(t.Context(), offer(first, Entry(4, "rig/a", "/name", "", 3)))
	if err != nil || again.Results[0].Admitted != journal.Already || again.Results[1].Cursor != 4 || again.Cursor != 4 {
		t.Fatalf("again: %s, %v", show(again), err)
	}
	wantValue(t, w, "rig/a", `{"towed":{"curb":{"lb":3650}}}`)
	page := mustSince(t, w, 0)
	if len(page.Changes) != 4 || page.Cursor != 4 || page.Newest != 4 {
		t.Fatalf("Since: %+v", page)
	}
	got := page.Changes[0]
	if got.Cursor != 1 || got.Actor != "key-1" || !got.Received.Equal(micro) || got.Received.Location() != time.UTC || !got.Entry.Same(&first) {
		t.Fatalf("change %+v", got)
	}
	if !page.Changes[3].Entry.Removed || page.Changes[3].Entry.Value != nil {
		t.Fatalf("a removal came back as %+v", page.Changes[3].Entry)
	}
}

func appendRefuses(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, 0))
	good := func(change func(*journal.Entry)) journal.Entry {
		e := Entry(100, "rig/b", "/y", `2`, 0)
		change(&e)
		return e
	}
	tests := []struct {
		name    string
		entry   journal.Entry
		reason  journal.Reason
		pointer string
	}{
		{"OtherBody", Entry(1, "rig/a", "/x", `2`, 0), journal.OtherBody, "/id"},
		{"NextYear", good(func(e *journal.Entry) { e.At.Wall += 365 * 24 * 3600 * 1000 }), journal.ClockAhead, "/at/wall"},
		{"ArrayIndex", good(func(e *journal.Entry) { e.Path = "/y/0" }), journal.ArrayIndex, "/path"},
		{"BelowScalar", good(func(e *journal.Entry) { e.Doc, e.Path = "rig/a", "/x/y" }), journal.BelowScalar, "/path"},
		{"NotALeaf", good(func(e *journal.Entry) { e.Value = jsontext.Value(`{"a":1}`) }), journal.NotALeaf, "/value"},
		{"NoKind", good(func(e *journal.Entry) { e.Doc = "b" }), journal.BadEntry, "/doc"},
		{"NoID", good(func(e *journal.Entry) { e.Doc = "rig/" }), journal.BadEntry, "/doc"},
		{"DigitsOnly", good(func(e *journal.Entry) { e.Doc = "rig/12" }), journal.BadEntry, "/doc"},
		{"OddID", good(func(e *journal.Entry) { e.Doc = "rig/a.b" }), journal.BadEntry, "/doc"},
		{"LongID", good(func(e *journal.Entry) { e.Doc = "rig/" + strings.Repeat("a", 65) }), journal.BadEntry, "/doc"},
		{"TwoSlashes", good(func(e *journal.Entry) { e.Doc = "rig/a/b" }), journal.BadEntry, "/doc"},
		{"NoValue", good(func(e *journal.Entry) { e.Value = nil }), journal.BadEntry, "/value"},
		{"Truncated", good(func(e *journal.Entry) { e.Value = jsontext.Value(`[1`) }), journal.BadEntry, "/value"},
		{"ValueNotUTF8", good(func(e *journal.Entry) { e.Value = jsontext.Value("\"\xff\"") }), journal.BadEntry, "/value"},
		{"TooLarge", good(func(e *journal.Entry) { e.Value = jsontext.Value(`"` + strings.Repeat("x", 256<<10) + `"`) }), journal.BadEntry, "/value"},
		{"WholeDocument", good(func(e *journal.Entry) { e.Path, e.Value = "", jsontext.Value(`[]`) }), journal.NotALeaf, "/path"},
		{"ServersDevice", good(func(e *journal.Entry) { e.Device = storage.ServerDevice }), journal.BadEntry, "/device"},
		{"NoUUID", good(func(e *journal.Entry) { e.ID = "1" }), journal.BadEntry, "/id"},
		{"NotUTF8", good(func(e *journal.Entry) { e.ID = "\xff" }), journal.BadEntry, "/id"},
	}
	var entries []journal.Entry
	for _, test := range tests {
		entries = append(entries, test.entry)
	}
	out, err := w.Append(t.Context(), offer(append(entries, good(func(*journal.Entry) {}))...))
	if err != nil {
		t.Fatal(err)
	}
	for i, test := range tests {
		if r := out.Results[i]; r.Admitted != journal.Refused || r.Refusal == nil || r.Refusal.Reason != test.reason || r.Refusal.Pointer != test.pointer || r.Cursor != 0 {
			t.Errorf("%s: %s", test.name, show(r))
		}
	}
	if last := out.Results[len(tests)]; last.Admitted != journal.Taken || last.Cursor != 2 {
		t.Errorf("the good one among them: %s", show(last))
	}
	if page := mustSince(t, w, 0); len(page.Changes) != 2 {
		t.Errorf("%d changes kept, want 2", len(page.Changes))
	}
	_, err = w.Append(t.Context(), offer(make([]journal.Entry, storage.MaxAppend+1)...))
	mustBe(t, "TooMany", err, storage.Invalid)
}

func idOnce(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	for name, entries := range map[string][]journal.Entry{
		"SamePage":  {Entry(1, "rig/a", "/x", `1`, 0), Entry(1, "rig/b", "/x", `1`, 0)},
		"OtherPage": {Entry(1, "rig/a", "/x", `1`, 0), Entry(1, "rig/c", "/x", `1`, 0)},
	} {
		out, err := w.Append(t.Context(), offer(entries...))
		if err != nil || out.Results[1].Refusal == nil || out.Results[1].Refusal.Reason != journal.OtherBody {
			t.Errorf("%s: %s, %v", name, show(out), err)
		}
	}
}

func pages(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	for i := range 25 {
		mustAppend(t, w, Entry(i, fmt.Sprint("rig/r", i%3), "/x", fmt.Sprint(i), int64(i)))
	}
	var got []int64
	for after := int64(0); ; {
		page, err := w.Since(t.Context(), after, 7)
		if err != nil {
			t.Fatal(err)
		}
		if len(page.Changes) == 0 {
			if page.Cursor != after || after != 25 || page.Newest != 25 {
				t.Fatalf("the last page: %+v", page)
			}
			break
		}
		for _, c := range page.Changes {
			got = append(got, c.Cursor)
		}
		after = page.Cursor
	}
	if len(got) != 25 || !slices.IsSorted(got) || got[0] != 1 || got[24] != 25 {
		t.Fatalf("cursors %v", got)
	}
	if page := mustSince(t, w, 100); len(page.Changes) != 0 || page.Newest != 25 {
		t.Fatalf("beyond the end: %+v", page)
	}
	for _, limit := range []int{-1, 0, storage.MaxPage + 1} {
		_, err := w.Since(t.Context(), 0, limit)
		mustBe(t, fmt.Sprint("limit ", limit), err, storage.Invalid)
	}
}

// largePages: a page ends before its values grow out of hand, and goes on.
func largePages(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	value := `"` + strings.Repeat("x", 200<<10) + `"`
	const n = 40
	for i := range n {
		mustAppend(t, w, Entry(i, fmt.Sprint("test/r", i), "/photo", value, 0))
	}
	seen, calls := 0, 0
	for after := int64(0); seen < n; calls++ {
		page := mustSince(t, w, after)
		if len(page.Changes) == 0 || calls > n {
			t.Fatalf("stuck after %d changes", seen)
		}
		seen, after = seen+len(page.Changes), page.Cursor
	}
	if calls < 2 {
		t.Errorf("%d KiB came in one page", n*200)
	}
}

func documents(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	for i, doc := range []string{"rig/c", "rig/a", "rigs/x", "ri/x", "trip/a", "rig/b", "rig/Z"} {
		mustAppend(t, w, Entry(i, doc, "/name", `"name of `+doc+`"`, 0))
	}
	mustAppend(t, w, Entry(20, "rig/b", "", "", 5), Entry(21, "rig/a", "/name", "5", 6))
	list := func(kind, after string, limit int) string {
		all, err := w.Documents(t.Context(), kind, after, limit)
		if err != nil {
			t.Fatal(err)
		}
		var s []string
		for _, d := range all {
			s = append(s, fmt.Sprintf("%s %q %d", d.Doc, d.Name, d.Version))
		}
		return strings.Join(s, "; ")
	}
	for got, want := range map[string]string{
		list("rig", "", 10):  `rig/Z "name of rig/Z" 7; rig/a "" 9; rig/c "name of rig/c" 1`,
		list("rig", "a", 10): `rig/c "name of rig/c" 1`,
		list("rig", "", 2):   `rig/Z "name of rig/Z" 7; rig/a "" 9`,
		list("trip", "", 10): `trip/a "name of trip/a" 5`,
		list("walk", "", 10): ``,
	} {
		if got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	if d := mustDocument(t, w, "rig/b"); d.Value != nil || d.Version != 8 {
		t.Errorf("a removed document: %+v", d)
	}
	_, err := w.Documents(t.Context(), "r/g", "", 10)
	mustBe(t, "kind", err, storage.Invalid)
	_, err = w.Documents(t.Context(), "rig", "", 0)
	mustBe(t, "limit", err, storage.Invalid)
}

// versionsFold: the document as it was at every version can be made again.
func versionsFold(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	var was []storage.Document
	for i, e := range []journal.Entry{
		Entry(1, "rig/a", "/x", `1`, 5), Entry(2, "rig/a", "/y/z", `2`, 6), Entry(3, "rig/a", "/y", ``, 7),
		Entry(4, "rig/a", "/x", `0`, 1), Entry(5, "rig/a", "/y/z", `3`, 9),
	} {
		mustAppend(t, w, e, Entry(100+i, "rig/other", "/n", fmt.Sprint(i), 0))
		was = append(was, mustDocument(t, w, "rig/a"))
	}
	v, err := w.Versions(t.Context(), "rig/a")
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range was {
		s, found := v.At(d.Version)
		got, _ := journal.Fold(s)
		if !found || !bytes.Equal(got, d.Value) {
			t.Errorf("version %d: found %v, %s, was %s", d.Version, found, got, d.Value)
		}
	}
	if _, found := v.At(2); found {
		t.Error("another document's change is no version of this one")
	}
	if got, _ := journal.Fold(v.Set()); !bytes.Equal(got, was[len(was)-1].Value) {
		t.Errorf("Set folds to %s", got)
	}
}

func put(doc string, first int, writes ...journal.Write) storage.Write {
	w := storage.Write{Doc: doc, Writes: writes, Actor: "key-1", At: Noon}
	for i := range writes {
		w.IDs = append(w.IDs, ID(first+i))
	}
	return w
}

func write(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, 5*60*1000)) // a phone five minutes ahead
	out := mustWrite(t, w, put("rig/a", 10, journal.Write{Path: "/x", Value: jsontext.Value(`2`)}, journal.Write{Path: "/name", Value: jsontext.Value(`"N"`)}))
	if out.Version != 3 || out.Cursor != 3 || !out.Taken() {
		t.Fatalf("outcome %s", show(out))
	}
	wantValue(t, w, "rig/a", `{"name":"N","x":2}`)
	page := mustSince(t, w, 1)
	if a, b := page.Changes[0].Entry, page.Changes[1].Entry; a.Device != storage.ServerDevice || a.At.Compare(b.At) >= 0 || a.At.Wall < Noon.UnixMilli()+5*60*1000 {
		t.Fatalf("times %+v, %+v", a.At, b.At)
	}

	absent := put("rig/a", 20, journal.Write{Path: "/x", Value: jsontext.Value(`3`)})
	absent.IfAbsent = true
	if out := mustWrite(t, w, absent); !out.Present || out.Version != 3 || out.Cursor != 3 {
		t.Fatalf("IfAbsent on what is there: %s", show(out))
	}
	mustWrite(t, w, put("rig/a", 30, journal.Write{Path: "", Removed: true}))
	absent.IDs = []string{ID(40)}
	if out := mustWrite(t, w, absent); out.Present || out.Version != 5 {
		t.Fatalf("IfAbsent on what was removed: %s", show(out))
	}
	wantValue(t, w, "rig/a", `{"x":3}`)

	if out := mustWrite(t, w, put("rig/a", 50)); out.Version != 5 || out.Cursor != 5 {
		t.Fatalf("nothing to write: %s", show(out))
	}
	short := put("rig/a", 60, journal.Write{Path: "/x", Value: jsontext.Value(`3`)})
	short.IDs = nil
	_, err := w.Write(t.Context(), short)
	mustBe(t, "an id missing", err, storage.Invalid)
}

// writeIfVersion: a write meant for one version happens to that one only.
func writeIfVersion(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, 0), Entry(2, "rig/b", "/x", `1`, 0))
	x := put("rig/a", 10, journal.Write{Path: "/x", Value: jsontext.Value(`2`)})
	// The workspace's cursor, which is another document's version, is none of this
	// one's, nor is one to come.
	for _, version := range []int64{2, 3, -1} {
		x.IfVersion = version
		if out := mustWrite(t, w, x); !out.Stale || len(out.Results) != 0 || out.Version != 1 || out.Cursor != 2 {
			t.Fatalf("version %d: %s", version, show(out))
		}
	}
	wantValue(t, w, "rig/a", `{"x":1}`)
	x.IfVersion = 1
	if out := mustWrite(t, w, x); out.Stale || !out.Taken() || len(out.Results) != 1 || out.Version != 3 || out.Cursor != 3 {
		t.Fatalf("version 1: %s", show(out))
	}
	wantValue(t, w, "rig/a", `{"x":2}`)

	remove := put("rig/a", 11, journal.Write{Path: "", Removed: true})
	remove.IfVersion = 1
	if out := mustWrite(t, w, remove); !out.Stale || out.Version != 3 {
		t.Fatalf("a removal of what has changed since: %s", show(out))
	}
	wantValue(t, w, "rig/a", `{"x":2}`)
	none := put("rig/none", 12, journal.Write{Path: "/x", Value: jsontext.Value(`1`)})
	none.IfVersion = 1
	if out := mustWrite(t, w, none); !out.Stale || out.Version != 0 {
		t.Fatalf("a document that never was: %s", show(out))
	}
	if _, found, err := w.Document(t.Context(), "rig/none"); found || err != nil {
		t.Fatalf("a stale write made a document: %v, %v", found, err)
	}
	if page := mustSince(t, w, 0); len(page.Changes) != 3 {
		t.Fatalf("%d changes, want 3", len(page.Changes))
	}
}

// times: a change moves Updated and leaves Created; what changes nothing moves
// neither.
func times(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	first := Entry(1, "rig/a", "/x", `1`, 0)
	mustAppend(t, w, first)
	created := mustDocument(t, w, "rig/a")
	again := offer(first)
	again.At = later
	if out, err := w.Append(t.Context(), again); err != nil || out.Results[0].Admitted != journal.Already {
		t.Fatalf("%s, %v", show(out), err)
	}
	if d := mustDocument(t, w, "rig/a"); show(d) != show(created) {
		t.Fatalf("an entry that came twice made %+v of %+v", d, created)
	}
	x := put("rig/a", 2, journal.Write{Path: "/x", Value: jsontext.Value(`2`)})
	x.At = later
	mustWrite(t, w, x)
	d := mustDocument(t, w, "rig/a")
	if !d.Created.Equal(created.Created) || !d.Updated.Equal(later.UTC().Truncate(time.Microsecond)) || d.Updated.Location() != time.UTC || d.Version != 2 {
		t.Fatalf("got %+v, created as %+v", d, created)
	}
}

// asWritten: a value comes back byte for byte, whatever characters it and its
// path have.
func asWritten(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	var entries []journal.Entry
	for i, value := range []string{`1.50`, `"\u00e9 🚐 \u0000 ' \" \\"`, `[ 1.50,	"ü" ]`, `1e3`, `{}`, `false`} {
		entries = append(entries, Entry(i, "rig/a", fmt.Sprint("/ü 🚐' \"", "v", i), value, 0))
	}
	entries = append(entries, Entry(50, "rig/a", "/name", `"Übung \u0000 ' \" 🚐"`, 0))
	mustAppend(t, w, entries...)
	for i, c := range mustSince(t, w, 0).Changes {
		if e := entries[i]; string(c.Entry.Value) != string(e.Value) || c.Entry.Path != e.Path {
			t.Errorf("%s %s came back as %s %s", e.Path, e.Value, c.Entry.Path, c.Entry.Value)
		}
	}
	if d := mustDocument(t, w, "rig/a"); d.Name != "Übung \x00 ' \" 🚐" {
		t.Errorf("its name is %q", d.Name)
	}
}

func writeAllOrNothing(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, 0))
	out := mustWrite(t, w, put("rig/a", 10, journal.Write{Path: "/x", Value: jsontext.Value(`2`)}, journal.Write{Path: "/y/0", Value: jsontext.Value(`2`)}))
	if out.Taken() || out.Cursor != 1 || out.Version != 1 {
		t.Fatalf("outcome %s", show(out))
	}
	wantValue(t, w, "rig/a", `{"x":1}`)
	// What was refused together may come again by itself.
	if out := mustWrite(t, w, put("rig/a", 10, journal.Write{Path: "/x", Value: jsontext.Value(`2`)})); out.Results[0].Admitted != journal.Taken {
		t.Fatalf("outcome %s", show(out))
	}
	wantValue(t, w, "rig/a", `{"x":2}`)
}

// stalePut: a body made from an older version leaves alone what came meanwhile.
func stalePut(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, 0), Entry(2, "rig/a", "/y", `1`, 0))
	mustAppend(t, w, Entry(3, "rig/a", "/z", `1`, 1)) // another phone, meanwhile
	v, err := w.Versions(t.Context(), "rig/a")
	if err != nil {
		t.Fatal(err)
	}
	s, found := v.At(2)
	base, _ := journal.Fold(s)
	if !found || string(base) != `{"x":1,"y":1}` {
		t.Fatalf("version 2: %v %s", found, base)
	}
	mustWrite(t, w, put("rig/a", 10, journal.Diff(base, jsontext.Value(`{"x":2}`))...))
	wantValue(t, w, "rig/a", `{"x":2,"z":1}`)
}

// clockSetBack: the server's clock goes back an hour; nothing is stuck, and a
// later edit still counts as later.
func clockSetBack(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustWrite(t, w, put("rig/a", 1, journal.Write{Path: "/x", Value: jsontext.Value(`1`)}))
	back := put("rig/a", 2, journal.Write{Path: "/x", Value: jsontext.Value(`2`)})
	back.At = Noon.Add(-time.Hour)
	if out := mustWrite(t, w, back); !out.Taken() || out.Now != Noon.UnixMilli() {
		t.Fatalf("outcome %s", show(out))
	}
	wantValue(t, w, "rig/a", `{"x":2}`)
	phone := offer(Entry(3, "rig/a", "/x", `3`, 1000))
	phone.At = Noon.Add(-time.Hour)
	if out, err := w.Append(t.Context(), phone); err != nil || !out.Taken() {
		t.Fatalf("the phone was right: %s, %v", show(out), err)
	}
	wantValue(t, w, "rig/a", `{"x":3}`)
}

// clockCreep: entries at the bound do not move the bound.
func clockCreep(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, journal.Bound))
	mustWrite(t, w, put("rig/a", 2, journal.Write{Path: "/x", Value: jsontext.Value(`2`)}))
	out, err := w.Append(t.Context(), offer(Entry(3, "rig/a", "/x", `3`, journal.Bound+1)))
	if err != nil || out.Results[0].Refusal == nil || out.Results[0].Refusal.Reason != journal.ClockAhead {
		t.Fatalf("%s, %v", show(out), err)
	}
}

func request(key, body string) *storage.Once {
	return &storage.Once{Key: key, Fingerprint: sha256.Sum256([]byte(body)), Expires: Noon.Add(time.Hour), Answer: func(o storage.Outcome) storage.Answer {
		return storage.Answer{Status: 201, Body: fmt.Appendf(nil, "version %d", o.Version)}
	}}
}

func once(t *testing.T, p Place) {
	s := open(t, p)
	w := s.In(storage.Default)
	x := put("rig/a", 1, journal.Write{Path: "/x", Value: jsontext.Value(`1`)})
	x.Once = request("k", "body")
	if out := mustWrite(t, w, x); out.Repeat.Found() || out.Version != 1 {
		t.Fatalf("first: %s", show(out.Results))
	}
	// The second tap has ids of its own.
	x.IDs, x.Doc = []string{ID(2)}, "rig/b"
	out := mustWrite(t, w, x)
	if a := out.Repeat.Answer; a == nil || a.Status != 201 || string(a.Body) != "version 1" || out.Cursor != 1 {
		t.Fatalf("second: %+v", out)
	}
	if r, err := w.Answered(t.Context(), "key-1", *x.Once, Noon); err != nil || r.Answer == nil {
		t.Fatalf("Answered: %+v, %v", r, err)
	}
	x.Once = request("k", "another body")
	if out := mustWrite(t, w, x); !out.Repeat.Other || out.Repeat.Answer != nil || out.Cursor != 1 {
		t.Fatalf("another request under the key: %+v", out)
	}
	if page := mustSince(t, w, 0); len(page.Changes) != 1 {
		t.Fatalf("%d changes", len(page.Changes))
	}

	x.Once = request("k", "body")
	x.Actor = "key-2"
	if out := mustWrite(t, w, x); out.Repeat.Found() {
		t.Fatal("another actor's key was taken for this one's")
	}
	late := put("rig/c", 3, journal.Write{Path: "/x", Value: jsontext.Value(`1`)})
	late.At, late.Once = Noon.Add(time.Hour), request("k", "other")
	if out := mustWrite(t, w, late); out.Repeat.Found() {
		t.Fatal("an expired answer was given")
	}

	// An answer that says no is kept as well, and so is an empty one.
	no := offer(Entry(9, "rig/a", "/x/0", `1`, 0))
	no.Once = request("no", "body")
	no.Once.Answer = func(storage.Outcome) storage.Answer { return storage.Answer{Status: 422} }
	for i := range 2 {
		out, err := w.Append(t.Context(), no)
		if err != nil || out.Repeat.Found() != (i == 1) || i == 1 && (out.Repeat.Answer.Status != 422 || len(out.Repeat.Answer.Body) != 0) {
			t.Fatalf("%d: %+v, %v", i, out, err)
		}
	}
}

func erase(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	x := offer(Entry(1, "rig/a", "/owner/name", `"secret"`, 0), Entry(2, "rig/a", "/owner/phone", `"secret"`, 1), Entry(3, "rig/a", "/x", `1`, 2), Entry(4, "rig/b", "/owner/name", `"other"`, 3))
	x.Once = request("k", "secret")
	if _, err := w.Append(t.Context(), x); err != nil {
		t.Fatal(err)
	}
	ask := storage.Erase{ID: ID(50), Doc: "rig/a", Path: "/owner", Reason: "customer asked", Actor: "key-1", At: Noon.Add(time.Minute)}
	out, err := w.Erase(t.Context(), ask)
	if err != nil || out.Refusal != nil || out.Entries != 2 || out.Cursor != 5 || !out.Clean {
		t.Fatalf("Erase: %+v, %v", out, err)
	}
	wantValue(t, w, "rig/a", `{"x":1}`)
	wantValue(t, w, "rig/b", `{"owner":{"name":"other"}}`)
	page := mustSince(t, w, 0)
	v, err := w.Versions(t.Context(), "rig/a")
	if err != nil || len(v) != 2 || strings.Contains(show(page)+show(v), "secret") {
		t.Fatalf("still there: %s %s %v", show(page), show(v), err)
	}
	record := page.Changes[len(page.Changes)-1]
	if r := record.Erasure; record.Cursor != 5 || r == nil || r.Path != "/owner" || r.Reason != "customer asked" || r.ID != ID(50) || record.Actor != "key-1" {
		t.Fatalf("the record: %+v", record)
	}
	if d := mustDocument(t, w, "rig/a"); d.Version != 5 {
		t.Errorf("version %d, want the erasure's", d.Version)
	}
	if r, err := w.Answered(t.Context(), "key-1", *x.Once, Noon); err != nil || r.Found() {
		t.Errorf("an answer that may hold it is still kept: %+v, %v", r, err)
	}

	again, err := w.Erase(t.Context(), ask)
	if err != nil || again.Cursor != 5 || again.Entries != 0 {
		t.Errorf("again: %+v, %v", again, err)
	}
	late, err := w.Append(t.Context(), offer(Entry(2, "rig/a", "/owner/phone", `"secret"`, 1)))
	if err != nil || late.Results[0].Refusal == nil || late.Results[0].Refusal.Reason != journal.Purged {
		t.Errorf("a phone that still had it: %s, %v", show(late), err)
	}
	mustAppend(t, w, Entry(60, "rig/a", "/owner/name", `"new"`, 2*60*1000))
	wantValue(t, w, "rig/a", `{"owner":{"name":"new"},"x":1}`)

	for name, bad := range map[string]storage.Erase{
		"/id":   {ID: "x", Doc: "rig/a", At: Noon},
		"/doc":  {ID: ID(51), Doc: "rig", At: Noon},
		"/path": {ID: ID(51), Doc: "rig/a", Path: "owner", At: Noon},
	} {
		out, err := w.Erase(t.Context(), bad)
		if err != nil || out.Refusal == nil || out.Refusal.Pointer != name {
			t.Errorf("%s: %+v, %v", name, out, err)
		}
	}
}

// eraseLeaves: a whole document goes, one whose name begins alike stays, and so
// does a path that begins alike.
func eraseLeaves(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, 0), Entry(2, "rig/ab", "/x", `1`, 0), Entry(3, "rig/c", "/own", `1`, 0), Entry(4, "rig/c", "/owner", `2`, 0))
	for i, e := range []storage.Erase{{Doc: "rig/a"}, {Doc: "rig/c", Path: "/own"}} {
		e.ID, e.At = ID(50+i), Noon
		if out, err := w.Erase(t.Context(), e); err != nil || out.Entries != 1 {
			t.Fatalf("%+v, %v", out, err)
		}
	}
	if d := mustDocument(t, w, "rig/a"); d.Value != nil || d.Name != "" {
		t.Errorf("rig/a is %+v", d)
	}
	wantValue(t, w, "rig/ab", `{"x":1}`)
	wantValue(t, w, "rig/c", `{"owner":2}`)
}

func keys(t *testing.T, p Place) {
	s := open(t, p)
	w := s.In(storage.Default)
	if err := s.AddWorkspace(t.Context(), "shop", "Shop", Noon); err != nil {
		t.Fatal(err)
	}
	if any, err := s.AnyKey(t.Context()); any || err != nil {
		t.Fatalf("AnyKey: %v, %v", any, err)
	}
	k := storage.NewKey{ID: "k1", Name: "Front desk", Role: storage.Editor, Hash: sha256.Sum256([]byte("s"))}
	if err := w.AddKey(t.Context(), k, Noon); err != nil {
		t.Fatal(err)
	}
	mustBe(t, "twice", w.AddKey(t.Context(), k, Noon), storage.Exists)
	mustBe(t, "elsewhere", s.In("shop").AddKey(t.Context(), k, Noon), storage.Exists)
	for name, change := range map[string]func(*storage.NewKey){
		"id":   func(k *storage.NewKey) { k.ID = "a.b" },
		"name": func(k *storage.NewKey) { k.Name = "\xff" },
		"role": func(k *storage.NewKey) { k.Role = "owner" },
		"hash": func(k *storage.NewKey) { k.Hash = [32]byte{} },
	} {
		bad := k
		bad.ID = "k2"
		change(&bad)
		mustBe(t, name, w.AddKey(t.Context(), bad, Noon), storage.Invalid)
	}
	got, found, err := s.Key(t.Context(), "k1")
	micro := Noon.UTC().Truncate(time.Microsecond)
	if err != nil || !found || got.NewKey != k || got.Workspace != storage.Default || !got.Created.Equal(micro) || !got.Revoked.IsZero() {
		t.Fatalf("Key: %+v, %v, %v", got, found, err)
	}
	if _, found, err := s.Key(t.Context(), "none"); found || err != nil {
		t.Fatalf("no such key: %v, %v", found, err)
	}
	if found, err := s.In("shop").RevokeKey(t.Context(), "k1", later); found || err != nil {
		t.Fatalf("another workspace's key was revoked: %v, %v", found, err)
	}
	for _, at := range []time.Time{later, later.Add(time.Hour)} {
		if found, err := w.RevokeKey(t.Context(), "k1", at); !found || err != nil {
			t.Fatalf("RevokeKey: %v, %v", found, err)
		}
	}
	if got, _, _ := s.Key(t.Context(), "k1"); !got.Revoked.Equal(later.UTC().Truncate(time.Microsecond)) {
		t.Errorf("revoked at %v", got.Revoked)
	}
	if all, err := w.Keys(t.Context()); err != nil || len(all) != 1 || all[0].ID != "k1" {
		t.Errorf("Keys: %+v, %v", all, err)
	}
	if any, err := s.AnyKey(t.Context()); !any || err != nil {
		t.Errorf("AnyKey after the last was revoked: %v, %v", any, err)
	}
}

func workspaces(t *testing.T, p Place) {
	s := open(t, p)
	if err := s.AddWorkspace(t.Context(), "shop", "Shop", Noon); err != nil {
		t.Fatal(err)
	}
	mustBe(t, "twice", s.AddWorkspace(t.Context(), "shop", "", Noon), storage.Exists)
	mustBe(t, "odd id", s.AddWorkspace(t.Context(), "a/b", "", Noon), storage.Invalid)
	mustBe(t, "odd name", s.AddWorkspace(t.Context(), "ab", "\xff", Noon), storage.Invalid)
	all, err := s.Workspaces(t.Context())
	if err != nil || len(all) != 2 || all[0].ID != storage.Default || all[1].ID != "shop" || all[1].Name != "Shop" || all[0].Era == all[1].Era {
		t.Fatalf("Workspaces: %+v, %v", all, err)
	}
	for name, err := range callAll(t.Context(), s.In("none")) {
		mustBe(t, name, err, storage.NoWorkspace)
	}
}

// callAll calls every method of a workspace.
func callAll(ctx context.Context, w storage.Workspace) map[string]error {
	errs := map[string]error{}
	_, errs["About"] = w.About(ctx)
	_, errs["Append"] = w.Append(ctx, offer(Entry(1, "rig/a", "/x", "1", 0)))
	_, errs["Write"] = w.Write(ctx, put("rig/a", 2, journal.Write{Path: "/x", Value: jsontext.Value(`1`)}))
	_, errs["WriteAll"] = w.WriteAll(ctx, []storage.Write{put("rig/a", 4, journal.Write{Path: "/x", Value: jsontext.Value(`1`)})})
	_, errs["Erase"] = w.Erase(ctx, storage.Erase{ID: ID(3), Doc: "rig/a", At: Noon})
	_, errs["Since"] = w.Since(ctx, 0, 1)
	_, _, errs["Document"] = w.Document(ctx, "rig/a")
	_, errs["Documents"] = w.Documents(ctx, "rig", "", 1)
	_, errs["Values"] = w.Values(ctx, "rig", "", 1)
	_, errs["Versions"] = w.Versions(ctx, "rig/a")
	_, errs["Answered"] = w.Answered(ctx, "a", *request("k", "b"), Noon)
	errs["AddKey"] = w.AddKey(ctx, storage.NewKey{ID: "x", Role: storage.Admin, Hash: sha256.Sum256(nil)}, Noon)
	_, errs["Keys"] = w.Keys(ctx)
	_, errs["RevokeKey"] = w.RevokeKey(ctx, "x", Noon)
	return errs
}

// isolation fills one workspace and looks for it from another by every method.
func isolation(t *testing.T, p Place) {
	s := open(t, p)
	for _, id := range []string{"a", "b"} {
		if err := s.AddWorkspace(t.Context(), id, "", Noon); err != nil {
			t.Fatal(err)
		}
	}
	a, b := s.In("a"), s.In("b")
	x := offer(Entry(1, "rig/shared", "/name", `"secret"`, 0), Entry(2, "rig/only_a", "/name", `"secret"`, 0))
	x.Once = request("k", "secret")
	x.Once.Answer = func(storage.Outcome) storage.Answer { return storage.Answer{Status: 200, Body: []byte("secret")} }
	if _, err := a.Append(t.Context(), x); err != nil {
		t.Fatal(err)
	}
	if err := a.AddKey(t.Context(), storage.NewKey{ID: "ka", Name: "secret", Role: storage.Admin, Hash: sha256.Sum256(nil)}, Noon); err != nil {
		t.Fatal(err)
	}
	// The same ids and names mean something else in b.
	mustAppend(t, b, Entry(1, "rig/shared", "/name", `"of b"`, 0))

	ctx := t.Context()
	for name, look := range map[string]func() (any, error){
		"About":     func() (any, error) { return b.About(ctx) },
		"Since":     func() (any, error) { return b.Since(ctx, 0, 100) },
		"Document":  func() (any, error) { d, _, err := b.Document(ctx, "rig/only_a"); return string(d.Value) + d.Name, err },
		"Shared":    func() (any, error) { d, _, err := b.Document(ctx, "rig/shared"); return string(d.Value) + d.Name, err },
		"Documents": func() (any, error) { return b.Documents(ctx, "rig", "", 100) },
		"Values":    func() (any, error) { return b.Values(ctx, "rig", "", 100) },
		"Versions":  func() (any, error) { return b.Versions(ctx, "rig/only_a") },
		"Answered": func() (any, error) {
			r, err := b.Answered(ctx, "key-1", *x.Once, Noon)
			return r.Found(), err
		},
		"Keys":      func() (any, error) { return b.Keys(ctx) },
		"RevokeKey": func() (any, error) { return b.RevokeKey(ctx, "ka", Noon) },
		"Append": func() (any, error) {
			out, err := b.Append(ctx, offer(Entry(1, "rig/shared", "/name", `"secret?"`, 0)))
			return out.Results, err
		},
		"Write": func() (any, error) {
			w := put("rig/only_a", 30, journal.Write{Path: "/x", Value: jsontext.Value(`1`)})
			w.IfAbsent = true
			out, err := b.Write(ctx, w)
			return out.Present, err
		},
		"Erase": func() (any, error) {
			out, err := b.Erase(ctx, storage.Erase{ID: ID(40), Doc: "rig/only_a", At: Noon})
			if out.Entries > 1 {
				return "secret erased", err
			}
			return "", err
		},
	} {
		got, err := look()
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if text := show(got); text == "true" || strings.Contains(text, "secret") {
			t.Errorf("%s: b sees what is a's: %s", name, text)
		}
	}
	wantValue(t, a, "rig/shared", `{"name":"secret"}`)
	wantValue(t, a, "rig/only_a", `{"name":"secret"}`)
	if page := mustSince(t, a, 0); page.Newest != 2 {
		t.Errorf("b's changes moved a's cursor to %d", page.Newest)
	}
}

func reopen(t *testing.T, p Place) {
	s := p.Open(t)
	w := s.In(storage.Default)
	mustAppend(t, w, Entry(1, "rig/a", "/x", `1`, 0), Entry(2, "rig/a", "/y", `"ü\u0000"`, 0))
	before := mustSince(t, w, 0)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	w = open(t, p).In(storage.Default)
	if after := mustSince(t, w, 0); show(after) != show(before) {
		t.Fatalf("got  %s\nwant %s", show(after), show(before))
	}
	if out := mustAppend(t, w, Entry(3, "rig/a", "/x", `2`, 1)); out.Cursor != 3 {
		t.Fatalf("cursor %d", out.Cursor)
	}
	wantValue(t, w, "rig/a", `{"x":2,"y":"ü\u0000"}`)
}

// twoHandles: two programs take turns on one document, each must know what the
// other did.
func twoHandles(t *testing.T, p Place) {
	handles := []storage.Workspace{open(t, p).In(storage.Default), open(t, p).In(storage.Default)}
	for i := range 20 {
		out := mustAppend(t, handles[i%2], Entry(i, "rig/a", fmt.Sprint("/x", i), fmt.Sprint(i), int64(i)))
		// What one has acknowledged the other reads at once, as a second process
		// would, or one after a crash.
		if d := mustDocument(t, handles[1-i%2], "rig/a"); d.Version != out.Cursor {
			t.Fatalf("the other handle reads version %d, want %d", d.Version, out.Cursor)
		}
	}
	mustAppend(t, handles[0], Entry(50, "rig/a", "/x3", `{}`, 50))
	if out, err := handles[1].Append(t.Context(), offer(Entry(50, "rig/a", "/x3", `5`, 50))); err != nil || out.Results[0].Admitted != journal.Refused {
		t.Fatalf("%s, %v", show(out), err)
	}
	v, err := handles[0].Versions(t.Context(), "rig/a")
	if err != nil || len(v) != 21 {
		t.Fatalf("%d versions, %v", len(v), err)
	}
	folded, _ := journal.Fold(v.Set())
	wantValue(t, handles[1], "rig/a", string(folded))
}

// appendsAtOnce: calls that share a commit each get their own answer.
func appendsAtOnce(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	const writers, each = 16, 10
	var wg sync.WaitGroup
	var mu sync.Mutex
	cursors := map[int64]string{}
	for n := range writers {
		wg.Go(func() {
			for i := range each {
				e := Entry(n*each+i, fmt.Sprint("rig/r", i%3), fmt.Sprint("/w", n), fmt.Sprint(i), int64(i))
				out, err := w.Append(t.Context(), offer(e, Entry(n*each+i, "rig/r0", "/no/0", "1", 0)))
				if err != nil || len(out.Results) != 2 || out.Results[0].Admitted != journal.Taken || out.Results[1].Admitted != journal.Refused {
					t.Errorf("%s, %v", show(out), err)
					return
				}
				mu.Lock()
				cursors[out.Results[0].Cursor] = e.ID
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	for _, c := range mustSince(t, w, 0).Changes {
		if cursors[c.Cursor] != c.Entry.ID {
			t.Fatalf("change %d is %s; %q was told it is its own", c.Cursor, c.Entry.ID, cursors[c.Cursor])
		}
		delete(cursors, c.Cursor)
	}
	if len(cursors) != 0 {
		t.Fatalf("told but not there: %v", cursors)
	}
}

// writersAtOnce: the server's own writes to one document meet.
func writersAtOnce(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	const writers, each = 8, 20
	var wg sync.WaitGroup
	for n := range writers {
		wg.Go(func() {
			for i := range each {
				x := put("rig/shared", n*each+i, journal.Write{Path: "/name", Value: jsontext.Value(fmt.Sprintf(`"%d-%d"`, n, i))})
				out, err := w.Write(t.Context(), x)
				if err != nil || !out.Taken() || out.Version != out.Results[0].Cursor {
					t.Errorf("%s, %v", show(out), err)
				}
			}
		})
	}
	wg.Wait()
	v, err := w.Versions(t.Context(), "rig/shared")
	if err != nil || len(v) != writers*each {
		t.Fatalf("%d versions after %d writes, %v", len(v), writers*each, err)
	}
	for i := range v[1:] {
		if v[i].Entry.At.Compare(v[i+1].Entry.At) >= 0 {
			t.Fatalf("change %d is not later than the one before", v[i+1].Cursor)
		}
	}
	folded, _ := journal.Fold(v.Set())
	wantValue(t, w, "rig/shared", string(folded))
}

// readsAreWhole reads while another writes two leaves, always equal.
func readsAreWhole(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	write := func(i int) {
		n := jsontext.Value(fmt.Sprintf(`"%d"`, i))
		out, err := w.Write(t.Context(), put("rig/a", 2*i, journal.Write{Path: "/n", Value: n}, journal.Write{Path: "/name", Value: n}))
		if err != nil || !out.Taken() {
			t.Errorf("%s, %v", show(out), err)
		}
	}
	write(0)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for i := range 50 {
			write(i + 1)
		}
	}()
	for running := true; running; {
		select {
		case <-done:
			running = false
		default:
		}
		if d := mustDocument(t, w, "rig/a"); string(d.Value) != fmt.Sprintf(`{"n":%q,"name":%q}`, d.Name, d.Name) || d.Version%2 != 0 {
			t.Fatalf("half a write was read: %s of version %d, named %s", d.Value, d.Version, d.Name)
		}
		if page := mustSince(t, w, 0); len(page.Changes)%2 != 0 || page.Newest != int64(len(page.Changes)) {
			t.Fatalf("half a write was read: %d changes, newest %d", len(page.Changes), page.Newest)
		}
	}
}

// oneFailsAlone: calls fail among others that share their commit.
func oneFailsAlone(t *testing.T, p Place) {
	s := open(t, p)
	w := s.In(storage.Default)
	key := storage.NewKey{ID: "k", Role: storage.Admin, Hash: sha256.Sum256(nil)}
	if err := w.AddKey(t.Context(), key, Noon); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for n := range 60 {
		wg.Go(func() {
			if n%2 == 0 {
				mustBe(t, "AddKey", w.AddKey(t.Context(), key, Noon), storage.Exists)
				return
			}
			if out, err := w.Append(t.Context(), offer(Entry(n, "rig/a", fmt.Sprint("/w", n), "1", 0))); err != nil || !out.Taken() {
				t.Errorf("%s, %v", show(out), err)
			}
		})
	}
	wg.Wait()
	v, err := w.Versions(t.Context(), "rig/a")
	if err != nil || len(v) != 30 {
		t.Fatalf("%d of 30 kept, %v", len(v), err)
	}
	folded, _ := journal.Fold(v.Set())
	wantValue(t, w, "rig/a", string(folded))
}

func cancelled(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for name, err := range callAll(ctx, w) {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v, want the context's error", name, err)
		}
	}
	if page := mustSince(t, w, 0); page.Newest != 0 {
		t.Fatalf("a cancelled call changed something: %+v", page)
	}
	mustAppend(t, w, Entry(1, "rig/a", "/x", "1", 0))
}

func closed(t *testing.T, p Place) {
	s := open(t, p)
	w := s.In(storage.Default)
	if _, err := w.About(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	for name, err := range callAll(t.Context(), w) {
		mustBe(t, name, err, storage.Closed)
	}
	mustBe(t, "AddWorkspace", s.AddWorkspace(t.Context(), "x", "", Noon), storage.Closed)
	_, err := s.Workspaces(t.Context())
	mustBe(t, "Workspaces", err, storage.Closed)
	_, _, err = s.Key(t.Context(), "x")
	mustBe(t, "Key", err, storage.Closed)
	_, err = s.AnyKey(t.Context())
	mustBe(t, "AnyKey", err, storage.Closed)
	mustBe(t, "Ready", s.Ready(t.Context()), storage.Closed)
}
