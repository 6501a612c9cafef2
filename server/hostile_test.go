package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail"
	"pintail/storage/sqlite"
)

// hostileRequests is how many requests TestHostile makes up; with -short, where
// the race detector slows everything, fewer.
func hostileRequests() int {
	if testing.Short() {
		return 1_000
	}
	return 10_000
}

// TestHostile sends requests made up from the contract's own examples: cut
// short, of the wrong type, with huge numbers, nested deep, random, at odd
// addresses, with odd methods and headers. Every answer is held to the contract
// and none is a fault of ours; what was kept of it all is sound, and another
// workspace has nothing of it. The same seed gives the same requests, entity tags
// aside.
func TestHostile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "pintail.db")
	store := mustStoreIn(t, file)
	if err := store.AddWorkspace(t.Context(), "other", "", noon); err != nil {
		t.Fatal(err)
	}
	l := newLab(t, false, withStore(store))
	e := newEnemy(t, 20261124)
	answers := map[int]int{}
	for i := range hostileRequests() {
		r := e.request()
		rec := httptest.NewRecorder()
		l.handler.ServeHTTP(rec, r)
		answers[rec.Code]++
		if tag := rec.Header().Get("ETag"); tag != "" && strings.HasPrefix(r.URL.Path, "/v1/") {
			e.tags = append(e.tags, tag)
		}
		if t.Failed() {
			t.Fatalf("request %d: %s %q %v", i, r.Method, r.URL, r.Header)
		}
	}
	t.Logf("answers by status: %v", answers)
	for _, status := range []int{200, 201, 204, 304, 400, 404, 405, 409, 412, 413, 415, 421, 422, 428} {
		if answers[status] == 0 && !testing.Short() {
			t.Errorf("no request came to %d: the enemy is too tame", status)
		}
	}
	report, err := sqlite.Check(t.Context(), file)
	if err != nil || !report.Clean() {
		t.Errorf("what was kept is not sound: %v\n%s", err, report.String())
	}
	if about, err := store.In("other").About(t.Context()); err != nil || about.Cursor != 0 {
		t.Errorf("another workspace: %+v, %v", about, err)
	}
}

