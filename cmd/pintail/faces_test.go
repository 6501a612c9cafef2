package main

import (
	"bytes"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"pintail"
	"pintail/api"
	"pintail/pwa"
	"pintail/server"
	"pintail/server/contracttest"
	"pintail/storage/sqlite"
)

// problem is one vector of api/testdata/problems.json. The browser's engine is
// held to the same file by the tests of the app.
type problem struct {
	Name, Operation string
	Body            string
	BodyBase64      []byte `json:"body_base64"`
	Spaces          int
	Problem         struct{ Code, Pointer string }
}

func (p problem) body() []byte {
	b := []byte(p.Body)
	if p.BodyBase64 != nil {
		b = p.BodyBase64
	}
	return append(b, strings.Repeat(" ", p.Spaces)...)
}

func mustProblems(tb testing.TB) []problem {
	tb.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "api", "testdata", "problems.json"))
	if err != nil {
		tb.Fatal(err)
	}
	var all []problem
	if err := json.Unmarshal(b, &all); err != nil {
		tb.Fatal(err)
	}
	return all
}

// TestSameProblem: bad input gives the same problem, byte for byte, from the
// core, over HTTP and on the command line, with the code and the pointer that
// the vector names.
func TestSameProblem(t *testing.T) {
	h := mustHandler(t)
	for _, p := range mustProblems(t) {
		t.Run(p.Operation+"/"+p.Name, func(t *testing.T) {
			_, err := api.Run(p.Operation, p.body())
			if err == nil {
				t.Fatal("accepted")
			}
			if got := err.Problems[0]; string(got.Code) != p.Problem.Code || got.Pointer != p.Problem.Pointer {
				t.Errorf("%s at %q, want %s at %q", got.Code, got.Pointer, p.Problem.Code, p.Problem.Pointer)
			}
			want := err.JSON()
			if status, got := overHTTP(h, p); !bytes.Equal(got, want) || status < 400 || status > 499 {
				t.Errorf("HTTP %d\ngot  %s\nwant %s", status, got, want)
			}
			if exit, got := onCommandLine(t, p); !bytes.Equal(got, append(want, '\n')) || exit != 1 {
				t.Errorf("command line, exit code %d\ngot  %s\nwant %s", exit, got, want)
			}
		})
	}
}

func overHTTP(h http.Handler, p problem) (int, []byte) {
	r := httptest.NewRequest(http.MethodPost, "/v1/"+p.Operation, bytes.NewReader(p.body()))
	r.Header.Set("Content-Type", "application/json")
	rec := httptest.NewRecorder()
	h.ServeHTTP(rec, r)
	return rec.Code, rec.Body.Bytes()
}

func onCommandLine(t *testing.T, p problem) (int, []byte) {
	var stdout bytes.Buffer
	exit := Run(t.Context(), []string{"run", p.Operation}, bytes.NewReader(p.body()), &stdout, io.Discard, func(string) string { return "" })
	return exit, stdout.Bytes()
}

// TestSameAnswer: the contract's examples give the same bytes over HTTP and on
// the command line.
func TestSameAnswer(t *testing.T) {
	h := mustHandler(t)
	for _, o := range api.Operations() {
		example, err := firstExample(pintail.Contract(), o.Name)
		if err != nil {
			t.Errorf("%s: %v", o.Name, err)
			continue
		}
		p := problem{Operation: o.Name, Body: string(example)}
		status, overHTTP := overHTTP(h, p)
		exit, onLine := onCommandLine(t, p)
		if status != 200 || exit != 0 || !bytes.Equal(append(overHTTP, '\n'), onLine) {
			t.Errorf("%s: HTTP %d, exit code %d\n%s\n%s", o.Name, status, exit, overHTTP, onLine)
		}
	}
}

func mustHandler(t *testing.T) http.Handler {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "pintail.db"), sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	})
	h, err := server.New(server.Config{
		Contract: pintail.Contract(), App: pwa.App(), Store: store, Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry(),
		Now: time.Now, NewID: func() string { return "id" }, RequestTimeout: requestTimeout,
	})
	if err != nil {
		t.Fatal(err)
	}
	return contracttest.Handler(t, pintail.Contract(), h, false)
}
