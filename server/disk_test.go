package server

import (
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"pintail/storage/sqlite/disktest"
)

// TestFailingDisk: while the disk keeps nothing, every change is answered with a
// problem that says so and none is kept, everything can still be read, and once
// there is room the same requests are taken.
func TestFailingDisk(t *testing.T) {
	disk := disktest.Use(t)
	l := newLab(t, true, withStore(mustStoreIn(t, filepath.Join(t.TempDir(), "pintail.db"))))
	tag := l.mustDo(t, 200, request{path: "/v1/rigs/kept"}).Header().Get("ETag")
	changes := []struct {
		name    string
		request request
		taken   int
	}{
		{"Entries", with("POST", "/v1/entries", `{"entries":[`+oldEntry(1, "rig/kept", "/towed/axles", "2", wall)+`]}`), 200},
		{"Post", with("POST", "/v1/rigs", `{"id":"new","rig":{"name":"New"}}`, "Idempotency-Key", "once"), 201},
		{"Put", with("PUT", "/v1/rigs/other", `{"rig":{"name":"Other"}}`, "If-None-Match", "*"), 201},
		{"Delete", with("DELETE", "/v1/trips/kept", "", "If-Match", l.mustDo(t, 200, request{path: "/v1/trips/kept"}).Header().Get("ETag")), 204},
		{"Erase", with("POST", "/v1/rigs/kept/erase", `{"path":"/name"}`), 200},
	}
	for _, fault := range []struct {
		name   string
		fault  disktest.Fault
		status int
		says   []string
	}{
		{"NoRoom", disktest.NoRoom, http.StatusInsufficientStorage, []string{"storage_full", "disk is full", "nothing of this request was kept"}},
		{"WriteError", disktest.WriteError, http.StatusInternalServerError, []string{"urn:problem-type:pintail:internal"}},
	} {
		for _, c := range changes {
			t.Run(fault.name+c.name, func(t *testing.T) {
				disk.Fail(fault.fault)
				defer disk.Mend()
				rec := l.do(t, c.request)
				if rec.Code != fault.status || disk.Failed() == 0 {
					t.Fatalf("%d after %d faults: %s", rec.Code, disk.Failed(), rec.Body)
				}
				for _, says := range fault.says {
					if !strings.Contains(rec.Body.String(), says) {
						t.Errorf("want %q in %s", says, rec.Body)
					}
				}
				if now := l.mustDo(t, 200, request{path: "/v1/rigs/kept"}).Header().Get("ETag"); now != tag {
					t.Errorf("the rig is %s, was %s", now, tag)
				}
				l.mustDo(t, 404, request{path: "/v1/rigs/new"})
				l.mustDo(t, 404, request{path: "/v1/rigs/other"})
				l.mustDo(t, 200, request{path: "/v1/trips/kept"})
			})
		}
	}
	for _, c := range changes {
		if rec := l.do(t, c.request); rec.Code != c.taken {
			t.Errorf("with room again %s is answered %d: %s", c.name, rec.Code, rec.Body)
		}
	}
	l.mustDo(t, 200, request{path: "/readyz"})
}

// TestFailingSync: after a sync that failed nobody knows what the disk holds. The
// server says that it is not ready and takes no more, until it is started again.
func TestFailingSync(t *testing.T) {
	disk := disktest.Use(t)
	l := newLab(t, true, withStore(mustStoreIn(t, filepath.Join(t.TempDir(), "pintail.db"))))
	offer := with("POST", "/v1/entries", `{"entries":[`+oldEntry(1, "rig/kept", "/towed/axles", "2", wall)+`]}`)
	disk.Fail(disktest.SyncError)
	l.mustDo(t, 500, offer)
	disk.Mend()
	l.mustDo(t, 500, offer)
	l.mustDo(t, 503, request{path: "/readyz"})
	l.mustDo(t, 200, request{path: "/v1/rigs/kept"})
	if log := l.log.String(); !strings.Contains(log, "check the disk, then start again") {
		t.Errorf("the log does not say what to do:\n%s", log)
	}
}