// TestHostileBytes sends bytes that are hardly HTTP to a real socket; the server
// answers the next good request.
func TestHostileBytes(t *testing.T) {
	l := newLab(t, false)
	srv := httptest.NewServer(l.handler)
	defer srv.Close()
	e := newEnemy(t, 7)
	for range 200 {
		conn, err := net.Dial("tcp", srv.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		head := pick(e, []string{"", "GET ", "POST /v1/readiness HTTP/1.1\r\n", "POST /v1/readiness HTTP/1.1\r\nHost: x\r\nContent-Length: 99\r\n\r\n", "GET / HTTP/1.1\r\nHost: \x00\r\n\r\n"})
		if _, err := conn.Write(append([]byte(head), e.bytes(300)...)); err != nil {
			t.Fatal(err)
		}
		if err := conn.Close(); err != nil {
			t.Fatal(err)
		}
	}
	res, err := http.Get(srv.URL + "/healthz")
	if err != nil || res.StatusCode != 200 {
		t.Fatalf("%v %v", res, err)
	}
	if err := res.Body.Close(); err != nil {
		t.Error(err)
	}
	if strings.Contains(l.log.String(), "msg=fault") {
		t.Errorf("faults:\n%s", l.log)
	}
}

// enemy makes up requests.
type enemy struct {
	*rand.Rand
	paths    []string
	lists    []string            // the paths under which documents are made
	methods  map[string][]string // by path
	examples map[string][]any    // by path
	tags     []string            // of answers so far
	// finite keeps numbers within a double's range: the judge of the contract
	// cannot read others.
	finite bool
}

func newEnemy(tb testing.TB, seed uint64) *enemy {
	tb.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(pintail.Contract())
	if err != nil {
		tb.Fatal(err)
	}
	e := &enemy{Rand: rand.New(rand.NewPCG(seed, seed)), methods: map[string][]string{}, examples: map[string][]any{}}
	for path, item := range doc.Paths.Map() {
		if !strings.HasPrefix(path, "/v1/") {
			continue
		}
		operations := item.Operations()
		for _, method := range slices.Sorted(maps.Keys(operations)) {
			e.methods[path] = append(e.methods[path], method)
			if operations[method].RequestBody == nil {
				continue
			}
			examples := operations[method].RequestBody.Value.Content["application/json"].Examples
			for _, name := range slices.Sorted(maps.Keys(examples)) {
				e.examples[path] = append(e.examples[path], examples[name].Value.Value)
			}
		}
	}
	e.paths = slices.Sorted(maps.Keys(e.methods))
	for _, path := range e.paths {
		if slices.Contains(e.methods[path], "GET") && slices.Contains(e.methods[path], "POST") {
			e.lists = append(e.lists, path)
		}
	}
	return e
}

func pick[T any](e *enemy, from []T) T { return from[e.IntN(len(from))] }

// chance is true n times in a hundred.
func (e *enemy) chance(n int) bool { return e.IntN(100) < n }

func (e *enemy) request() *http.Request {
	path := pick(e, e.paths)
	if e.chance(10) {
		path = pick(e, e.lists)
	}
	r := &http.Request{
		Method: pick(e, e.methods[path]), URL: &url.URL{Path: e.fill(path)}, Host: "127.0.0.1:8377", Proto: "HTTP/1.1", ProtoMajor: 1, ProtoMinor: 1,
		Header: http.Header{"Content-Type": {"application/json"}},
	}
	if e.chance(15) {
		r.URL = e.address(path)
	}
	if e.chance(10) {
		r.Method = pick(e, []string{"GET", "HEAD", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "BREW", "post", "G\u00c9T"})
	}
	if e.chance(30) {
		e.headers(r)
	}
	if strings.Contains(path, "{id}") || e.methods[path][0] == "GET" {
		e.conditions(r)
	}
	r.Body = io.NopCloser(bytes.NewReader(e.body(path)))
	return r
}

// fill puts an id into the address: one that is there, that may be, or an odd one.
func (e *enemy) fill(path string) string {
	id := pick(e, []string{"kept", "kept", "a", "b", "c"})
	if e.chance(5) {
		id = pick(e, []string{"7", "a b", "..", "%2e", strings.Repeat("a", 65), string(e.bytes(8))})
	}
	return strings.Replace(path, "{id}", id, 1)
}

// conditions adds what a request about a kept document may bring.
func (e *enemy) conditions(r *http.Request) {
	if e.chance(50) && len(e.tags) > 0 {
		tag := pick(e, e.tags[max(0, len(e.tags)-8):])
		if e.chance(20) {
			tag = pick(e, append([]string{"*", `"`, `W/"1-A"`, `"0-A"`, `"99999999999999999999-A"`, `"1"`, string(e.bytes(20))}, e.tags...))
		}
		r.Header.Set(pick(e, []string{"If-Match", "If-Match", "If-Match", "If-None-Match"}), tag)
	}
	if e.chance(50) {
		r.Header.Set("Idempotency-Key", pick(e, []string{"k1", "k2", "k3", "a b", strings.Repeat("k", 129)}))
	}
	if e.chance(10) {
		r.Header.Set("Authorization", pick(e, []string{"Bearer", "Bearer a.b", "Basic eDp5", string(e.bytes(60))}))
	}
	if e.chance(20) {
		r.URL.RawQuery = pick(e, []string{"limit=0", "limit=1", "limit=1001", "limit=x", "after=0", "after=-1", "after=1e9", "after=9223372036854775808", "after=%FF", "path=/name", "path=name", "path=%00", "after=a&after=b", "limit=3&after=a"})
	}
}

func (e *enemy) address(path string) *url.URL {
	odd := []string{
		"/", "/v1", "/v1/", "/v1/rigs", "/v1/rigs/", "/v1/rigs/kept", "/v1/rigs/kept/", "/v1/rigs/" + strings.Repeat("a", 5000),
		"/v1/rigs/../rigs", "/v1/rigs/\x00", "/v1/rigs/%", "/v1/rigs/a b", "/v1/rigs/\xff", "/v1/rigs/;DROP TABLE rig", "/healthz", "/readyz",
		"/metrics", "/openapi.yaml", "/openapi.yaml/", "//v1/rigs", "/V1/rigs", path + "/", path + "/..", path + "\n", strings.ToUpper(path),
		"/assets/../../../etc/passwd", "/.gitkeep", "/index.html.br", "/" + strings.Repeat("x/", 2000), "", "*", "v1/rigs",
	}
	p := pick(e, odd)
	if e.chance(10) {
		p = "/" + string(e.bytes(40))
	}
	u := &url.URL{Path: p}
	if e.chance(20) {
		u.RawQuery = string(e.bytes(30))
	}
	if e.chance(20) {
		u.RawPath = strings.ReplaceAll(p, "a", "%61")
	}
	return u
}

func (e *enemy) headers(r *http.Request) {
	switch e.IntN(8) {
	case 0:
		r.Header.Del("Content-Type")
	case 1:
		r.Header.Set("Content-Type", pick(e, []string{"text/plain", "application/xml", "application/json; charset=utf-16", "application/json;", "application/json; charset=\"", "multipart/form-data; boundary=x", "\x00", "application/problem+json", "*/*"}))
	case 2:
		r.Header.Set("Content-Encoding", pick(e, []string{"gzip", "br", "identity", ""}))
	case 3:
		r.Header.Set("X-Request-Id", string(e.bytes(80)))
	case 4:
		r.Host = pick(e, []string{"", "elsewhere.example", "[::1", "localhost:99999999", string(e.bytes(20))})
		r.Method, r.URL = "GET", &url.URL{Path: "/v1/rigs"}
	case 5:
		r.Header.Set("If-None-Match", pick(e, []string{"*", `"`, strings.Repeat(`"a",`, 100), string(e.bytes(40))}))
		r.Method, r.URL = "GET", &url.URL{Path: pick(e, []string{"/v1/rigs/kept", "/", "/sw.js"})}
	case 6:
		r.Header.Set("Range", pick(e, []string{"bytes=0-", "bytes=9-1", "bytes=-1,-1,-1", "bytes=" + strings.Repeat("0-0,", 500)}))
		r.Method, r.URL = "GET", &url.URL{Path: "/"}
	case 7:
		r.Header.Set("Accept", pick(e, []string{"", "text/html", "application/xml;q=9", string(e.bytes(30))}))
		r.Header.Set("Accept-Encoding", pick(e, []string{"br;q=", ";", "br;q=x", "*;q=0,br;q=1"}))
	}
}

// body is an example of the path, spoiled in one way or several; now and then
// it is left whole.
func (e *enemy) body(path string) []byte {
	switch e.IntN(20) {
	case 0:
		return e.bytes(400)
	case 1:
		deep := e.IntN(30_000)
		return []byte(`{"rig":` + strings.Repeat(pick(e, []string{"[", `{"a":`, `{"towed":`}), deep))
	case 2:
		if e.chance(30) {
			return []byte(`{"rig":{"name":"` + strings.Repeat("x", 1<<20+e.IntN(100)) + `"}}`)
		}
	}
	if e.examples[path] == nil {
		return e.bytes(3)
	}
	e.finite = path == "/v1/entries"
	value := clone(pick(e, e.examples[path]))
	if document, ok := value.(map[string]any); ok && e.chance(60) {
		document["id"] = pick(e, []string{"kept", "a", "b", "c"})
	}
	for range e.IntN(4) {
		value = e.spoil(value)
	}
	b, err := json.Marshal(value)
	if err != nil {
		panic(err) // decoded from JSON
	}
	return e.spoilBytes(b)
}

func clone(v any) any {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	var c any
	if err := json.Unmarshal(b, &c); err != nil {
		panic(err)
	}
	return c
}

// spoil replaces, adds or removes one value somewhere inside v.
func (e *enemy) spoil(v any) any {
	switch v := v.(type) {
	case map[string]any:
		if len(v) == 0 || e.chance(15) {
			v[pick(e, []string{"Rig", "extra", "", "a/b~c", "lb", "kg", "\u0000", "name", "route", "__proto__"})] = e.value()
			return v
		}
		key := pick(e, slices.Sorted(maps.Keys(v)))
		if e.chance(10) {
			delete(v, key)
			return v
		}
		v[key] = e.spoil(v[key])
		return v
	case []any:
		if len(v) == 0 || e.chance(30) {
			return append(v, e.value())
		}
		i := e.IntN(len(v))
		v[i] = e.spoil(v[i])
		return v
	}
	return e.value()
}

func (e *enemy) value() any {
	if e.chance(5) && !e.finite {
		return pick(e, []any{json.Number("1e999"), json.Number(strings.Repeat("9", 400))})
	}
	return pick(e, []any{
		nil, true, "", "US-QQ", "\u202e", strings.Repeat("long ", 300), "2026-02-30", "forbidden", -1, 0, 1e308, -1e308, 5e-324, 0.1 + 0.2, 1 << 53, []any{}, map[string]any{}, []any{nil}, map[string]any{"lb": 1, "kg": 1},
		map[string]any{"lb": -4300}, map[string]any{"lb": 1e9}, map[string]any{"stone": 3}, map[string]any{"lb": "4300"}, map[string]any{"f": -459},
	})
}

func (e *enemy) spoilBytes(b []byte) []byte {
	switch e.IntN(8) {
	case 0:
		return b[:e.IntN(len(b)+1)]
	case 1:
		b[e.IntN(len(b))] = byte(e.IntN(256))
	case 2:
		at := e.IntN(len(b) + 1)
		return slices.Insert(b, at, e.bytes(8)...)
	case 3:
		return append(b, pick(e, []string{"{}", " ", "\x00", ",", "//", "\xef\xbb\xbf", "\n\n"})...)
	case 4:
		return bytes.Replace(b, []byte(`":`), []byte(`":`+fmt.Sprint(e.IntN(9))+`,"x":`), 1)
	}
	return b
}

// bytes are up to n random ones.
func (e *enemy) bytes(n int) []byte {
	b := make([]byte, e.IntN(n+1))
	for i := range b {
		b[i] = byte(e.IntN(256))
	}
	return b
}
