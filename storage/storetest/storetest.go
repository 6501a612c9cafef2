// Package storetest is the suite that every storage.Store passes.
package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"pintail/storage"
)

// Place is somewhere a store keeps its data. Open opens the store there, the
// same data each time; the suite closes what it opens.
type Place interface {
	Open(tb testing.TB) storage.Store
}

// Run runs the suite, each test in a fresh place.
func Run(t *testing.T, fresh func(tb testing.TB) Place) {
	for name, test := range map[string]func(*testing.T, Place){
		"Empty":               empty,
		"Put":                 putRig,
		"Replace":             replace,
		"Unchanged":           unchanged,
		"ByteForByte":         byteForByte,
		"ListOrder":           listOrder,
		"Invalid":             invalid,
		"Reopen":              reopen,
		"SecondHandle":        secondHandle,
		"WritersAtOnce":       writersAtOnce,
		"ReadsAreWhole":       readsAreWhole,
		"CancelledBeforehand": cancelled,
		"Closed":              closed,
	} {
		t.Run(name, func(t *testing.T) { test(t, fresh(t)) })
	}
	for name, test := range journalTests {
		t.Run(name, func(t *testing.T) { test(t, fresh(t)) })
	}
}

// Noon is the time of the suite's server. later is an hour after it.
var (
	Noon  = time.Date(2026, 11, 24, 12, 0, 0, 123_456_789, time.FixedZone("", -5*3600))
	later = Noon.Add(time.Hour)
)

func draft(id string) storage.Draft {
	return storage.Draft{ID: id, Name: "Rig " + id, Document: []byte(`{"name":"` + id + `"}`), Trip: []byte(`{}`)}
}

func open(t *testing.T, p Place) storage.Store {
	t.Helper()
	s := p.Open(t)
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Errorf("Close: %v", err)
		}
	})
	return s
}

func mustPut(t *testing.T, s storage.Store, d storage.Draft, at time.Time) storage.Rig {
	t.Helper()
	r, err := s.PutRig(t.Context(), d, at)
	if err != nil {
		t.Fatalf("PutRig: %v", err)
	}
	return r
}

func mustFind(t *testing.T, s storage.Store, id string) storage.Rig {
	t.Helper()
	r, found, err := s.Rig(t.Context(), id)
	if err != nil || !found {
		t.Fatalf("Rig(%q): found %v, error %v", id, found, err)
	}
	return r
}

func same(t *testing.T, got, want storage.Rig) {
	t.Helper()
	if !got.Draft.Equal(want.Draft) || !got.Created.Equal(want.Created) || !got.Updated.Equal(want.Updated) || got.Revision != want.Revision {
		t.Fatalf("got  %+v\nwant %+v", got, want)
	}
}

func empty(t *testing.T, p Place) {
	s := open(t, p)
	if err := s.Ready(t.Context()); err != nil {
		t.Fatalf("Ready: %v", err)
	}
	if all, err := s.Rigs(t.Context()); err != nil || len(all) != 0 {
		t.Fatalf("Rigs: %v, %v", all, err)
	}
	if _, found, err := s.Rig(t.Context(), "none"); err != nil || found {
		t.Fatalf("Rig: found %v, %v", found, err)
	}
}

func putRig(t *testing.T, p Place) {
	s := open(t, p)
	r := mustPut(t, s, draft("a"), Noon)
	micro := Noon.UTC().Truncate(time.Microsecond)
	same(t, r, storage.Rig{Draft: draft("a"), Created: micro, Updated: micro, Revision: 1})
	if r.Created.Location() != time.UTC {
		t.Errorf("Created is in %v, want UTC", r.Created.Location())
	}
	same(t, mustFind(t, s, "a"), r)
}

func replace(t *testing.T, p Place) {
	s := open(t, p)
	first := mustPut(t, s, draft("a"), Noon)
	d := draft("a")
	d.Trip = []byte(`{"route":["OH"]}`)
	second := mustPut(t, s, d, later)
	same(t, second, storage.Rig{Draft: d, Created: first.Created, Updated: later.UTC().Truncate(time.Microsecond), Revision: 2})
	same(t, mustFind(t, s, "a"), second)
}

func unchanged(t *testing.T, p Place) {
	s := open(t, p)
	first := mustPut(t, s, draft("a"), Noon)
	same(t, mustPut(t, s, draft("a"), later), first)
	same(t, mustFind(t, s, "a"), first)
}

func byteForByte(t *testing.T, p Place) {
	s := open(t, p)
	d := draft("a")
	d.Name = "Übung \x00 ' \" 🚐"
	d.Document = []byte("{\n \"b\" : 1.50,\t\"a\":\"\\u00e9 🚐\" , \"n\":\"\\u0000\"}\r\n")
	mustPut(t, s, d, Noon)
	if got := mustFind(t, s, "a"); !got.Draft.Equal(d) {
		t.Fatalf("got %+v, want %+v", got.Draft, d)
	}
}

func listOrder(t *testing.T, p Place) {
	s := open(t, p)
	for _, d := range []storage.Draft{{ID: "c", Name: "B"}, {ID: "b", Name: "A"}, {ID: "a", Name: "B"}, {ID: "d", Name: ""}} {
		d.Document, d.Trip = []byte("{}"), []byte("{}")
		mustPut(t, s, d, Noon)
	}
	all, err := s.Rigs(t.Context())
	if got := fmt.Sprint(all); err != nil || got != "[{d  1} {b A 1} {a B 1} {c B 1}]" {
		t.Fatalf("Rigs: %s, %v", got, err)
	}
}

