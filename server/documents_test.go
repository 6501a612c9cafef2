package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"pintail/storage"
)

// shown is a document's answer, whatever its kind.
type shown struct {
	ID, Name string
	Revision int64
	Rig      map[string]any
	Trip     map[string]any
}

func (l *lab) mustDo(tb testing.TB, status int, r request) *httptest.ResponseRecorder {
	tb.Helper()
	rec := l.do(tb, r)
	if rec.Code != status {
		tb.Fatalf("%s %s answered %d, want %d\n%s", r.method, r.path, rec.Code, status, rec.Body)
	}
	return rec
}

func (l *lab) mustShow(tb testing.TB, path string) (s shown, tag string) {
	tb.Helper()
	rec := l.mustDo(tb, 200, request{path: path})
	mustDecode(tb, rec, &s)
	return s, rec.Header().Get("ETag")
}

func mustDecode(tb testing.TB, rec *httptest.ResponseRecorder, v any) {
	tb.Helper()
	if err := json.Unmarshal(rec.Body.Bytes(), v); err != nil {
		tb.Fatalf("%v\n%s", err, rec.Body)
	}
}

// with is a request with a JSON body and further headers, name and value in turn.
func with(method, path, body string, headers ...string) request {
	r := request{method: method, path: path, body: body, headers: map[string]string{"Content-Type": "application/json"}}
	for i := 0; i < len(headers); i += 2 {
		r.headers[headers[i]] = headers[i+1]
	}
	return r
}

func same(tb testing.TB, what string, got any, want string) {
	tb.Helper()
	b, err := json.Marshal(got) // maps in the order of their keys
	if err != nil || string(b) != want {
		tb.Errorf("%s: %s, %v; want %s", what, b, err, want)
	}
}

// TestKinds takes one document of each kind through its life.
func TestKinds(t *testing.T) {
	for _, k := range kinds {
		t.Run(k.path, func(t *testing.T) {
			l := newLab(t, false)
			all := "/v1/" + k.path
			body := func(document string) string { return fmt.Sprintf(`{%q:%s}`, k.member, document) }

			made := l.mustDo(t, 201, with("POST", all, body(`{"name":"First","of a newer app":{"x":[1,{"y":2}]}}`)))
			at, tag := made.Header().Get("Location"), made.Header().Get("ETag")
			got := l.mustDo(t, 200, request{path: at})
			if got.Header().Get("ETag") != tag || !strings.Contains(got.Body.String(), fmt.Sprintf(`%q:{"name":"First","of a newer app":{"x":[1,{"y":2}]}}`, k.member)) {
				t.Errorf("%s, made as %s:\n%s", got.Header().Get("ETag"), tag, got.Body)
			}
			l.mustDo(t, 304, request{path: at, headers: map[string]string{"If-None-Match": tag}})

			put := l.mustDo(t, 200, with("PUT", at, body(`{"name":"Second"}`), "If-Match", tag))
			if !strings.Contains(put.Body.String(), fmt.Sprintf(`%q:{"name":"Second"}`, k.member)) || put.Header().Get("ETag") == tag {
				t.Errorf("after the change: %s", put.Body)
			}
			if again := l.mustDo(t, 200, with("PUT", at, body(`{"name":"Second"}`), "If-Match", put.Header().Get("ETag"))); again.Header().Get("ETag") != put.Header().Get("ETag") {
				t.Error("a change of nothing is a change")
			}
			if list := l.mustDo(t, 200, request{path: all}).Body.String(); !strings.Contains(list, fmt.Sprintf("{%q:[", k.list)) || !strings.Contains(list, `"name":"Second"`) {
				t.Errorf("list: %s", list)
			}

			l.mustDo(t, 428, request{method: "DELETE", path: at})
			l.mustDo(t, 412, request{method: "DELETE", path: at, headers: map[string]string{"If-Match": tag}})
			l.mustDo(t, 204, request{method: "DELETE", path: at, headers: map[string]string{"If-Match": put.Header().Get("ETag")}})
			l.mustDo(t, 404, request{path: at})
			l.mustDo(t, 404, request{method: "DELETE", path: at, headers: map[string]string{"If-Match": tag}})
			l.mustDo(t, 412, with("PUT", at, body(`{}`), "If-Match", tag))
			if list := l.do(t, request{path: all}).Body.String(); strings.Contains(list, "Second") {
				t.Errorf("list after the removal: %s", list)
			}
			if history := l.mustDo(t, 200, request{path: at + "/history"}).Body.String(); !strings.Contains(history, "First") || !strings.Contains(history, `"standing":"superseded"`) {
				t.Errorf("history after the removal: %s", history)
			}

			l.mustDo(t, 201, with("PUT", at, body(`{"name":"Third"}`), "If-None-Match", "*"))
			l.mustDo(t, 412, with("PUT", at, body(`{"name":"Fourth"}`), "If-None-Match", "*"))
			l.mustDo(t, 428, with("PUT", at, body(`{"name":"Fourth"}`)))
			if got := l.mustDo(t, 200, request{path: at}).Body.String(); strings.Contains(got, "newer app") || !strings.Contains(got, "Third") {
				t.Errorf("made again: %s", got)
			}
		})
	}
}

