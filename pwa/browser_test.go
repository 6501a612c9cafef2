package pwa_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TestBrowser drives the app in Chromium against the real server, as a person
// would: test/browser.mjs says what each scenario holds. PINTAIL_SCREENSHOTS
// names a folder to keep the pictures in.
func TestBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("drives a browser")
	}
	needBuilt(t)
	needNode(t)
	chromium := needChromium(t)

	program := filepath.Join(t.TempDir(), "pintail")
	if out, err := exec.Command("go", "build", "-o", program, "../cmd/pintail").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	pictures := os.Getenv("PINTAIL_SCREENSHOTS")
	if pictures == "" {
		pictures = t.TempDir()
	}
	for _, scenario := range []string{
		"offline", "listenerGone", "badRig", "keyboard", "access", "narrow", "refusedStorage", "noEngine", "noWords", "update",
		"walkRound", "repaired", "walkUnkept", "walkKeyboard", "walkAccess", "walkNarrow", "trouble",
		"rulesRead", "rulesEdit", "rulesMany", "rulesAccess", "rulesPrint", "rulesKeyboard", "rulesApart",
		"rigFromNothing", "carry", "twoTabs", "rigAccess",
		"removal", "twoPhones", "noRoom", "evicted", "wakeLock", "wakeLockHidden",
		"brakes", "brakesAccess", "brakesOnTrip", "setUpTests",
		"recordPhotos", "recordRemoval", "pagePhoto",
		"keyed", "units", "forced", "rigDesk", "wiring", "speed",
		"lamps", "lampsInHookUp", "lampsTogether", "lampsAccess", "lampsKeyboard", "lampsBench", "survey",
	} {
		t.Run(scenario, func(t *testing.T) {
			t.Parallel() // a scenario waits more than it works
			var out bytes.Buffer
			cmd := exec.Command("node", "test/browser.mjs", program, scenario, pictures)
			cmd.Env = append(os.Environ(), "CHROMIUM="+chromium)
			cmd.Stdout, cmd.Stderr = &out, &out
			if err := cmd.Run(); err != nil {
				t.Errorf("%v\n%s", err, &out)
			}
		})
	}
}

func needChromium(tb testing.TB) string {
	tb.Helper()
	path, err := exec.LookPath("chromium")
	need(tb, err == nil, "chromium is not installed")
	return path
}
