// Package demo is an invented shop's three rigs: one is ready, one must not go,
// one has things to find out. No make, model or person in them exists.
package demo

import (
	"bytes"
	"context"
	"embed"
	"fmt"
	"net/http"
	"strconv"

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

// Fill keeps the rigs of the demo, each with its usual trip, through the API
// that h serves.
func Fill(ctx context.Context, h http.Handler) error {
	all, err := Rigs()
	if err != nil {
		return err
	}
	for _, r := range all {
		trip := map[string]jsontext.Value{}
		if err := json.Unmarshal(r.Trip, &trip); err != nil {
			return fmt.Errorf("demo: %s: %w", r.ID, err)
		}
		trip["rig"] = jsontext.Value(strconv.Quote(r.ID))
		if err := post(ctx, h, "/v1/rigs", map[string]any{"id": r.ID, "rig": r.Rig}); err != nil {
			return err
		}
		if err := post(ctx, h, "/v1/trips", map[string]any{"id": r.ID, "trip": trip}); err != nil {
			return err
		}
	}
	return nil
}

func post(ctx context.Context, h http.Handler, path string, body any) error {
	b, err := json.Marshal(body, json.Deterministic(true))
	if err != nil {
		return fmt.Errorf("demo: %w", err)
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://localhost"+path, bytes.NewReader(b))
	if err != nil {
		return fmt.Errorf("demo: %w", err)
	}
	r.Header.Set("Content-Type", "application/json")
	a := answer{header: http.Header{}}
	h.ServeHTTP(&a, r)
	if a.status != http.StatusCreated {
		return fmt.Errorf("demo: %s answered %d: %s", path, a.status, &a.body)
	}
	return nil
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
