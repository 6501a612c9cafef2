package storetest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/journal"
	"pintail/storage"
)

func set(doc string, n int, value string) storage.Write {
	return put(doc, n, journal.Write{Path: "/x", Value: jsontext.Value(value)})
}

// manyAtOnce: documents written together stand in the journal as if one by one,
// and a reader sees all of them or none.
func manyAtOnce(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustWrite(t, w, set("rule/a", 1, `0`))
	var all []storage.Write
	for i := range 300 {
		all = append(all, set(fmt.Sprintf("rule/a.%d.x", i), 10+i, fmt.Sprint(i)))
	}
	change := set("rule/a", 500, `1`)
	change.IfVersion = 1
	all = append(all, change)
	outs, err := w.WriteAll(t.Context(), all)
	if err != nil || len(outs) != len(all) {
		t.Fatal(len(outs), err)
	}
	for i, out := range outs {
		if !out.Taken() || len(out.Results) != 1 || out.Version != int64(i+2) || out.Results[0].Cursor != out.Version || out.Cursor != 302 {
			t.Fatalf("%d: %s", i, show(out))
		}
	}
	wantValue(t, w, "rule/a", `{"x":1}`)
	wantValue(t, w, "rule/a.299.x", `{"x":299}`)
	if page := mustSince(t, w, 1); len(page.Changes) != 301 {
		t.Errorf("%d changes, want 301", len(page.Changes))
	}
	if outs, err := w.WriteAll(t.Context(), nil); len(outs) != 0 || err != nil {
		t.Error("nothing:", outs, err)
	}
	if d := mustDocument(t, w, "rule/a.7.x"); d.Version != 9 {
		t.Errorf("version %d, want 9", d.Version)
	}
}

// manyOrNone: one document that stands otherwise, or one write that is refused,
// keeps all of them out, and says which it was.
func manyOrNone(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	mustWrite(t, w, set("rule/a", 1, `0`))
	stale, absent, refused := set("rule/a", 20, `1`), set("rule/a", 21, `1`), set("rule/a", 22, `1`)
	stale.IfVersion, absent.IfAbsent = 7, true
	refused.Writes[0].Path = "/x/y"
	for name, bad := range map[string]storage.Write{"stale": stale, "present": absent, "refused": refused} {
		outs, err := w.WriteAll(t.Context(), []storage.Write{set("rule/b", 30, `1`), bad, set("rule/c", 31, `1`)})
		if err != nil || len(outs) != 3 {
			t.Fatal(name, len(outs), err)
		}
		if out := outs[1]; out.Stale != (name == "stale") || out.Present != (name == "present") || out.Taken() != (name != "refused") || out.Version != 1 || out.Cursor != 1 {
			t.Errorf("%s: %s", name, show(out))
		}
		for _, doc := range []string{"rule/b", "rule/c"} {
			if _, found, err := w.Document(t.Context(), doc); found || err != nil {
				t.Errorf("%s: %s was kept beside it: %v", name, doc, err)
			}
		}
	}
	// What was refused leaves no trace in what is written next.
	mustWrite(t, w, set("rule/b", 40, `2`))
	wantValue(t, w, "rule/b", `{"x":2}`)

	short := set("rule/d", 50, `1`)
	short.IDs = nil
	keyed := set("rule/d", 51, `1`)
	keyed.Once = &storage.Once{Key: "k"}
	for name, writes := range map[string][]storage.Write{
		"no id": {short}, "a key": {keyed}, "twice": {set("rule/d", 52, `1`), set("rule/d", 53, `2`)}, "too many": make([]storage.Write, storage.MaxWriteAll+1),
	} {
		_, err := w.WriteAll(t.Context(), writes)
		mustBe(t, name, err, storage.Invalid)
	}
}

// values: documents with what they hold, page by page, in bounded pages.
func values(t *testing.T, p Place) {
	w := open(t, p).In(storage.Default)
	for i, doc := range []string{"rule/b", "rule/a.1", "rules/x", "rule/a.2", "rule/c"} {
		mustWrite(t, w, set(doc, i, fmt.Sprint(i)))
	}
	mustWrite(t, w, put("rule/c", 20, journal.Write{Path: "", Removed: true}))
	list := func(after string, limit int) string {
		all, err := w.Values(t.Context(), "rule", after, limit)
		if err != nil {
			t.Fatal(err)
		}
		var s []string
		for _, d := range all {
			s = append(s, fmt.Sprintf("%s %d %s", d.Doc, d.Version, d.Value))
		}
		return strings.Join(s, "; ")
	}
	for got, want := range map[string]string{
		list("", 10):   `rule/a.1 2 {"x":1}; rule/a.2 4 {"x":3}; rule/b 1 {"x":0}`,
		list("a.", 1):  `rule/a.1 2 {"x":1}`,
		list("a.2", 5): `rule/b 1 {"x":0}`,
	} {
		if got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	long := `"` + strings.Repeat("x", 250<<10) + `"`
	for i := range 24 {
		mustWrite(t, w, set(fmt.Sprintf("long/l%d", i), 100+i, long))
	}
	all, err := w.Values(t.Context(), "long", "", 100)
	if err != nil || len(all) < 1 || len(all) > 20 {
		t.Errorf("%d documents of 250 KiB in one page: %v", len(all), err)
	}
	_, err = w.Values(t.Context(), "r/g", "", 10)
	mustBe(t, "kind", err, storage.Invalid)
	_, err = w.Values(t.Context(), "rule", "", 0)
	mustBe(t, "limit", err, storage.Invalid)
}
