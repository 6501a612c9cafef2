// Package demo is an invented shop's three rigs: one is ready and has the records
// of a day, one must not go, one has things to find out. No make, model or person in them exists.
package demo

import (
	"bytes"
	"context"
	"embed"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

//go:embed *.json
var files embed.FS

// Rig is one file of the demo: a rig and its usual trip.
type Rig struct {
	ID   string         `json:"id"`
	Name string         `json:"name"`
	Rig  jsontext.Value `json:"rig"`
	Trip jsontext.Value `json:"trip"`
}

// Rigs returns the rigs of the demo, by file name.
func Rigs() ([]Rig, error) {
	entries, err := files.ReadDir(".")
	if err != nil {
		return nil, err
	}
	var all []Rig
	for _, entry := range entries {
		r, err := read(entry.Name())
		if err != nil {
			return nil, fmt.Errorf("demo: %s: %w", entry.Name(), err)
		}
		all = append(all, r)
	}
	return all, nil
}

func read(name string) (Rig, error) {
	b, err := files.ReadFile(name)
	if err != nil {
		return Rig{}, err
	}
	var r Rig
	return r, json.Unmarshal(b, &r, json.RejectUnknownMembers(true))
}

// ready is the rig that may leave, and has records.
const ready = "ready"

// Fill keeps the rigs of the demo, each with its usual trip, and the records of
// the ready one, through the API that h serves. The records lie a day before now.
func Fill(ctx context.Context, h http.Handler, now time.Time) error {
	all, err := Rigs()
	if err != nil {
		return err
	}
	f := filler{h, now.Truncate(time.Minute)}
	for _, r := range all {
		trip := map[string]jsontext.Value{}
		if err := json.Unmarshal(r.Trip, &trip); err != nil {
			return fmt.Errorf("demo: %s: %w", r.ID, err)
		}
		trip["rig"] = jsontext.Value(strconv.Quote(r.ID))
		if err := f.post(ctx, "/v1/rigs", map[string]any{"id": r.ID, "rig": r.Rig}); err != nil {
			return err
		}
		if err := f.post(ctx, "/v1/trips", map[string]any{"id": r.ID, "trip": trip}); err != nil {
			return err
		}
		if r.ID == ready {
			if err := f.fillRecords(ctx, r); err != nil {
				return err
			}
		}
	}
	return nil
}

// filler talks to the API.
type filler struct {
	h   http.Handler
	now time.Time
}

func (f filler) post(ctx context.Context, path string, body any) error {
	_, err := f.send(ctx, path, body, http.StatusCreated)
	return err
}

// send posts a body and returns the answer, which must have the status.
func (f filler) send(ctx context.Context, path string, body any, status int) ([]byte, error) {
	b, err := json.Marshal(body, json.Deterministic(true))
	if err != nil {
		return nil, fmt.Errorf("demo: %w", err)
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://localhost"+path, bytes.NewReader(b))
	if err != nil {
		return nil, fmt.Errorf("demo: %w", err)
	}
	r.Header.Set("Content-Type", "application/json")
	a := answer{header: http.Header{}}
	f.h.ServeHTTP(&a, r)
	if a.status != status {
		return nil, fmt.Errorf("demo: %s answered %d: %s", path, a.status, &a.body)
	}
	return a.body.Bytes(), nil
}

// answer takes down what the API says.
type answer struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (a *answer) Header() http.Header         { return a.header }
func (a *answer) WriteHeader(status int)      { a.status = status }
func (a *answer) Write(b []byte) (int, error) { return a.body.Write(b) }
