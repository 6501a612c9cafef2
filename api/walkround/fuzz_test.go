package walkround

import (
	"testing"

	"pintail/api/strictjson"
)

// FuzzList: whatever the bytes, an input is refused or gives a list that can be
// written.
func FuzzList(f *testing.F) {
	for _, seed := range []string{
		`{}`, `{"rig":{}}`, `{"rig":{},"list":"hook_up"}`, `{"rig":{},"list":"unhook"}`, `{"rig":{},"list":"Hook_Up"}`,
		`{"rig":{"manual":{"steps":{"a":{"phase":"unhook","text":"{words} {","tag":"power_back"}}}},"list":"unhook"}`,
		`{"rig":{"coupling":{"parts":{"a":{"kind":"receiver","pins":-1}}}},"list":"stop_check"}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var in Input
		if strictjson.Unmarshal(b, &in) != nil || in.Validate() != nil {
			return
		}
		if _, err := strictjson.Marshal(Make(in)); err != nil {
			t.Fatal(err)
		}
	})
}

func TestValidate(t *testing.T) {
	for body, pointer := range map[string]string{
		`{"list":"hook_up"}`:                "/rig",
		`{"rig":{}}`:                        "/list",
		`{"rig":{},"list":"departure"}`:     "/list",
		`{"rig":{"stopping":{"on":"now"}}}`: "/rig/stopping/on",
	} {
		var in Input
		if err := strictjson.Unmarshal([]byte(body), &in); err != nil {
			t.Fatal(err)
		}
		if err := in.Validate(); err == nil || err.Problems[0].Pointer != pointer {
			t.Errorf("%s: %v, want a problem at %s", body, err, pointer)
		}
	}
}
