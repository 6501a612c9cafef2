package server

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"pintail/api/rules"
	"pintail/api/strictjson"
	"pintail/storage"
)

// ours is a row of a workspace's own; %s is the end of its id.
const ours = `{"id":"US-VA.brakes.%s","jurisdiction":"US-VA","subject":"brakes","covers":"trailer","when":{"weight":"gross","over":{"lb":3000}},
	"requirement":"A trailer over 3,000 lb needs brakes, as the office told us.","citation":"Letter of 14 July 2026","source_kind":"official_summary","known":"medium"}`

func body(row, reason string) string {
	return fmt.Sprintf(`{"row":%s,"by":"Desk","reason":%q}`, row, reason)
}

func (l *lab) mustRow(tb testing.TB, path string) (row ruleRow, tag string) {
	tb.Helper()
	rec := l.mustDo(tb, http.StatusOK, request{path: path})
	if err := strictjson.Unmarshal(rec.Body.Bytes(), &row); err != nil {
		tb.Fatalf("%v\n%.500s", err, rec.Body)
	}
	return row, rec.Header().Get("ETag")
}

func (r request) under(tag string) request {
	if r.headers == nil {
		r.headers = map[string]string{}
	}
	r.headers["If-Match"] = tag
	return r
}

// TestRuleRow: a built-in row is changed, withdrawn and restored, and each step
// names the version it saw; withdraw and restore is the identity.
func TestRuleRow(t *testing.T) {
	l := newLab(t, false)
	const path = "/v1/rule-rows/US-VA.brakes.1"
	was, first := l.mustRow(t, path)
	if was.Standing != rules.StandingBuiltIn || was.Revision != 0 || was.Row.ID != "US-VA.brakes.1" {
		t.Fatalf("%+v", was)
	}
	l.mustDo(t, http.StatusNotModified, request{path: path, headers: map[string]string{"If-None-Match": first}})
	change := with("PUT", path, body(fmt.Sprintf(ours, "1"), "They wrote to us."))
	l.mustDo(t, http.StatusPreconditionRequired, change)
	l.mustDo(t, http.StatusPreconditionFailed, change.under(`"9-AB"`))
	l.mustDo(t, http.StatusOK, with("PUT", path, change.body).under(first))
	now, second := l.mustRow(t, path)
	if now.Standing != rules.StandingChanged || now.Row.Known != "medium" || now.BuiltIn == nil || now.BuiltIn.Requirement != was.Row.Requirement || now.Edit.By != "Desk" || now.Edit.Reason != "They wrote to us." || now.Newer || second == first {
		t.Fatalf("changed: %+v %+v", now, now.Edit)
	}
	// Who has not seen the newest version changes nothing, and is told why.
	rec := l.mustDo(t, http.StatusPreconditionFailed, with("PUT", path, change.body).under(first))
	if !strings.Contains(rec.Body.String(), "changed since") {
		t.Errorf("no reason: %s", rec.Body)
	}
	l.mustDo(t, http.StatusPreconditionFailed, request{method: "DELETE", path: path + "?reason=x"}.under(first))
	l.mustDo(t, http.StatusPreconditionRequired, request{method: "DELETE", path: path + "?reason=x"})
	l.mustDo(t, http.StatusBadRequest, request{method: "DELETE", path: path}.under(second))
	l.mustDo(t, http.StatusOK, request{method: "DELETE", path: path + "?reason=repealed"}.under(second))
	gone, third := l.mustRow(t, path)
	if gone.Standing != rules.StandingWithdrawn || gone.Edit.Reason != "repealed" || gone.Edit.By != "local" {
		t.Fatalf("withdrawn: %+v %+v", gone, gone.Edit)
	}
	l.mustDo(t, http.StatusConflict, request{method: "DELETE", path: path + "?reason=x"}.under(third))
	l.mustDo(t, http.StatusOK, with("POST", path+"/restore", `{"reason":"it stands"}`).under(third))
	back, fourth := l.mustRow(t, path)
	if back.Standing != rules.StandingChanged || back.Row.Requirement != now.Row.Requirement || back.BuiltIn == nil {
		t.Fatalf("back: %+v", back)
	}
	// A second restore puts the built-in row in place; then there is nothing left to.
	l.mustDo(t, http.StatusOK, with("POST", path+"/restore", `{"reason":"ours was wrong"}`).under(fourth))
	as, fifth := l.mustRow(t, path)
	if as.Standing != rules.StandingBuiltIn || as.Row.Requirement != was.Row.Requirement || as.Edit != nil {
		t.Fatalf("as built in: %+v", as)
	}
	l.mustDo(t, http.StatusConflict, with("POST", path+"/restore", `{"reason":"again"}`).under(fifth))
	rec = l.mustDo(t, http.StatusOK, request{path: path + "/history"})
	for _, reason := range []string{"They wrote to us.", "repealed", "it stands", "ours was wrong"} {
		if !strings.Contains(rec.Body.String(), reason) {
			t.Errorf("the history lacks %q", reason)
		}
	}
	// Each but the first says which change it was made over.
	if n := strings.Count(rec.Body.String(), `"seen":[{"by":`); n != 3 {
		t.Errorf("%d changes know of one before, want 3: %s", n, rec.Body)
	}
}

