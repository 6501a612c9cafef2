package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/getkin/kin-openapi/openapi3"

	"pintail"
	"pintail/api"
	"pintail/api/finding"
	"pintail/storage"
)

var asJSON = map[string]string{"Content-Type": "application/json"}

// scenario is a request and what must, and must not, come back.
type scenario struct {
	request
	status  int
	has     []string
	hasNot  []string
	headers map[string]string // of the answer; "" is absent
}

func TestScenarios(t *testing.T) {
	l := newLab(t, false)
	tag := l.do(t, request{path: "/v1/rigs/kept"}).Header().Get("ETag")
	for name, s := range map[string]scenario{
		"Operation":           {request{"POST", "/v1/coupling/check", `{"rig":{}}`, asJSON}, 200, []string{`"verdict":"find_out"`, `"engine_version"`}, nil, map[string]string{"Content-Type": "application/json", "Cache-Control": "no-store"}},
		"OperationUTF8":       {request{"POST", "/v1/coupling/check", `{"rig":{}}`, map[string]string{"Content-Type": "application/json; charset=UTF-8"}}, 200, nil, nil, nil},
		"OperationBadBody":    {request{"POST", "/v1/coupling/check", `{"rig":{"Name":"x"}}`, asJSON}, 400, []string{"urn:problem-type:pintail:unknown_member", `"/rig/Name"`}, nil, map[string]string{"Content-Type": "application/problem+json"}},
		"OperationTooLarge":   {request{"POST", "/v1/coupling/check", `{"rig":{}}` + strings.Repeat(" ", api.MaxInput), asJSON}, 413, []string{"too_large"}, nil, nil},
		"OperationLargest":    {request{"POST", "/v1/coupling/check", `{"rig":{}}` + strings.Repeat(" ", api.MaxInput-10), asJSON}, 200, nil, nil, nil},
		"OperationNoType":     {request{"POST", "/v1/coupling/check", `{"rig":{}}`, nil}, 415, []string{"unsupported_media_type"}, nil, nil},
		"OperationForm":       {request{"POST", "/v1/coupling/check", `rig=1`, map[string]string{"Content-Type": "application/x-www-form-urlencoded"}}, 415, nil, nil, nil},
		"OperationText":       {request{"POST", "/v1/coupling/check", `{"rig":{}}`, map[string]string{"Content-Type": "text/plain"}}, 415, nil, nil, nil},
		"OperationLatin1":     {request{"POST", "/v1/coupling/check", `{"rig":{}}`, map[string]string{"Content-Type": "application/json; charset=latin1"}}, 415, nil, nil, nil},
		"OperationCompressed": {request{"POST", "/v1/coupling/check", `{"rig":{}}`, map[string]string{"Content-Type": "application/json", "Content-Encoding": "gzip"}}, 415, nil, nil, nil},
		"OperationGet":        {request{path: "/v1/coupling/check"}, 405, []string{"method_not_allowed"}, nil, map[string]string{"Allow": "OPTIONS, POST"}},
		"OperationOptions":    {request{method: "OPTIONS", path: "/v1/coupling/check"}, 204, nil, nil, map[string]string{"Access-Control-Allow-Origin": ""}},
		"UnknownOperation":    {request{"POST", "/v1/coupling/uncheck", `{}`, asJSON}, 404, []string{"unknown_operation", "coupling/uncheck"}, nil, nil},
		"OtherOrigin":         {request{"POST", "/v1/coupling/check", `{"rig":{}}`, map[string]string{"Content-Type": "application/json", "Origin": "https://elsewhere.example"}}, 200, nil, nil, map[string]string{"Access-Control-Allow-Origin": ""}},

		"Rigs":            {request{path: "/v1/rigs"}, 200, []string{`{"rigs":[{"id":"kept","name":"Kept","revision":3}]}`}, []string{"document", "created"}, map[string]string{"Cache-Control": "no-cache"}},
		"RigsBodyIgnored": {request{path: "/v1/rigs", body: "anything"}, 200, nil, nil, nil},
		"Rig":             {request{path: "/v1/rigs/kept"}, 200, []string{`"rig":{"name":"Kept"}`, `"trip":{"route":["US-UT"]}`}, nil, map[string]string{"ETag": tag}},
		"RigHead":         {request{method: "HEAD", path: "/v1/rigs/kept"}, 200, nil, nil, map[string]string{"ETag": tag}},
		"RigUnchanged":    {request{path: "/v1/rigs/kept", headers: map[string]string{"If-None-Match": `"x", W/` + tag}}, 304, nil, []string{"Kept"}, map[string]string{"ETag": tag}},
		"RigChanged":      {request{path: "/v1/rigs/kept", headers: map[string]string{"If-None-Match": `"3-00000000"`}}, 200, []string{"Kept"}, nil, nil},
		"RigNotThere":     {request{path: "/v1/rigs/lost"}, 404, []string{"urn:problem-type:pintail:not_found"}, []string{"lost"}, map[string]string{"ETag": "", "Cache-Control": "no-store"}},
		"RigOddID":        {request{path: "/v1/rigs/a%20b"}, 400, []string{"invalid_parameter", "id"}, []string{"a b"}, nil},
		"RigSlashID":      {request{path: "/v1/rigs/a%2Fb"}, 400, []string{"invalid_parameter"}, nil, nil},
		"RigLongID":       {request{path: "/v1/rigs/" + strings.Repeat("a", 65)}, 400, []string{"invalid_parameter"}, nil, nil},
		"RigNoID":         {request{path: "/v1/rigs/"}, 404, []string{"not_found"}, nil, nil},
		"RigLongTag":      {request{path: "/v1/rigs/kept", headers: map[string]string{"If-None-Match": strings.Repeat("x", 201)}}, 400, []string{"invalid_parameter", "If-None-Match"}, nil, nil},
		"RowsNoText":      {request{path: "/v1/rule-rows?text=%ff"}, 400, []string{"invalid_parameter", "query parameter text is not UTF-8"}, nil, nil},
		"RigPatch":        {request{"PATCH", "/v1/rigs/kept", `{}`, asJSON}, 405, nil, nil, map[string]string{"Allow": "OPTIONS, DELETE, GET, HEAD, PUT"}},
		"RigsOtherHost":   {request{path: "/v1/rigs", headers: map[string]string{"Host": "elsewhere.example"}}, 421, []string{"misdirected", "--host"}, []string{"Kept"}, nil},
		"RigOtherHost":    {request{path: "/v1/rigs/kept", headers: map[string]string{"Host": "127.0.0.1.elsewhere.example:8377"}}, 421, nil, []string{"Kept"}, nil},
		"RigsLocalhost":   {request{path: "/v1/rigs", headers: map[string]string{"Host": "localhost:8377"}}, 200, nil, nil, nil},
		"RigsLoopback6":   {request{path: "/v1/rigs", headers: map[string]string{"Host": "[::1]:8377"}}, 200, nil, nil, nil},
		"RigsAddress":     {request{path: "/v1/rigs", headers: map[string]string{"Host": "192.0.2.7:8377"}}, 401, []string{"unauthorized", "pintail key add"}, []string{"Kept"}, map[string]string{"WWW-Authenticate": "Bearer"}},
		"RigsBehindProxy": {request{path: "/v1/rigs", headers: map[string]string{"Host": "Rigs.Example.org"}}, 401, []string{"unauthorized", "pintail key add"}, []string{"Kept"}, nil},

		"Alive":           {request{path: "/healthz"}, 200, []string{"ok\n"}, nil, nil},
		"Ready":           {request{path: "/readyz"}, 200, []string{"ok\n"}, nil, nil},
		"Contract":        {request{path: "/openapi.yaml"}, 200, []string{string(pintail.Contract())}, nil, map[string]string{"Content-Type": "application/yaml"}},
		"AliveOtherHost":  {request{path: "/healthz", headers: map[string]string{"Host": "elsewhere.example"}}, 200, nil, nil, nil},
		"Metrics":         {request{path: "/metrics", headers: map[string]string{"Accept": "application/openmetrics-text"}}, 200, []string{"pintail_http_requests_total"}, nil, nil},
		"NoResource":      {request{path: "/v1/tyres"}, 404, []string{"not_found"}, nil, nil},
		"NoResourceAsked": {request{path: "/v1/tyres", headers: map[string]string{"Accept": "text/html", "Sec-Fetch-Mode": "navigate"}}, 404, nil, []string{"<title>"}, nil},
		"V1":              {request{path: "/v1", headers: map[string]string{"Accept": "text/html"}}, 404, nil, []string{"<title>"}, nil},
	} {
		t.Run(name, func(t *testing.T) { s.run(t, l) })
	}
}

