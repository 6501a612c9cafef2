package server

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail"
	"pintail/server/bearer"
	"pintail/storage"
)

// theirs must not be in any answer to somebody else: names, values, ids of
// entries' devices and actors, and keys of the default workspace.
var theirs = []string{"Kept", "US-UT", "secret-plate", "their-phone", "desk", storage.ServerDevice + `"`}

// TestIsolation asks every route of what is kept with every kind of credential.
func TestIsolation(t *testing.T) {
	store := mustStore(t)
	if err := store.AddWorkspace(t.Context(), "other", "", noon); err != nil {
		t.Fatal(err)
	}
	admin := mustKey(t, store, storage.Default, storage.Admin)
	credentials := []struct {
		name, header string
		want         func(route) int
	}{
		{"no key", "", denied},
		{"not a key", "Bearer x", denied},
		{"another scheme", "Basic " + admin, denied},
		{"a wrong secret", "Bearer " + admin[:len(admin)-1] + "_", denied},
		{"an unknown id", "Bearer x" + admin, denied},
		{"a revoked key", "Bearer " + mustRevoked(t, store), denied},
		{"another workspace's admin", "Bearer " + mustKey(t, store, "other", storage.Admin), elsewhere},
		{"a reader", "Bearer " + mustKey(t, store, storage.Default, storage.Reader), func(r route) int {
			if r.method == http.MethodGet {
				return http.StatusOK
			}
			return http.StatusForbidden
		}},
		{"an editor", "Bearer " + mustKey(t, store, storage.Default, storage.Editor), func(r route) int {
			if strings.HasSuffix(r.path, "/erase") {
				return http.StatusForbidden
			}
			return r.good
		}},
		{"an admin", "Bearer " + admin, func(r route) int { return r.good }},
	}
	l := newLab(t, false, withStore(store))
	for _, c := range credentials {
		for _, k := range kinds {
			mustKeep(t, store.In(storage.Default), k.doc+"/a", `{"name":"Kept","plate":"secret-plate"}`)
		}
		mustKeep(t, store.In(storage.Default), "rule/"+ourRow, `{"change":[{"row":"`+ourRow+`","yours":`+fmt.Sprintf(ours, "ours")+`,"withdrawn":true,"by":"Kept","at":1,"reason":"secret-plate"}]}`)
		before := mustCursor(t, store, storage.Default)
		for _, r := range keptRoutes(t) {
			want := c.want(r)
			rec := l.do(t, r.request(t, l, c.header, admin))
			if rec.Code != want {
				t.Errorf("%s: %s %s answered %d, want %d\n%s", c.name, r.method, r.path, rec.Code, want, rec.Body)
			}
			if want == http.StatusUnauthorized && rec.Header().Get("WWW-Authenticate") != "Bearer" {
				t.Errorf("%s: %s %s does not say what it wants", c.name, r.method, r.path)
			}
			if vary := rec.Header().Values("Vary"); !slices.Contains(vary, "Authorization") {
				t.Errorf("%s: %s %s varies by %v", c.name, r.method, r.path, vary)
			}
			if ours := want != http.StatusUnauthorized && c.name != "another workspace's admin"; ours {
				continue
			}
			for _, word := range theirs {
				if strings.HasPrefix(r.path, "/v1/rule-") && word == "US-UT" {
					continue // a state: its law is everybody's
				}
				if strings.Contains(rec.Body.String(), word) {
					t.Errorf("%s: %s %s tells %q:\n%s", c.name, r.method, r.path, word, rec.Body)
				}
			}
		}
		after := mustCursor(t, store, storage.Default)
		if mayWrite := c.name == "an editor" || c.name == "an admin"; (after != before) != mayWrite {
			t.Errorf("%s: the workspace went from %d to %d", c.name, before, after)
		}
	}
}

// TestFirstKey: until a key is made the person at the machine may do everything;
// from then on, at once and for good, nobody may anything without one.
func TestFirstKey(t *testing.T) {
	store := mustStore(t)
	l := newLab(t, false, withStore(store))
	l.mustDo(t, 201, with("POST", "/v1/rigs", `{"id":"a","rig":{}}`))
	l.mustDo(t, 200, with("POST", "/v1/rigs/a/erase", `{"path":""}`))
	token := mustKey(t, store, storage.Default, storage.Admin)
	l.mustDo(t, 401, request{path: "/v1/rigs"})
	l.mustDo(t, 200, request{path: "/v1/rigs", headers: map[string]string{"Authorization": "Bearer " + token, "Host": "Rigs.Example.org"}})
	id, _, _ := strings.Cut(token, ".")
	if _, err := store.In(storage.Default).RevokeKey(t.Context(), id, noon); err != nil {
		t.Fatal(err)
	}
	l.mustDo(t, 401, request{path: "/v1/rigs"})
	again := newLab(t, false, withStore(store)) // as after a start
	again.mustDo(t, 401, request{path: "/v1/rigs"})
}