// TestStalePut: a change of an older version leaves alone what another device
// wrote meanwhile, in other leaves and in those that it did not touch.
func TestStalePut(t *testing.T) {
	l := newLab(t, false)
	l.mustDo(t, 201, with("POST", "/v1/rigs", `{"id":"a","rig":{"name":"A","towed":{"description":"old","weight":{"lb":4000}},"gone":1}}`))
	_, tag := l.mustShow(t, "/v1/rigs/a")
	l.mustTake(t, entry(1, "rig/a", "/towed/weight", `{"kg":1950}`), entry(2, "rig/a", "/towed/axles", `2`), entry(3, "rig/a", "/name", `"Theirs"`))

	rec := l.mustDo(t, 200, with("PUT", "/v1/rigs/a", `{"rig":{"name":"A","towed":{"description":"new","weight":{"lb":4000}},"added":[1,2]}}`, "If-Match", tag))
	var s shown
	mustDecode(t, rec, &s)
	same(t, "merged", s.Rig, `{"added":[1,2],"name":"Theirs","towed":{"axles":2,"description":"new","weight":{"kg":1950}}}`)

	// A leaf that both changed: the later write holds, the other is in the history.
	_, tag = l.mustShow(t, "/v1/rigs/a")
	l.mustTake(t, entry(4, "rig/a", "/name", `"Once more"`))
	l.mustDo(t, 200, with("PUT", "/v1/rigs/a", `{"rig":{"name":"Mine"}}`, "If-Match", tag))
	if s, _ := l.mustShow(t, "/v1/rigs/a"); s.Name != "Mine" {
		t.Errorf("%+v", s)
	}
	if history := l.mustDo(t, 200, request{path: "/v1/rigs/a/history?path=/name"}).Body.String(); !strings.Contains(history, "Once more") || strings.Contains(history, "description") {
		t.Errorf("history: %s", history)
	}
}

// TestEmptyObjects: an object that was once empty goes with its last member, and
// stays where it is to be empty again.
func TestEmptyObjects(t *testing.T) {
	l := newLab(t, false)
	l.mustDo(t, 201, with("POST", "/v1/rigs", `{"id":"a","rig":{}}`))
	for _, rig := range []string{`{"a":{}}`, `{"a":{"b":{"c":1}}}`, `{"a":{}}`, `{"a":{"b":{}}}`, `{"a":{"b":{"c":1}}}`, `{}`, `{"a":{}}`, `{"x":1}`, `{"a":{"b":1}}`, `{"a":{"b":{"c":1},"d":{}}}`, `{"a":{"d":{}}}`, `{}`} {
		_, tag := l.mustShow(t, "/v1/rigs/a")
		var s shown
		mustDecode(t, l.mustDo(t, 200, with("PUT", "/v1/rigs/a", `{"rig":`+rig+`}`, "If-Match", tag)), &s)
		same(t, "after a put", s.Rig, rig)
	}
}

