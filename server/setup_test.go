package server

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"time"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/google/uuid"
	"github.com/prometheus/client_golang/prometheus"

	"pintail"
	"pintail/api/journal"
	"pintail/server/contracttest"
	"pintail/storage"
	"pintail/storage/sqlite"
)

// builtApp is a small app in the shape the bundler gives it.
var builtApp = fstest.MapFS{
	"index.html":                  {Data: []byte("<!doctype html><title>app</title>")},
	"index.html.br":               {Data: []byte("BROTLI index")},
	"sw.js":                       {Data: []byte("worker")},
	"sw.js.br":                    {Data: []byte("BROTLI worker")},
	"manifest.webmanifest":        {Data: []byte("{}")},
	"icon-192.png":                {Data: []byte("\x89PNG")},
	"assets/index-BkZ3x_9a.js":    {Data: []byte("code")},
	"assets/engine-Abcd1234.wasm": {Data: []byte("\x00asm")},
	"assets/logo.svg":             {Data: []byte("<svg/>")},
	".gitkeep":                    {Data: []byte{}},
}

// lab is a server with everything around it.
type lab struct {
	handler http.Handler
	store   storage.Store
	log     *lockedBuffer
}

// option changes the lab's configuration before the server is made.
type option func(*Config)

func withStore(s storage.Store) option { return func(c *Config) { c.Store = s } }

func withApp(app fs.FS) option { return func(c *Config) { c.App = app } }

// newLab returns a server whose every answer is held to the contract.
func newLab(tb testing.TB, faults bool, options ...option) *lab {
	tb.Helper()
	c, log := testConfig(tb)
	for _, o := range options {
		o(&c)
	}
	h, err := New(c)
	if err != nil {
		tb.Fatalf("New: %v", err)
	}
	return &lab{handler: contracttest.Handler(tb, c.Contract, h, faults), store: c.Store, log: log}
}

func testConfig(tb testing.TB) (Config, *lockedBuffer) {
	tb.Helper()
	log := &lockedBuffer{}
	var ids atomic.Int64
	return Config{
		Contract: pintail.Contract(), App: builtApp, Store: mustStore(tb),
		Log: slog.New(slog.NewTextHandler(log, nil)), Metrics: prometheus.NewRegistry(),
		Now: time.Now, NewID: func() string { return fmt.Sprint("made-", ids.Add(1)) },
		Hosts: []string{"rigs.example.org"}, RequestTimeout: 5 * time.Second,
	}, log
}

// noon is when the rigs of the tests were kept.
var noon = time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)

// mustStore is a store with one rig and its trip.
func mustStore(tb testing.TB) storage.Store {
	tb.Helper()
	return mustStoreIn(tb, filepath.Join(tb.TempDir(), "pintail.db"))
}

func mustStoreIn(tb testing.TB, file string) storage.Store {
	tb.Helper()
	s, err := sqlite.Open(context.Background(), file, sqlite.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Errorf("Close: %v", err)
		}
	})
	w := s.In(storage.Default)
	mustKeep(tb, w, "rig/kept", `{"name":"Kept"}`)
	mustKeep(tb, w, "trip/kept", `{"rig":"kept","route":["US-UT"]}`)
	return s
}

// mustKeep writes a document as another server's request would.
func mustKeep(tb testing.TB, w storage.Workspace, doc, value string) {
	tb.Helper()
	writes := journal.Diff(nil, jsontext.Value(value))
	ids := make([]string, len(writes))
	for i := range ids {
		ids[i] = uuid.Must(uuid.NewV7()).String()
	}
	out, err := w.Write(context.Background(), storage.Write{Doc: doc, Writes: writes, IDs: ids, Actor: "test", At: noon})
	if err != nil || !out.Taken() {
		tb.Fatalf("%s: %+v, %v", doc, out, err)
	}
}

// request is one request of a test.
type request struct {
	method, path, body string
	headers            map[string]string
}

func (l *lab) do(tb testing.TB, r request) *httptest.ResponseRecorder {
	tb.Helper()
	method := r.method
	if method == "" {
		method = http.MethodGet
	}
	req := httptest.NewRequest(method, "http://127.0.0.1:8377"+r.path, strings.NewReader(r.body))
	for name, value := range r.headers {
		if name == "Host" {
			req.Host = value
			continue
		}
		req.Header.Set(name, value)
	}
	rec := httptest.NewRecorder()
	l.handler.ServeHTTP(rec, req)
	return rec
}

// lockedBuffer is a log that several goroutines write.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