func (s scenario) run(t *testing.T, l *lab) {
	rec := l.do(t, s.request)
	if rec.Code != s.status {
		t.Fatalf("status %d, want %d\n%s", rec.Code, s.status, rec.Body)
	}
	for _, want := range s.has {
		if !strings.Contains(rec.Body.String(), want) {
			t.Errorf("lacks %q:\n%s", want, rec.Body)
		}
	}
	for _, not := range s.hasNot {
		if strings.Contains(rec.Body.String(), not) {
			t.Errorf("contains %q:\n%s", not, rec.Body)
		}
	}
	for name, want := range s.headers {
		if got := rec.Header().Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

// TestRoutesEqualContract: every route is in the contract and every path of the
// contract has a route; HEAD goes with GET.
func TestRoutesEqualContract(t *testing.T) {
	c, _ := testConfig(t)
	e, err := newEcho(c)
	if err != nil {
		t.Fatal(err)
	}
	var routes, paths []string
	for _, r := range e.Routes() {
		if r.Method != http.MethodHead {
			routes = append(routes, r.Method+" "+contractPath(r.Path))
		}
	}
	doc, err := openapi3.NewLoader().LoadFromData(c.Contract)
	if err != nil {
		t.Fatal(err)
	}
	for path, item := range doc.Paths.Map() {
		for method := range item.Operations() {
			paths = append(paths, method+" "+path)
		}
	}
	slices.Sort(routes)
	slices.Sort(paths)
	if !slices.Equal(routes, paths) {
		t.Errorf("routes   %v\ncontract %v", routes, paths)
	}
}

// TestStatuses: every code has a status, and every status a code.
func TestStatuses(t *testing.T) {
	var coded []string
	for code := range statuses {
		coded = append(coded, string(code))
	}
	want := finding.Code("").Values()
	slices.Sort(coded)
	slices.Sort(want)
	if !slices.Equal(coded, want) {
		t.Errorf("codes with a status %v\nall codes           %v", coded, want)
	}
}

// TestSecurityHeaders: they go with every kind of answer.
func TestSecurityHeaders(t *testing.T) {
	l := newLab(t, false)
	for _, r := range []request{{path: "/"}, {path: "/v1/rigs"}, {path: "/nothing.js"}, {method: "POST", path: "/v1/coupling/check"}, {path: "/metrics"}, {method: "OPTIONS", path: "/v1/rigs"}} {
		h := l.do(t, r).Header()
		for name, want := range securityHeaders {
			if got := h.Get(name); got != want {
				t.Errorf("%s %s: %s is %q", r.method, r.path, name, got)
			}
		}
		if h.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s lets other sites in", r.path)
		}
	}
	policy := strings.ReplaceAll(securityHeaders["Content-Security-Policy"], "'wasm-unsafe-eval'", "")
	for _, loose := range []string{"unsafe", "*", "data:", "http:", "https:"} {
		if strings.Contains(policy, loose) {
			t.Errorf("the policy allows %s: %s", loose, policy)
		}
	}
}

func TestRequestIDs(t *testing.T) {
	l := newLab(t, false)
	for given, kept := range map[string]bool{
		"abc-123_X.y": true, strings.Repeat("a", 64): true,
		"": false, strings.Repeat("a", 65): false, "a b": false, "a\tb": false, "ä": false, "<script>": false,
	} {
		got := l.do(t, request{path: "/healthz", headers: map[string]string{"X-Request-Id": given}}).Header().Get("X-Request-Id")
		if kept && got != given || !kept && !strings.HasPrefix(got, "made-") {
			t.Errorf("%q gives %q", given, got)
		}
	}
}

// TestAccessLog: a line for each request, without query, headers or body.
func TestAccessLog(t *testing.T) {
	l := newLab(t, false)
	l.do(t, request{"POST", "/v1/coupling/check?secret=query", `{"rig":{"name":"secret-body"}}`, map[string]string{"Content-Type": "application/json", "X-Request-Id": "id-7", "Authorization": "secret-key"}})
	line := l.log.String()
	for _, want := range []string{"msg=request", "id=id-7", "method=POST", "path=/v1/coupling/check", "status=200", "bytes=", "took="} {
		if !strings.Contains(line, want) {
			t.Errorf("lacks %s: %s", want, line)
		}
	}
	if strings.Contains(line, "secret") {
		t.Errorf("says too much: %s", line)
	}
}

// TestMetrics: counts by route, never by path.
func TestMetrics(t *testing.T) {
	l := newLab(t, false)
	for i := range 50 {
		l.do(t, request{path: fmt.Sprint("/v1/rigs/r", i)})
		l.do(t, request{path: fmt.Sprint("/nothing/", i, ".js")})
		l.do(t, request{method: fmt.Sprint("BREW", i), path: "/v1/rigs"})
	}
	got := l.do(t, request{path: "/metrics"}).Body.String()
	for _, want := range []string{
		`pintail_http_requests_total{method="GET",route="/v1/rigs/:id",status="404"} 50`,
		`pintail_http_requests_total{method="GET",route="app",status="404"} 50`,
		`pintail_http_requests_total{method="other",route="/v1/rigs",status="405"} 50`,
		`pintail_http_request_duration_seconds_count{route="/v1/rigs/:id"} 50`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("lacks %s\n%s", want, got)
		}
	}
}