func TestPutRefused(t *testing.T) {
	l := newLab(t, false)
	l.mustDo(t, 201, with("POST", "/v1/rigs", `{"id":"a","rig":{"a":{"b":1}}}`))
	_, tag := l.mustShow(t, "/v1/rigs/a")
	for name, s := range map[string]scenario{
		"DigitsOnly":      {with("PUT", "/v1/rigs/a", `{"rig":{"list":{"0":1}}}`, "If-Match", tag), 400, []string{"invalid_value", `"/rig/list/0"`}, nil, nil},
		"DigitsOnlyNew":   {with("POST", "/v1/rigs", `{"rig":{"list":{"0":1,"1":2}}}`), 400, []string{`"/rig/list/0"`, `"/rig/list/1"`}, nil, nil},
		"Null":            {with("PUT", "/v1/rigs/a", `{"rig":{"a":null}}`, "If-Match", tag), 400, []string{"wrong_type", `"/rig/a"`}, nil, nil},
		"Twice":           {with("PUT", "/v1/rigs/a", `{"rig":{"a":1,"a":2}}`, "If-Match", tag), 400, []string{"duplicate_member"}, nil, nil},
		"NotAnObject":     {with("PUT", "/v1/rigs/a", `{"rig":[]}`, "If-Match", tag), 400, []string{"wrong_type", `"/rig"`}, nil, nil},
		"Missing":         {with("PUT", "/v1/rigs/a", `{}`, "If-Match", tag), 400, []string{"invalid_value", `"/rig"`}, nil, nil},
		"Envelope":        {with("PUT", "/v1/rigs/a", `{"rig":{},"trip":{}}`, "If-Match", tag), 400, []string{"unknown_member", `"/trip"`}, nil, nil},
		"IDInPut":         {with("PUT", "/v1/rigs/a", `{"id":"a","rig":{}}`, "If-Match", tag), 400, []string{"unknown_member", `"/id"`}, nil, nil},
		"TooHuge":         {with("PUT", "/v1/rigs/a", `{"rig":{"a":[1,1e999]}}`, "If-Match", tag), 400, []string{"invalid_value", `"/rig/a"`, "double"}, nil, nil},
		"Deep":            {with("PUT", "/v1/rigs/a", `{"rig":`+strings.Repeat(`{"a":`, 17)+"1"+strings.Repeat("}", 17)+`}`, "If-Match", tag), 400, []string{"deeper than 16"}, nil, nil},
		"TooLarge":        {with("PUT", "/v1/rigs/a", `{"rig":{}}`+strings.Repeat(" ", maxBody), "If-Match", tag), 413, nil, nil, nil},
		"NoVersion":       {with("PUT", "/v1/rigs/a", `{"rig":{}}`, "If-Match", strings.Replace(tag, `"`, `"9`, 1)), 412, []string{"precondition_failed"}, nil, nil},
		"OtherEra":        {with("PUT", "/v1/rigs/a", `{"rig":{}}`, "If-Match", tag[:strings.Index(tag, "-")]+`-AAAAAAAA"`), 412, nil, nil, nil},
		"AnyVersion":      {with("PUT", "/v1/rigs/a", `{"rig":{}}`, "If-Match", "*"), 400, []string{"If-Match"}, nil, nil},
		"Both":            {with("PUT", "/v1/rigs/a", `{"rig":{}}`, "If-Match", tag, "If-None-Match", "*"), 400, nil, nil, nil},
		"NotThere":        {with("PUT", "/v1/rigs/b", `{"rig":{}}`, "If-Match", tag), 412, nil, nil, nil},
		"PostTaken":       {with("POST", "/v1/rigs", `{"id":"a","rig":{}}`), 409, []string{"conflict", `"/id"`}, nil, nil},
		"PostDigitsID":    {with("POST", "/v1/rigs", `{"id":"77","rig":{}}`), 400, []string{`"/id"`}, nil, nil},
		"PutDigitsID":     {with("PUT", "/v1/rigs/77", `{"rig":{}}`), 400, []string{"invalid_parameter", "path parameter id"}, nil, nil},
		"PostNumberID":    {with("POST", "/v1/rigs", `{"id":77,"rig":{}}`), 400, []string{"wrong_type", `"/id"`}, nil, nil},
		"EraseNoPath":     {with("POST", "/v1/rigs/a/erase", `{}`), 400, []string{`"/path"`}, nil, nil},
		"EraseIndex":      {with("POST", "/v1/rigs/a/erase", `{"path":"/x/0"}`), 400, []string{`"/path"`}, nil, nil},
		"EraseNotThere":   {with("POST", "/v1/rigs/b/erase", `{"path":""}`), 404, nil, nil, nil},
		"HistoryNotThere": {request{path: "/v1/rigs/b/history"}, 404, nil, nil, nil},
		"HistoryAfter":    {request{path: "/v1/rigs/a/history?after=0192f0c1-5d00-7abc-8def-0123456789ab"}, 400, []string{"after"}, nil, nil},
		"ListLimit":       {request{path: "/v1/rigs?limit=0"}, 400, []string{"limit"}, nil, nil},
	} {
		t.Run(name, func(t *testing.T) { s.run(t, l) })
	}
	if s, now := l.mustShow(t, "/v1/rigs/a"); now != tag {
		t.Errorf("a refused request changed something: %+v", s)
	}
}

