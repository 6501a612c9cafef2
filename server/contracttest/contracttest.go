// Package contracttest holds a server to its contract: a test that talks through
// Handler fails on every answer that openapi.yaml does not declare.
package contracttest

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
)

const problemType = "application/problem+json"

func init() {
	// The contract is served as text; the library would read it as a document.
	openapi3filter.RegisterBodyDecoder("application/yaml", openapi3filter.PlainBodyDecoder)
}

// Handler passes requests on to h and checks each with its answer:
//
//   - the path is in the contract: status, media type, headers and every member
//     of the body are declared there, and the contract accepts each request that
//     was answered with success;
//   - the path is there and the method is not: 405 with Allow and a problem;
//   - the path is not there: a file of the app, or a problem; under /v1/ always
//     404 and a problem.
//
// Every fault fails tb. An answer of 500 or above is a fault unless the contract
// declares it and faults is true.
func Handler(tb testing.TB, contract []byte, h http.Handler, faults bool) http.Handler {
	tb.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(contract)
	if err != nil {
		tb.Fatalf("contract: %v", err)
	}
	k := checker{doc: doc, faults: faults}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var body []byte
		if r.Body != nil {
			body, _ = io.ReadAll(r.Body) // what a broken body still gave
			r.Body = io.NopCloser(bytes.NewReader(body))
		}
		rec := httptest.NewRecorder()
		h.ServeHTTP(rec, r)
		for _, fault := range k.check(r, body, rec) {
			tb.Errorf("%s %.200s answered %d: %v", r.Method, r.URL.Path, rec.Code, fault)
		}
		for name, values := range rec.Header() {
			w.Header()[name] = values
		}
		w.WriteHeader(rec.Code)
		_, _ = w.Write(rec.Body.Bytes())
	})
}

type checker struct {
	doc    *openapi3.T
	faults bool
}

func (k checker) check(r *http.Request, body []byte, rec *httptest.ResponseRecorder) []error {
	var all []error
	if rec.Code >= 500 && !k.faults {
		all = append(all, fmt.Errorf("a fault on our side: %s", rec.Body))
	}
	if rec.Header().Get("X-Request-Id") == "" {
		all = append(all, fmt.Errorf("no X-Request-Id"))
	}
	path, params := k.find(r.URL.EscapedPath())
	if path == "" {
		return append(all, k.checkElsewhere(r, rec)...)
	}
	method := r.Method
	if method == http.MethodHead {
		method = http.MethodGet
	}
	item := k.doc.Paths.Value(path)
	op := item.GetOperation(method)
	if op == nil {
		return append(all, k.checkMethod(r, rec)...)
	}
	return append(all, k.checkOperation(r, body, rec, &openapi3filter.RequestValidationInput{
		Request:    withBody(r, method, body),
		PathParams: params,
		Route:      &routers.Route{Spec: k.doc, Path: path, PathItem: item, Method: method, Operation: op},
		Options:    &openapi3filter.Options{AuthenticationFunc: openapi3filter.NoopAuthenticationFunc},
	})...)
}

func withBody(r *http.Request, method string, body []byte) *http.Request {
	c := r.Clone(r.Context())
	c.Method = method
	c.Body = io.NopCloser(bytes.NewReader(body))
	return c
}

func (k checker) checkOperation(r *http.Request, body []byte, rec *httptest.ResponseRecorder, in *openapi3filter.RequestValidationInput) []error {
	var all []error
	if rec.Code < 300 {
		if err := openapi3filter.ValidateRequest(r.Context(), in); err != nil {
			all = append(all, fmt.Errorf("the contract refuses a request that was accepted: %w\n%.2000s", err, body))
		}
	}
	err := openapi3filter.ValidateResponse(r.Context(), &openapi3filter.ResponseValidationInput{
		RequestValidationInput: in,
		Status:                 rec.Code,
		Header:                 rec.Header(),
		Body:                   io.NopCloser(bytes.NewReader(rec.Body.Bytes())),
		Options:                &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true, ExcludeResponseBody: r.Method == http.MethodHead},
	})
	if err != nil {
		all = append(all, fmt.Errorf("not as declared: %w\n%.2000s", err, rec.Body))
	}
	return all
}

// checkMethod: the path is in the contract, the method is not.
func (k checker) checkMethod(r *http.Request, rec *httptest.ResponseRecorder) []error {
	if rec.Header().Get("Allow") == "" {
		return []error{fmt.Errorf("no Allow header")}
	}
	if r.Method == http.MethodOptions && rec.Code == http.StatusNoContent {
		return nil
	}
	return k.checkProblem(rec, http.StatusMethodNotAllowed)
}

// checkElsewhere: the path is not in the contract.
func (k checker) checkElsewhere(r *http.Request, rec *httptest.ResponseRecorder) []error {
	if strings.HasPrefix(r.URL.EscapedPath(), "/v1/") {
		return k.checkProblem(rec, http.StatusNotFound)
	}
	switch rec.Code {
	case http.StatusOK, http.StatusPartialContent, http.StatusNotModified, http.StatusPreconditionFailed, http.StatusRequestedRangeNotSatisfiable:
		return nil
	}
	return k.checkProblem(rec, http.StatusNotFound, http.StatusMethodNotAllowed)
}

func (k checker) checkProblem(rec *httptest.ResponseRecorder, statuses ...int) []error {
	var all []error
	known := false
	for _, s := range statuses {
		known = known || rec.Code == s
	}
	if !known {
		all = append(all, fmt.Errorf("want status %v", statuses))
	}
	if got := rec.Header().Get("Content-Type"); got != problemType {
		all = append(all, fmt.Errorf("Content-Type is %q, want %s", got, problemType))
	}
	value, err := openapi3filter.JSONBodyDecoder(bytes.NewReader(rec.Body.Bytes()), nil, nil, nil)
	if err == nil {
		err = k.doc.Components.Schemas["ProblemDetails"].Value.VisitJSON(value)
	}
	if err != nil {
		all = append(all, fmt.Errorf("not a problem: %w", err))
	}
	return all
}

// find returns the path of the contract that an escaped path asks for, a literal
// one before one with parameters, and the parameters.
func (k checker) find(path string) (string, map[string]string) {
	if k.doc.Paths.Value(path) != nil {
		return path, nil
	}
	for template := range k.doc.Paths.Map() {
		if params, ok := fits(template, path); ok {
			return template, params
		}
	}
	return "", nil
}

func fits(template, path string) (map[string]string, bool) {
	want, got := strings.Split(template, "/"), strings.Split(path, "/")
	if len(want) != len(got) {
		return nil, false
	}
	params := map[string]string{}
	for i, w := range want {
		if name, ok := strings.CutPrefix(w, "{"); ok {
			value, err := url.PathUnescape(got[i])
			if err != nil || value == "" {
				return nil, false
			}
			params[strings.TrimSuffix(name, "}")] = value
		} else if w != got[i] {
			return nil, false
		}
	}
	return params, true
}