// TestAddedRow: a row of the workspace's own is made once, counts in the coverage,
// and is gone from the list of rows when it is erased.
func TestAddedRow(t *testing.T) {
	l := newLab(t, false)
	const path = "/v1/rule-rows/US-VA.brakes.ours"
	l.mustDo(t, http.StatusNotFound, request{path: path})
	make := with("PUT", path, body(fmt.Sprintf(ours, "ours"), "asked"))
	l.mustDo(t, http.StatusPreconditionFailed, make.under(`"1-AB"`))
	rec := l.mustDo(t, http.StatusCreated, with("PUT", path, make.body))
	if rec.Header().Get("Location") != path || rec.Header().Get("ETag") == "" {
		t.Errorf("headers %v", rec.Header())
	}
	none := with("PUT", path, make.body)
	none.headers["If-None-Match"] = "*"
	l.mustDo(t, http.StatusPreconditionFailed, none)
	row, tag := l.mustRow(t, path)
	if row.Standing != rules.StandingAdded || row.Revision == 0 {
		t.Fatalf("%+v", row)
	}
	l.mustDo(t, http.StatusConflict, with("POST", path+"/restore", `{"reason":"x"}`).under(tag))
	for query, want := range map[string]int{
		"changed=true": 1, "changed=true&jurisdiction=US-VA": 1, "changed=true&jurisdiction=US-UT": 0, "changed=true&subject=speed": 0,
		"text=As+The+OFFICE+told": 1, "text=zzz": 0,
	} {
		var page struct {
			Rows  []any `json:"rows"`
			Total int   `json:"total"`
		}
		mustDecode(t, l.mustDo(t, http.StatusOK, request{path: "/v1/rule-rows?" + query}), &page)
		if len(page.Rows) != want || page.Total != want {
			t.Errorf("%s: %d rows of %d, want %d", query, len(page.Rows), page.Total, want)
		}
	}
	if rec := l.mustDo(t, http.StatusOK, request{path: "/v1/rule-coverage?jurisdiction=US-VA&subject=brakes"}); !strings.Contains(rec.Body.String(), `"yours":1`) {
		t.Errorf("coverage: %s", rec.Body)
	}
	l.mustDo(t, http.StatusOK, with("POST", path+"/erase", `{"path":""}`))
	l.mustDo(t, http.StatusNotFound, request{path: path})
	l.mustDo(t, http.StatusCreated, with("PUT", path, make.body))
}

