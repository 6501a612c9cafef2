// Package storetest is the suite that every storage.Store passes.
package storetest

import (
	"errors"
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
	for name, test := range tests {
		t.Run(name, func(t *testing.T) { test(t, fresh(t)) })
	}
}

// tests are the suite, by name.
var tests = map[string]func(*testing.T, Place){
	"Fresh":               untouched,
	"Append":              appends,
	"AppendRefuses":       appendRefuses,
	"IDOnceInWorkspace":   idOnce,
	"Pages":               pages,
	"LargePages":          largePages,
	"Documents":           documents,
	"VersionsFold":        versionsFold,
	"Write":               write,
	"WriteIfVersion":      writeIfVersion,
	"Times":               times,
	"AsWritten":           asWritten,
	"WriteAllOrNothing":   writeAllOrNothing,
	"ManyAtOnce":          manyAtOnce,
	"ManyOrNone":          manyOrNone,
	"Values":              values,
	"StalePutWipesNoLeaf": stalePut,
	"ClockSetBack":        clockSetBack,
	"ClockCannotCreep":    clockCreep,
	"Once":                once,
	"Erase":               erase,
	"EraseLeavesTheRest":  eraseLeaves,
	"Keys":                keys,
	"Workspaces":          workspaces,
	"Isolation":           isolation,
	"Reopen":              reopen,
	"TwoHandlesOneDoc":    twoHandles,
	"AppendsAtOnce":       appendsAtOnce,
	"WritersAtOnce":       writersAtOnce,
	"ReadsAreWhole":       readsAreWhole,
	"OneFailsAlone":       oneFailsAlone,
	"ReadersNeverSkip":    readersNeverSkip,
	"Cancelled":           cancelled,
	"Closed":              closed,
}

// Noon is the time of the suite's server. later is an hour after it.
var (
	Noon  = time.Date(2026, 11, 24, 12, 0, 0, 123_456_789, time.FixedZone("", -5*3600))
	later = Noon.Add(time.Hour)
)

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

func mustBe(t *testing.T, name string, err error, want storage.Reason) {
	t.Helper()
	if e := (*storage.Error)(nil); !errors.As(err, &e) || e.Reason != want {
		t.Errorf("%s: error %v, want reason %s", name, err, want)
	}
}