func invalid(t *testing.T, p Place) {
	s := open(t, p)
	with := func(change func(*storage.Draft)) storage.Draft {
		d := draft("a")
		change(&d)
		return d
	}
	for name, d := range map[string]storage.Draft{
		"NoID":         with(func(d *storage.Draft) { d.ID = "" }),
		"LongID":       with(func(d *storage.Draft) { d.ID = strings.Repeat("a", 65) }),
		"OddID":        with(func(d *storage.Draft) { d.ID = "a/b" }),
		"NameNotUTF8":  with(func(d *storage.Draft) { d.Name = "\xff" }),
		"NoDocument":   with(func(d *storage.Draft) { d.Document = nil }),
		"Truncated":    with(func(d *storage.Draft) { d.Document = []byte(`{"a":`) }),
		"Array":        with(func(d *storage.Draft) { d.Document = []byte(`[]`) }),
		"NotUTF8":      with(func(d *storage.Draft) { d.Document = []byte("{\"a\":\"\xff\"}") }),
		"TooLarge":     with(func(d *storage.Draft) { d.Document = []byte("{" + strings.Repeat(" ", storage.MaxDocument) + "}") }),
		"TripNoObject": with(func(d *storage.Draft) { d.Trip = []byte(`1`) }),
		"NoTrip":       with(func(d *storage.Draft) { d.Trip = nil }),
	} {
		_, err := s.PutRig(t.Context(), d, Noon)
		mustBe(t, name, err, storage.Invalid)
	}
	if all, err := s.Rigs(t.Context()); err != nil || len(all) != 0 {
		t.Fatalf("something was kept: %v, %v", all, err)
	}
}

func mustBe(t *testing.T, name string, err error, want storage.Reason) {
	t.Helper()
	if e := (*storage.Error)(nil); !errors.As(err, &e) || e.Reason != want {
		t.Errorf("%s: error %v, want reason %s", name, err, want)
	}
}

func reopen(t *testing.T, p Place) {
	s := p.Open(t)
	want := mustPut(t, s, draft("a"), Noon)
	if err := s.Close(); err != nil {
		t.Fatalf("Close: %v", err)
	}
	same(t, mustFind(t, open(t, p), "a"), want)
}

// secondHandle reads through another handle what the first has acknowledged but
// not yet closed: what a second process, or one after a crash, would see.
func secondHandle(t *testing.T, p Place) {
	first := open(t, p)
	second := open(t, p)
	for i := range 20 {
		want := mustPut(t, first, draft(fmt.Sprint("r", i)), Noon)
		same(t, mustFind(t, second, want.ID), want)
	}
}

func writersAtOnce(t *testing.T, p Place) {
	s := open(t, p)
	const writers, each = 8, 20
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			for i := range each {
				d := draft("shared")
				d.Name = fmt.Sprint(w, "-", i)
				if _, err := s.PutRig(t.Context(), d, Noon); err != nil {
					t.Errorf("PutRig: %v", err)
				}
			}
		})
	}
	wg.Wait()
	if got := mustFind(t, s, "shared"); got.Revision != writers*each {
		t.Fatalf("revision %d after %d changes", got.Revision, writers*each)
	}
}

// readsAreWhole reads while another writes name and document, always equal.
func readsAreWhole(t *testing.T, p Place) {
	s := open(t, p)
	write := func(i int) {
		n := fmt.Sprint(i)
		if _, err := s.PutRig(t.Context(), storage.Draft{ID: "a", Name: n, Document: []byte(`{"n":` + n + `}`), Trip: []byte("{}")}, Noon); err != nil {
			t.Errorf("PutRig: %v", err)
		}
	}
	write(0)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for i := range 50 {
			write(i)
		}
	}()
	for running := true; running; {
		select {
		case <-done:
			running = false
		default:
		}
		if r := mustFind(t, s, "a"); string(r.Document) != `{"n":`+r.Name+`}` {
			t.Fatalf("half a write was read: name %s, document %s", r.Name, r.Document)
		}
	}
}

func cancelled(t *testing.T, p Place) {
	s := open(t, p)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.PutRig(ctx, draft("a"), Noon); !errors.Is(err, context.Canceled) {
		t.Errorf("PutRig: %v, want the context's error", err)
	}
	if _, found, err := s.Rig(t.Context(), "a"); err != nil || found {
		t.Fatalf("found %v, %v after a cancelled write", found, err)
	}
	mustPut(t, s, draft("a"), Noon)
}

func closed(t *testing.T, p Place) {
	s := open(t, p)
	if err := s.Close(); err != nil {
		t.Fatalf("Close: %v", err)
	}
	_, putErr := s.PutRig(t.Context(), draft("a"), Noon)
	_, _, getErr := s.Rig(t.Context(), "a")
	_, listErr := s.Rigs(t.Context())
	for name, err := range map[string]error{"PutRig": putErr, "Rig": getErr, "Rigs": listErr, "Ready": s.Ready(t.Context())} {
		mustBe(t, name, err, storage.Closed)
	}
}