// TestRulePages: the whole list comes page by page, each row once.
func TestRulePages(t *testing.T) {
	l := newLab(t, false)
	seen := map[string]bool{}
	for next := ""; ; {
		var page struct {
			Rows []struct {
				ID string `json:"id"`
			} `json:"rows"`
			Total int    `json:"total"`
			Next  string `json:"next"`
		}
		path := "/v1/rule-rows?limit=200"
		if next != "" {
			path += "&after=" + next
		}
		mustDecode(t, l.mustDo(t, http.StatusOK, request{path: path}), &page)
		for _, row := range page.Rows {
			if seen[row.ID] {
				t.Fatalf("%s twice", row.ID)
			}
			seen[row.ID] = true
		}
		if page.Next == "" {
			if len(seen) != page.Total || len(seen) != len(rules.ListRows(rules.RowsInput{}).Rows) {
				t.Errorf("%d rows of %d", len(seen), page.Total)
			}
			break
		}
		next = page.Next
	}
	l.mustDo(t, http.StatusBadRequest, request{path: "/v1/rule-rows?after=US-VA.brakes.none"})
}

// TestRuleFaults: what is not possible is refused with the place in the body, and
// nothing is kept.
func TestRuleFaults(t *testing.T) {
	l := newLab(t, false)
	row := fmt.Sprintf(ours, "x")
	swap := func(old, new string) string { return body(strings.Replace(row, old, new, 1), "why") }
	for name, c := range map[string]struct{ body, pointer string }{
		"unknown subject":    {swap(`"subject":"brakes"`, `"subject":"breaks"`), "/row/subject"},
		"unknown unit":       {swap(`"subject":"brakes"`, `"subject":"brakes","value":2,"unit":"stone"`), "/row/value"},
		"no operator":        {swap(`,"over":{"lb":3000}`, ``), "/row/when"},
		"until before from":  {swap(`"known"`, `"from":"2026-01-02","until":"2026-01-01","known"`), "/row/until"},
		"text in a number":   {swap(`{"lb":3000}`, `{"lb":"heavy"}`), "/row/when/over"},
		"another row":        {body(fmt.Sprintf(ours, "other"), "why"), "/row/id"},
		"unknown member":     {swap(`"known"`, `"knwon":1,"known"`), "/row/knwon"},
		"no reason":          {fmt.Sprintf(`{"row":%s,"reason":""}`, row), "/reason"},
		"no row":             {`{"reason":"why"}`, "/row"},
		"joined with nobody": {swap(`"known"`, `"joined_with":"US-VA.brakes.nobody","known"`), "/row"},
		"a page of reasons":  {body(row, strings.Repeat("x", 601)), "/reason"},
		"no address":         {swap(`"known"`, `"url":"javascript:alert(1)","known"`), "/row/url"},
	} {
		rec := l.do(t, with("PUT", "/v1/rule-rows/US-VA.brakes.x", c.body))
		if rec.Code != http.StatusBadRequest || !strings.Contains(rec.Body.String(), `"pointer":"`+c.pointer) {
			t.Errorf("%s: %d %s", name, rec.Code, rec.Body)
		}
	}
	for _, id := range []string{"..", "a..b", ".a", "a.", "%2e%2e", "US-VA.brakes.%00", "a/b"} {
		if rec := l.do(t, with("PUT", "/v1/rule-rows/"+id, body(row, "why"))); rec.Code != http.StatusBadRequest && rec.Code != http.StatusNotFound && rec.Code != http.StatusMethodNotAllowed {
			t.Errorf("%s: %d", id, rec.Code)
		}
	}
	if n := mustCursor(t, l.store, storage.Default); n != 3 {
		t.Errorf("the workspace went to %d", n)
	}
}

