//go:build !js

package api_test

import (
	"os"
	"os/exec"
	"testing"
)

// TestCoreUnderWasm runs the core's own tests where the browser runs the core.
// Tests that start programs or read the contract are not built there.
func TestCoreUnderWasm(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs every test of the core once more")
	}
	needNode(t)
	cmd := exec.Command("go", "test", "-count=1", "-short", "-exec", wasmRunner(t), "./api/...")
	cmd.Dir = ".."
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := cmd.CombinedOutput()
	t.Logf("%s", out)
	if err != nil {
		t.Error(err)
	}
}
