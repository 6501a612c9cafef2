package storage_test

import (
	"strings"
	"testing"

	"pintail/storage"
)

func TestDoc(t *testing.T) {
	for doc, want := range map[string]bool{
		"rig/a": true, "rig/0192f0c1-aaaa": true, "rig/1": false, "rig/a.b": false, "rig/": false, "rig": false, "Rig/a": false, "rig/a/b": false,
		"rule/US-VA.brakes.1": true, "rule/CA-AB.brakes_share.ours": true, "rule/a": true,
		"rule/.": false, "rule/..": false, "rule/US-VA..1": false, "rule/.a": false, "rule/a.": false, "rule/1.2": false, "rule/": false, "rule/a/b": false,
		"rule/" + strings.Repeat("a.", 31) + "aa": true, "rule/" + strings.Repeat("a.", 32) + "a": false,
	} {
		kind, id, ok := storage.Doc(doc)
		if ok != want || ok && kind+"/"+id != doc || !ok && kind+id != "" {
			t.Errorf("%s: %q %q %v, want %v", doc, kind, id, ok, want)
		}
	}
}