// TestForeignChange: a document that a phone wrote and that is no change of this
// version is told of, hurts nobody, and can be put right.
func TestForeignChange(t *testing.T) {
	l := newLab(t, false)
	w := l.store.In(storage.Default)
	mustKeep(t, w, "rule/US-VA.brakes.2", `{"change":[{"row":"US-VA.brakes.2","by":"","at":1,"reason":"no name"}]}`)
	mustKeep(t, w, "rule/US-VA.brakes.3", `{"change":"yes","more":{"of":"it"}}`)
	mustKeep(t, w, "rule/elsewhere", `{"x":1}`)
	var page struct {
		LeftOut []leftOut `json:"left_out"`
	}
	mustDecode(t, l.mustDo(t, http.StatusOK, request{path: "/v1/rule-rows?limit=1"}), &page)
	if len(page.LeftOut) != 3 {
		t.Errorf("left out: %+v", page.LeftOut)
	}
	if row, _ := l.mustRow(t, "/v1/rule-rows/US-VA.brakes.1"); row.Standing != rules.StandingBuiltIn {
		t.Errorf("%+v", row)
	}
	l.mustDo(t, http.StatusCreated, with("PUT", "/v1/rule-rows/US-VA.brakes.3", body(fmt.Sprintf(ours, "3"), "why")))
	if row, _ := l.mustRow(t, "/v1/rule-rows/US-VA.brakes.3"); row.Standing != rules.StandingAdded {
		t.Errorf("%+v", row)
	}
}

// sheet is a file of n good rows.
func sheet(n int) string {
	var b strings.Builder
	b.WriteString("\ufeffid,jurisdiction,subject,covers,requirement,source_kind,known,note\r\n")
	for i := range n {
		fmt.Fprintf(&b, "US-VA.brakes.s%d,US-VA,brakes,unclear,Row %d says something.,secondary,low,'=cmd|' /C calc'!A0\r\n", i, i)
	}
	return b.String()
}

func importOf(kind, query, text string) request {
	return request{method: "POST", path: "/v1/rule-import?reason=spring+reading" + query, body: text, headers: map[string]string{"Content-Type": kind}}
}