// brokenStore fails or panics, and says what nobody outside may read.
type brokenStore struct {
	storage.Store
	rigs  func(context.Context) error
	ready error
}

func (s brokenStore) AnyKey(context.Context) (bool, error) { return false, nil }
func (s brokenStore) In(string) storage.Workspace          { return brokenWorkspace{rigs: s.rigs} }
func (s brokenStore) Ready(context.Context) error          { return s.ready }

type brokenWorkspace struct {
	storage.Workspace
	rigs func(context.Context) error
}

func (w brokenWorkspace) Documents(ctx context.Context, _, _ string, _ int) ([]storage.Document, error) {
	return nil, w.rigs(ctx)
}

func TestFaults(t *testing.T) {
	secret := errors.New("secret: /home/owner/rigs.db page 7")
	for name, test := range map[string]struct {
		rigs   func(context.Context) error
		status int
		code   string
	}{
		"Panic": {func(context.Context) error { panic(secret) }, 500, "internal"},
		"Error": {func(context.Context) error { return secret }, 500, "internal"},
		"Corrupt": {func(context.Context) error {
			return &storage.Error{Reason: storage.Corrupt, Detail: "secret", Err: secret}
		}, 500, "internal"},
		"Locked": {func(context.Context) error {
			return &storage.Error{Reason: storage.Locked, Detail: "secret", Err: secret}
		}, 503, "unavailable"},
		"Too slow": {func(ctx context.Context) error { <-ctx.Done(); return fmt.Errorf("secret: %w", ctx.Err()) }, 503, "unavailable"},
	} {
		t.Run(name, func(t *testing.T) {
			l := newLab(t, true, withStore(brokenStore{rigs: test.rigs}), func(c *Config) { c.RequestTimeout = 20 * time.Millisecond })
			rec := l.do(t, request{path: "/v1/rigs", headers: map[string]string{"X-Request-Id": "id-7"}})
			if rec.Code != test.status || !strings.Contains(rec.Body.String(), "urn:problem-type:pintail:"+test.code) {
				t.Errorf("%d %s", rec.Code, rec.Body)
			}
			if strings.Contains(rec.Body.String(), "secret") {
				t.Errorf("tells the client: %s", rec.Body)
			}
			if n := strings.Count(l.log.String(), "msg=fault id=id-7"); n != 1 || !strings.Contains(l.log.String(), "secret") {
				t.Errorf("%d fault lines, want 1 that says why:\n%s", n, l.log)
			}
		})
	}
}

