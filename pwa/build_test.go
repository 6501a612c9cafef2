package pwa_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"pintail/pwa"
)

// need skips the test with the reason when what it tests is not here; under
// CI=true everything must be here, and it fails.
func need(tb testing.TB, present bool, reason string) {
	tb.Helper()
	if present {
		return
	}
	if os.Getenv("CI") == "true" {
		tb.Fatal(reason)
	}
	tb.Skip(reason)
}

// needBuilt skips or fails without the app that go generate builds.
func needBuilt(tb testing.TB) {
	tb.Helper()
	f, err := pwa.App().Open("index.html")
	if err == nil {
		f.Close()
	}
	need(tb, err == nil, "the app is not built: go generate ./pwa")
}

func needNode(tb testing.TB) {
	tb.Helper()
	_, err := exec.LookPath("node")
	need(tb, err == nil, "node is not installed")
	_, err = os.Stat(filepath.Join("node_modules", "typescript"))
	need(tb, err == nil, "the app's packages are not installed: go generate ./pwa")
}

// mustNPM runs one of the scripts of package.json.
func mustNPM(t *testing.T, script string) {
	t.Helper()
	if testing.Short() {
		t.Skip("runs npm")
	}
	var out bytes.Buffer
	cmd := exec.Command("npm", "run", "--silent", script)
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Run(); err != nil {
		t.Errorf("npm run %s: %v\n%s", script, err, &out)
	}
}

// Page, worker and service worker are three compilations; one script checks all.
func TestTypes(t *testing.T) {
	needNode(t)
	mustNPM(t, "check")
}

func TestTypeScript(t *testing.T) {
	needNode(t)
	mustNPM(t, "test")
}

// The lock file names no host: packages come from wherever npm is told to look.
func TestLockFileNamesNoHost(t *testing.T) {
	b, err := os.ReadFile("package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(b), `"resolved"`) {
		t.Error("package-lock.json has resolved addresses; .npmrc leaves them out, so write it with npm install in this folder")
	}
}