// TestImport: a dry run writes nothing, an import everything; again it changes
// nothing; what is exported comes back the same; one fault keeps all of it out.
func TestImport(t *testing.T) {
	l := newLab(t, false)
	before := mustCursor(t, l.store, storage.Default)
	dry := l.mustDo(t, http.StatusOK, importOf("text/csv", "&dry_run=true", sheet(300)))
	if !strings.Contains(dry.Body.String(), `"added":300`) || mustCursor(t, l.store, storage.Default) != before {
		t.Fatalf("dry run: %.300s", dry.Body)
	}
	bad := strings.Replace(sheet(300), "US-VA.brakes.s250,US-VA", "US-VA.brakes.s250,US-XX", 1)
	dry = l.mustDo(t, http.StatusOK, importOf("text/csv", "&dry_run=true", bad))
	if !strings.Contains(dry.Body.String(), `"line":252,"column":"jurisdiction"`) {
		t.Errorf("dry run of a bad file: %.300s", dry.Body)
	}
	rec := l.mustDo(t, http.StatusBadRequest, importOf("text/csv", "", bad))
	if !strings.Contains(rec.Body.String(), "line 252, jurisdiction: ") || mustCursor(t, l.store, storage.Default) != before {
		t.Fatalf("a bad file: %s", rec.Body)
	}
	// Bytes that are no text are refused with their line, whatever they were meant to be.
	wide := strings.Join(strings.Split(sheet(2), ""), "\x00")
	for kind, text := range map[string]string{"text/csv": "\xff\xfe" + wide, "application/json": "[\xff\xfe]"} {
		rec = l.mustDo(t, http.StatusBadRequest, importOf(kind, "", text))
		if !strings.Contains(rec.Body.String(), "line 1: not text in UTF-8") {
			t.Errorf("%s of two bytes a letter: %s", kind, rec.Body)
		}
	}
	l.mustDo(t, http.StatusBadRequest, importOf("text/csv", "&by=%ff", sheet(2)))
	formula := strings.Replace(sheet(2), "'=cmd", "=cmd", 1)
	rec = l.mustDo(t, http.StatusBadRequest, importOf("text/csv", "", formula))
	if !strings.Contains(rec.Body.String(), "line 2, note: ") {
		t.Errorf("a formula: %s", rec.Body)
	}
	l.mustDo(t, http.StatusOK, importOf("text/csv; charset=UTF-8", "&by=Fitter&verified_on=2026-11-20", sheet(300)))
	row, _ := l.mustRow(t, "/v1/rule-rows/US-VA.brakes.s299")
	if row.Edit.By != "Fitter" || row.Edit.Reason != "spring reading" || row.Row.Note != "=cmd|' /C calc'!A0" {
		t.Errorf("%+v %+v", row, row.Edit)
	}
	after := mustCursor(t, l.store, storage.Default)
	for _, format := range []string{"csv", "json"} {
		out := l.mustDo(t, http.StatusOK, request{path: "/v1/rule-export?format=" + format})
		if format == "csv" && (strings.Contains(out.Body.String(), ",=cmd") || !strings.Contains(out.Body.String(), "'=cmd")) {
			t.Error("a formula stands in the sheet")
		}
		if d := out.Header().Get("Content-Disposition"); !strings.Contains(d, "."+format) {
			t.Errorf("file name %q", d)
		}
		kind := map[string]string{"csv": "text/csv", "json": "application/json"}[format]
		again := l.mustDo(t, http.StatusOK, importOf(kind, "", out.Body.String()))
		if !strings.Contains(again.Body.String(), `"added":0,"changed":0,"withdrawn":0,"restored":0`) || mustCursor(t, l.store, storage.Default) != after {
			t.Errorf("%s is not the identity: %.300s", format, again.Body)
		}
	}
	for _, kind := range []string{"", "text/plain", "multipart/form-data", "text/csv; charset=latin1", "application/x-www-form-urlencoded"} {
		l.mustDo(t, http.StatusUnsupportedMediaType, importOf(kind, "", sheet(1)))
	}
	packed := importOf("text/csv", "", sheet(1))
	packed.headers["Content-Encoding"] = "gzip"
	l.mustDo(t, http.StatusUnsupportedMediaType, packed)
	l.mustDo(t, http.StatusBadRequest, request{method: "POST", path: "/v1/rule-import", body: sheet(1), headers: packed.headers})
	l.mustDo(t, http.StatusRequestEntityTooLarge, importOf("text/csv", "", sheet(1)+strings.Repeat(" ", rules.MaxFile)))
}

// TestImportMeanwhile: a row that somebody changes while the file is read keeps
// the whole file out.
func TestImportMeanwhile(t *testing.T) {
	store := mustStore(t)
	race := &racingImport{Store: store, before: func() {
		mustKeep(t, store.In(storage.Default), "rule/US-VA.brakes.s7", `{"change":[]}`)
	}}
	l := newLab(t, false, withStore(race))
	l.mustDo(t, http.StatusPreconditionFailed, importOf("text/csv", "", sheet(20)))
	l.mustDo(t, http.StatusNotFound, request{path: "/v1/rule-rows/US-VA.brakes.s1"})
	l.mustDo(t, http.StatusOK, importOf("text/csv", "", sheet(20)))
	l.mustDo(t, http.StatusOK, request{path: "/v1/rule-rows/US-VA.brakes.s7"})
}

// racingImport is a store in which something happens before the first import.
type racingImport struct {
	storage.Store
	before func()
}

func (s *racingImport) In(workspace string) storage.Workspace {
	return racingSpace{s.Store.In(workspace), s}
}

type racingSpace struct {
	storage.Workspace
	race *racingImport
}

func (w racingSpace) WriteAll(ctx context.Context, writes []storage.Write) ([]storage.Outcome, error) {
	if before := w.race.before; before != nil {
		w.race.before = nil
		before()
	}
	return w.Workspace.WriteAll(ctx, writes)
}