// TestUsualTrip: a rig is shown with its trip, and either's change is a new
// revision of the answer.
func TestUsualTrip(t *testing.T) {
	l := newLab(t, false)
	l.mustDo(t, 201, with("POST", "/v1/rigs", `{"id":"a","rig":{"name":"A"}}`))
	s, bare := l.mustShow(t, "/v1/rigs/a")
	same(t, "no trip", s.Trip, `{}`)
	l.mustDo(t, 201, with("POST", "/v1/trips", `{"id":"a","trip":{"rig":"a","route":["US-UT"]}}`))
	s, tag := l.mustShow(t, "/v1/rigs/a")
	same(t, "trip", s.Trip, `{"route":["US-UT"]}`)
	if tag == bare || !strings.Contains(l.do(t, request{path: "/v1/rigs"}).Body.String(), fmt.Sprintf(`{"id":"a","name":"A","revision":%d}`, s.Revision)) {
		t.Errorf("%s before, %s with the trip; %s", bare, tag, l.do(t, request{path: "/v1/rigs"}).Body)
	}
	l.mustDo(t, 200, with("PUT", "/v1/rigs/a", `{"rig":{"name":"B"}}`, "If-Match", tag))
	s, tag = l.mustShow(t, "/v1/rigs/a")
	if s.Name != "B" {
		t.Errorf("%+v", s)
	}
	trip := l.mustDo(t, 200, request{path: "/v1/trips/a"})
	l.mustDo(t, 204, request{method: "DELETE", path: "/v1/trips/a", headers: map[string]string{"If-Match": trip.Header().Get("ETag")}})
	if s, now := l.mustShow(t, "/v1/rigs/a"); now == tag || len(s.Trip) != 0 {
		t.Errorf("without its trip again: %s %+v", now, s)
	}
}

func TestListPages(t *testing.T) {
	l := newLab(t, false)
	for _, id := range []string{"c", "a", "e", "b", "d"} {
		l.mustDo(t, 201, with("POST", "/v1/trips", fmt.Sprintf(`{"id":%q,"trip":{"name":%q}}`, id, "Trip "+id)))
	}
	var got []string
	for next, more := "&after=9", true; more; more = next != "&after=" {
		var page struct {
			Trips []line
			Next  string
		}
		mustDecode(t, l.mustDo(t, 200, request{path: "/v1/trips?limit=2" + next}), &page)
		for _, line := range page.Trips {
			got = append(got, line.ID)
		}
		next = "&after=" + page.Next
	}
	if fmt.Sprint(got) != "[a b c d e kept]" {
		t.Errorf("%v", got)
	}
}

// TestHistoryPages: every change once, newest first, whatever the page.
func TestHistoryPages(t *testing.T) {
	l := newLab(t, false)
	for i := range 7 {
		l.mustTake(t, entry(i, "rig/a", "/name", fmt.Sprintf(`"%d"`, i)))
	}
	var got string
	for next, more := "", true; more; more = next != "" {
		var page struct {
			Entries []struct{ Entry struct{ ID, Value string } }
			Next    string
		}
		query := "?limit=3"
		if next != "" {
			query += "&after=" + next
		}
		mustDecode(t, l.mustDo(t, 200, request{path: "/v1/rigs/a/history" + query}), &page)
		for _, e := range page.Entries {
			got += e.Entry.Value
		}
		next = page.Next
	}
	if got != "6543210" {
		t.Errorf("%s", got)
	}
}

// TestErase: what was erased is in no answer any more, kept ones included; that
// it was erased is.
func TestErase(t *testing.T) {
	l := newLab(t, false)
	post := with("POST", "/v1/rigs", `{"id":"a","rig":{"name":"Erase me","towed":{"description":"stays"}}}`, "Idempotency-Key", "once")
	l.mustDo(t, 201, post)
	var done struct {
		Entries int
		Clean   bool
	}
	mustDecode(t, l.mustDo(t, 200, with("POST", "/v1/rigs/a/erase", `{"path":"/name","reason":"asked for"}`)), &done)
	if done.Entries != 1 || !done.Clean {
		t.Errorf("%+v", done)
	}
	for _, path := range []string{"/v1/rigs", "/v1/rigs/a", "/v1/rigs/a/history", "/v1/entries"} {
		body := l.mustDo(t, 200, request{path: path}).Body.String()
		if strings.Contains(body, "Erase me") {
			t.Errorf("%s still tells: %s", path, body)
		}
	}
	for _, path := range []string{"/v1/rigs/a/history", "/v1/entries"} {
		if body := l.do(t, request{path: path}).Body.String(); !strings.Contains(body, "asked for") {
			t.Errorf("%s does not tell of the erasure: %s", path, body)
		}
	}
	l.mustDo(t, 409, post) // the answer that said the name is gone, the rig is not
	if s, _ := l.mustShow(t, "/v1/rigs/a"); len(s.Rig) != 1 {
		t.Errorf("%+v", s)
	}
}