func TestNotReady(t *testing.T) {
	l := newLab(t, true, withStore(brokenStore{ready: &storage.Error{Reason: storage.Closed, Detail: "closed"}}))
	if rec := l.do(t, request{path: "/readyz"}); rec.Code != 503 {
		t.Errorf("readyz %d", rec.Code)
	}
	if rec := l.do(t, request{path: "/healthz"}); rec.Code != 200 {
		t.Errorf("healthz %d", rec.Code)
	}
}

// TestBrokenBody: a body that stops on its way.
func TestBrokenBody(t *testing.T) {
	c, _ := testConfig(t)
	h, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]struct {
		err    error
		status int
	}{
		"Timeout": {&net.OpError{Op: "read", Err: os.ErrDeadlineExceeded}, 408},
		"CutOff":  {io.ErrUnexpectedEOF, 400},
		"Other":   {errors.New("secret"), 400},
	} {
		r := httptest.NewRequest("POST", "/v1/coupling/check", io.MultiReader(strings.NewReader(`{"rig"`), iotest.ErrReader(test.err)))
		r.Header.Set("Content-Type", "application/json")
		rec := httptest.NewRecorder()
		h.ServeHTTP(rec, r)
		if rec.Code != test.status || strings.Contains(rec.Body.String(), "secret") {
			t.Errorf("%s: %d %s", name, rec.Code, rec.Body)
		}
	}
}

