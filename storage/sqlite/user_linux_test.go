package sqlite_test

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"pintail/storage"
	"pintail/storage/sqlite"
)

// TestOrdinaryUser runs as a user who may not write: the superuser that tests
// often run as may write everything.
func TestOrdinaryUser(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("needs to start a process as another user")
	}
	dir, err := os.MkdirTemp("/tmp", "pintail-test-") // t.TempDir is closed to other users
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	for _, d := range []string{dir, filepath.Join(dir, "closed")} {
		if err := errors.Join(os.MkdirAll(d, 0o755), os.Chmod(d, 0o755)); err != nil {
			t.Fatal(err)
		}
	}
	b, err := os.ReadFile(kept(t))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "closed", "pintail.db")
	if err := os.WriteFile(file, b, 0o644); err != nil {
		t.Fatal(err)
	}
	self, err := os.ReadFile("/proc/self/exe")
	if err != nil {
		t.Fatal(err)
	}
	exe := filepath.Join(dir, "test")
	if err := os.WriteFile(exe, self, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, open := range map[string]string{"OthersFile": file, "OthersDirectory": filepath.Join(dir, "closed", "new.db")} {
		c := exec.Command(exe, "-test.run", "^TestOpenFile$", "-test.v")
		c.Dir = dir
		c.Env = []string{"OPEN_FILE=" + open}
		c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		out, err := c.CombinedOutput()
		if err != nil || !strings.Contains(string(out), "reason read_only") {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
	}
}

// TestOpenFile is TestOrdinaryUser's other process.
func TestOpenFile(t *testing.T) {
	file := os.Getenv("OPEN_FILE")
	if file == "" {
		t.Skip("runs inside TestOrdinaryUser")
	}
	_, err := sqlite.Open(t.Context(), file, sqlite.Options{})
	if e := (*storage.Error)(nil); errors.As(err, &e) {
		t.Logf("reason %s: %v", e.Reason, e)
	}
}
