package sqlite_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"pintail/storage"
	"pintail/storage/sqlite"
)

// schema1 is a copy of testdata/schema1.db, written by the code of schema 1: the
// three rigs of the demo, put on 2026-11-24 at 17:00:00.123456 UTC.
func schema1(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile("testdata/schema1.db")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "pintail.db")
	if err := os.WriteFile(file, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestOpenSchema1(t *testing.T) {
	file := schema1(t)
	if r := mustBeClean(t, file); r.Schema != 1 {
		t.Fatalf("schema %d before", r.Schema)
	}
	s := mustOpen(t, file)
	w := s.In(storage.Default)
	for _, id := range []string{"find-out", "must-not-go", "ready"} {
		r, found, err := s.Rig(t.Context(), id)
		if err != nil || !found || r.Revision != 1 {
			t.Fatalf("%s: found %v, %v", id, found, err)
		}
		rig, trip := document(t, w, "rig/"+id), document(t, w, "trip/"+id)
		if rig.Name != r.Name || !rig.Created.Equal(r.Created) || !rig.Updated.Equal(r.Updated) {
			t.Errorf("%s: %+v", id, rig)
		}
		sameJSON(t, "rig/"+id, rig.Value, r.Document, nil)
		sameJSON(t, "trip/"+id, trip.Value, r.Trip, map[string]any{"rig": id})
	}
	list, err := w.Documents(t.Context(), "rig", "", 10)
	if err != nil || len(list) != 3 || list[0].Name != "Brackwyn and Tuvvo" {
		t.Errorf("Documents: %+v, %v", list, err)
	}
	before, err := w.Since(t.Context(), 0, storage.MaxPage)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if r := mustBeClean(t, file); r.Schema != 2 || r.Documents != 6 {
		t.Errorf("after: %s", &r)
	}

	// Another copy moves to the same entries.
	again, err := mustOpen(t, schema1(t)).In(storage.Default).Since(t.Context(), 0, storage.MaxPage)
	if err != nil || !reflect.DeepEqual(again.Changes, before.Changes) {
		t.Errorf("two copies differ: %v", err)
	}
}

func document(t *testing.T, w storage.Workspace, doc string) storage.Document {
	t.Helper()
	d, found, err := w.Document(t.Context(), doc)
	if err != nil || !found {
		t.Fatalf("%s: found %v, %v", doc, found, err)
	}
	return d
}

func sameJSON(t *testing.T, name string, got, want []byte, more map[string]any) {
	t.Helper()
	var g, w map[string]any
	if err := json.Unmarshal(got, &g); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(want, &w); err != nil {
		t.Fatal(err)
	}
	for k, v := range more {
		w[k] = v
	}
	if !reflect.DeepEqual(g, w) {
		t.Errorf("%s:\ngot  %s\nwant %s", name, got, want)
	}
}

// TestMoveFails: a rig that the journal could not hold leaves the file as it was.
func TestMoveFails(t *testing.T) {
	file := schema1(t)
	raw(t, file, `UPDATE rig SET document = '{"a":{"0":1}}' WHERE id = 'ready'`)
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	_, err = sqlite.Open(t.Context(), file, sqlite.Options{})
	mustBe(t, err, storage.Invalid, "the rig ready of the older file cannot be moved into the journal: /a/0")
	if after, _ := os.ReadFile(file); !bytes.Equal(before, after) {
		t.Error("the file was changed")
	}
}
