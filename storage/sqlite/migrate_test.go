package sqlite_test

import (
	"bytes"
	"database/sql"
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
	old := oldRigs(t, file)
	if len(old) != 3 {
		t.Fatalf("%d rigs before", len(old))
	}
	s := mustOpen(t, file)
	w := s.In(storage.Default)
	for _, r := range old {
		rig, trip := document(t, w, "rig/"+r.id), document(t, w, "trip/"+r.id)
		if rig.Name != r.name || rig.Created.UnixMicro() != r.created || rig.Updated.UnixMicro() != r.updated {
			t.Errorf("%s: %+v", r.id, rig)
		}
		sameJSON(t, "rig/"+r.id, rig.Value, r.document, nil)
		sameJSON(t, "trip/"+r.id, trip.Value, r.trip, map[string]any{"rig": r.id})
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
	if r := mustBeClean(t, file); r.Schema != 3 || r.Documents != 6 {
		t.Errorf("after: %s", &r)
	}
	if hasRigs(t, file) {
		t.Error("the table of schema 1 is still there")
	}

	// Another copy moves to the same entries.
	again, err := mustOpen(t, schema1(t)).In(storage.Default).Since(t.Context(), 0, storage.MaxPage)
	if err != nil || !reflect.DeepEqual(again.Changes, before.Changes) {
		t.Errorf("two copies differ: %v", err)
	}
}

// TestOpenSchema2: a file of schema 2 still has the table of schema 1 beside the
// journal. The table goes, the journal stays.
func TestOpenSchema2(t *testing.T) {
	file := filled(t)
	rigs, err := os.ReadFile("migrations/0001_rigs.sql")
	if err != nil {
		t.Fatal(err)
	}
	raw(t, file, string(rigs), `INSERT INTO rig VALUES ('r1', 'moved before', '{}', '{}', 0, 0, 1)`, "PRAGMA user_version = 2")
	before := mustBeClean(t, file)
	if err := mustOpen(t, file).Close(); err != nil {
		t.Fatal(err)
	}
	after := mustBeClean(t, file)
	if before.Schema != 2 || after.Schema != 3 || after.Entries != before.Entries || after.Documents != before.Documents {
		t.Errorf("before %safter %s", &before, &after)
	}
	if hasRigs(t, file) {
		t.Error("the table of schema 1 is still there")
	}
	if b, err := os.ReadFile(file); err != nil || bytes.Contains(b, []byte("moved before")) {
		t.Errorf("the rig of schema 1 is still in the file: %v", err)
	}
}

// oldRig is a row of schema 1.
type oldRig struct {
	id, name         string
	document, trip   []byte
	created, updated int64
}

// oldRigs reads the rigs of a file of schema 1 with the driver alone.
func oldRigs(t *testing.T, file string) (all []oldRig) {
	t.Helper()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rows, err := db.Query("SELECT id, name, document, trip, created_us, updated_us FROM rig")
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var r oldRig
		if err := rows.Scan(&r.id, &r.name, &r.document, &r.trip, &r.created, &r.updated); err != nil {
			t.Fatal(err)
		}
		all = append(all, r)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return all
}

// hasRigs reports whether the file has the table of schema 1.
func hasRigs(t *testing.T, file string) (found bool) {
	t.Helper()
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.QueryRow("SELECT EXISTS (SELECT 1 FROM sqlite_schema WHERE name = 'rig')").Scan(&found); err != nil {
		t.Fatal(err)
	}
	return found
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