// TestConfig: what is missing is refused by name.
func TestConfig(t *testing.T) {
	for name, change := range map[string]func(*Config){
		"Contract":       func(c *Config) { c.Contract = nil },
		"App":            func(c *Config) { c.App = nil },
		"Store":          func(c *Config) { c.Store = nil },
		"Log":            func(c *Config) { c.Log = nil },
		"Metrics":        func(c *Config) { c.Metrics = nil },
		"Now":            func(c *Config) { c.Now = nil },
		"NewID":          func(c *Config) { c.NewID = nil },
		"Hosts":          func(c *Config) { c.Hosts = []string{"two words"} },
		"RequestTimeout": func(c *Config) { c.RequestTimeout = 0 },
		"contract":       func(c *Config) { c.Contract = []byte("openapi: [") },
	} {
		c, _ := testConfig(t)
		change(&c)
		if _, err := New(c); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestServe runs on a real socket: a running request outlives the stop, and
// Serve then returns without an error.
func TestServe(t *testing.T) {
	begun, release := make(chan struct{}), make(chan struct{})
	store := brokenStore{rigs: func(context.Context) error { close(begun); <-release; return nil }}
	l := newLab(t, false, withStore(store))
	c, _ := testConfig(t)
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	served := make(chan error, 1)
	go func() { served <- Serve(ctx, ln, l.handler, c.Log) }()
	answered := make(chan error, 1)
	go func() {
		res, err := http.Get("http://" + ln.Addr().String() + "/v1/rigs")
		if err == nil {
			var list struct{ Rigs []line }
			err = errors.Join(json.NewDecoder(res.Body).Decode(&list), res.Body.Close())
		}
		answered <- err
	}()
	<-begun
	stop()
	select {
	case err := <-served:
		t.Fatalf("stopped under a running request: %v", err)
	case <-time.After(50 * time.Millisecond):
	}
	close(release)
	if err := <-answered; err != nil {
		t.Errorf("the running request: %v", err)
	}
	if err := <-served; err != nil {
		t.Errorf("Serve: %v", err)
	}
	if _, err := http.Get("http://" + ln.Addr().String() + "/healthz"); err == nil {
		t.Error("still answers after the stop")
	}
}