// TestIdentity: two headers are none, and the scheme is told in any case.
func TestIdentity(t *testing.T) {
	store := mustStore(t)
	token := mustKey(t, store, storage.Default, storage.Reader)
	l := newLab(t, false, withStore(store))
	for header, want := range map[string]int{"bearer " + token: 200, "BEARER " + token: 200, "Bearer " + token + " ": 401, "Bearer " + token + "," + token: 401} {
		if rec := l.do(t, request{path: "/v1/rigs", headers: map[string]string{"Authorization": header}}); rec.Code != want {
			t.Errorf("%q: %d, want %d", header, rec.Code, want)
		}
	}
	if strings.Contains(l.log.String(), token) {
		t.Error("the log holds a key")
	}
}

// route is one operation of the contract on what is kept.
type route struct {
	method, path string
	body         string
	good         int // the answer to somebody who may
}

func denied(route) int { return http.StatusUnauthorized }

// elsewhere is what somebody of another workspace gets, where nothing is kept.
func elsewhere(r route) int {
	switch {
	case r.method == http.MethodPut:
		return http.StatusPreconditionFailed
	case strings.HasPrefix(r.path, "/v1/rule-rows/") || strings.Contains(r.path, "{id}"):
		return http.StatusNotFound
	}
	return r.good
}

// keptRoutes are all operations of the contract that want a key.
func keptRoutes(tb testing.TB) []route {
	tb.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(pintail.Contract())
	if err != nil {
		tb.Fatal(err)
	}
	var all []route
	for _, path := range slices.Sorted(maps.Keys(doc.Paths.Map())) {
		for _, method := range []string{"GET", "PUT", "POST", "DELETE"} {
			o := doc.Paths.Value(path).GetOperation(method)
			if o == nil || o.Security == nil {
				continue
			}
			r := route{method: method, path: path, good: http.StatusOK}
			for _, status := range []int{201, 204} {
				if o.Responses.Status(status) != nil && method != "PUT" {
					r.good = status
				}
			}
			if o.RequestBody != nil && o.RequestBody.Value.Content["application/json"] != nil {
				for _, example := range o.RequestBody.Value.Content["application/json"].Examples {
					b, err := json.Marshal(example.Value.Value)
					if err != nil {
						tb.Fatal(err)
					}
					r.body = string(b)
				}
			}
			all = append(all, r)
		}
	}
	if len(all) != 7*len(kinds)+2+10 {
		tb.Fatalf("%d operations want a key, not 7 for each of %d kinds, 2 for entries and 10 for rules", len(all), len(kinds))
	}
	return all
}

// request is a good request of the route; what is to be removed is made anew by
// the admin first, so that each route can be asked by each.
func (r route) request(tb testing.TB, l *lab, header, admin string) request {
	tb.Helper()
	id := "a"
	if strings.HasPrefix(r.path, "/v1/rule-rows/") {
		id = ourRow
	}
	q := request{method: r.method, path: strings.Replace(r.path, "{id}", id, 1), body: r.body, headers: map[string]string{"Authorization": header}}
	if r.body != "" {
		q.headers["Content-Type"] = "application/json"
	}
	restore := strings.HasSuffix(r.path, "/restore")
	as := map[string]string{"Authorization": "Bearer " + admin}
	if r.method == http.MethodPut || r.method == http.MethodDelete || restore {
		now := l.do(tb, request{path: strings.TrimSuffix(q.path, "/restore"), headers: as})
		if now.Code == http.StatusNotFound && restore { // the admin erased it just before
			path := "/v1/rule-rows/" + ourRow
			now = l.mustDo(tb, http.StatusCreated, with("PUT", path, body(fmt.Sprintf(ours, "ours"), "why"), "Authorization", as["Authorization"]))
			now = l.mustDo(tb, http.StatusOK, request{method: "DELETE", path: path + "?reason=why", headers: map[string]string{"Authorization": as["Authorization"], "If-Match": now.Header().Get("ETag")}})
		}
		q.headers["If-Match"] = now.Header().Get("ETag")
		if now.Code != http.StatusOK {
			q.headers["If-Match"] = `"1-A"`
		}
	}
	if r.method == http.MethodDelete && id == ourRow || r.path == "/v1/rule-import" {
		q.path += "?reason=why"
	}
	return q
}

// ourRow is a row that the default workspace has of its own.
const ourRow = "US-VA.brakes.ours"

func mustKey(tb testing.TB, s storage.Store, workspace string, role storage.Role) (token string) {
	tb.Helper()
	token, id, hash := bearer.New()
	if err := s.In(workspace).AddKey(tb.Context(), storage.NewKey{ID: id, Name: "desk", Role: role, Hash: hash}, noon); err != nil {
		tb.Fatal(err)
	}
	return token
}

func mustRevoked(tb testing.TB, s storage.Store) (token string) {
	tb.Helper()
	token = mustKey(tb, s, storage.Default, storage.Admin)
	id, _, _ := strings.Cut(token, ".")
	if found, err := s.In(storage.Default).RevokeKey(tb.Context(), id, noon); err != nil || !found {
		tb.Fatal(found, err)
	}
	return token
}

func mustCursor(tb testing.TB, s storage.Store, workspace string) int64 {
	tb.Helper()
	about, err := s.In(workspace).About(tb.Context())
	if err != nil {
		tb.Fatal(fmt.Errorf("%s: %w", workspace, err))
	}
	return about.Cursor
}
