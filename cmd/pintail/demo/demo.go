// Package demo is an invented shop's three rigs: one is ready, one must not go,
// one has things to find out. No make, model or person in them exists.
package demo

import (
	"context"
	"embed"
	"fmt"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"pintail/storage"
)

//go:embed *.json
var files embed.FS

// rig is one file of the demo.
type rig struct {
	ID   string         `json:"id"`
	Name string         `json:"name"`
	Rig  jsontext.Value `json:"rig"`
	Trip jsontext.Value `json:"trip"`
}

// Rigs returns the rigs of the demo, by file name.
func Rigs() ([]storage.Draft, error) {
	entries, err := files.ReadDir(".")
	if err != nil {
		return nil, err
	}
	var all []storage.Draft
	for _, entry := range entries {
		d, err := read(entry.Name())
		if err != nil {
			return nil, fmt.Errorf("demo: %s: %w", entry.Name(), err)
		}
		all = append(all, d)
	}
	return all, nil
}

func read(name string) (storage.Draft, error) {
	b, err := files.ReadFile(name)
	if err != nil {
		return storage.Draft{}, err
	}
	var r rig
	if err := json.Unmarshal(b, &r, json.RejectUnknownMembers(true)); err != nil {
		return storage.Draft{}, err
	}
	d := storage.Draft{ID: r.ID, Name: r.Name, Document: r.Rig, Trip: r.Trip}
	return d, d.Valid()
}

// Fill puts the rigs of the demo into the store.
func Fill(ctx context.Context, s storage.Store, at time.Time) error {
	all, err := Rigs()
	if err != nil {
		return err
	}
	for _, d := range all {
		if _, err := s.PutRig(ctx, d, at); err != nil {
			return fmt.Errorf("demo: %s: %w", d.ID, err)
		}
	}
	return nil
}