// TestIdempotency: a request under one key happens once.
func TestIdempotency(t *testing.T) {
	l := newLab(t, false)
	post := with("POST", "/v1/rigs", `{"rig":{"name":"Once"}}`, "Idempotency-Key", "k")
	first := l.mustDo(t, 201, post)
	second := l.mustDo(t, 201, post)
	if first.Body.String() != second.Body.String() {
		t.Errorf("first %s, then %s", first.Body, second.Body)
	}
	for _, name := range []string{"Location", "ETag", "Content-Type"} {
		if first.Header().Get(name) != second.Header().Get(name) || first.Header().Get(name) == "" {
			t.Errorf("%s: first %q, then %q", name, first.Header().Get(name), second.Header().Get(name))
		}
	}
	if tag := l.mustDo(t, 200, request{path: first.Header().Get("Location")}).Header().Get("ETag"); tag != first.Header().Get("ETag") {
		t.Errorf("the tag is %s, it was made as %s", tag, first.Header().Get("ETag"))
	}
	for name, other := range map[string]request{
		"OtherBody": with("POST", "/v1/rigs", `{"rig":{"name":"Twice"}}`, "Idempotency-Key", "k"),
		"OtherPath": with("POST", "/v1/trips", `{"trip":{"name":"Once"}}`, "Idempotency-Key", "k"),
	} {
		if rec := l.do(t, other); rec.Code != 422 || !strings.Contains(rec.Body.String(), "idempotency_key_reused") {
			t.Errorf("%s: %d %s", name, rec.Code, rec.Body)
		}
	}
	refused := with("POST", "/v1/rigs", `{"id":"kept","rig":{}}`, "Idempotency-Key", "refused")
	if a, b := l.mustDo(t, 409, refused), l.mustDo(t, 409, refused); a.Body.String() != b.Body.String() {
		t.Errorf("first %s, then %s", a.Body, b.Body)
	}

	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			if rec := l.do(t, with("POST", "/v1/rigs", `{"rig":{"name":"AtOnce"}}`, "Idempotency-Key", "at-once")); rec.Code != 201 {
				t.Errorf("%d %s", rec.Code, rec.Body)
			}
		})
	}
	wg.Wait()
	list := l.do(t, request{path: "/v1/rigs"}).Body.String()
	for _, name := range []string{"Once", "AtOnce"} {
		if n := strings.Count(list, `"`+name+`"`); n != 1 {
			t.Errorf("%s is there %d times", name, n)
		}
	}
}

// racingStore writes something else just before each write of the server.
type racingStore struct {
	storage.Store
	tb testing.TB
}

func (s racingStore) In(workspace string) storage.Workspace {
	return racingWorkspace{s.Store.In(workspace), s.tb}
}

type racingWorkspace struct {
	storage.Workspace
	tb testing.TB
}

func (w racingWorkspace) Write(ctx context.Context, change storage.Write) (storage.Outcome, error) {
	mustKeep(w.tb, w.Workspace, change.Doc, `{"meanwhile":true}`)
	return w.Workspace.Write(ctx, change)
}

// TestMeanwhile: what is written between the look and the removal is not removed
// unseen, and a new document does not run into one that came first.
func TestMeanwhile(t *testing.T) {
	store := mustStore(t)
	l := newLab(t, false, withStore(racingStore{store, t}))
	_, tag := l.mustShow(t, "/v1/rigs/kept")
	l.mustDo(t, 412, request{method: "DELETE", path: "/v1/rigs/kept", headers: map[string]string{"If-Match": tag}})
	s, tag := l.mustShow(t, "/v1/rigs/kept")
	same(t, "kept", s.Rig, `{"meanwhile":true,"name":"Kept"}`)
	l.mustDo(t, 409, with("POST", "/v1/rigs", `{"id":"new","rig":{"name":"New"}}`))
	l.mustDo(t, 412, with("PUT", "/v1/rigs/newer", `{"rig":{"name":"New"}}`, "If-None-Match", "*"))
	l.mustDo(t, 200, with("PUT", "/v1/rigs/kept", `{"rig":{"name":"Mine","meanwhile":true}}`, "If-Match", tag))
	s, _ = l.mustShow(t, "/v1/rigs/kept")
	same(t, "changed", s.Rig, `{"meanwhile":true,"name":"Mine"}`)
}
