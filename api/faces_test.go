//go:build !js

package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"pintail/api"
)

// The same input gives the same bytes wherever the core runs: on another level
// of the same processor, in WebAssembly, in the browser's engine and on the
// command line. Processors and wasm differ in the last digits of arithmetic, so
// this is what holds "one place rounds" to its promise.
//
// hostile inputs are asked as well: a refusal is the same everywhere, too.

func TestSameBytesOnAMD64v3(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("GOAMD64=v3 is for amd64")
	}
	program := mustBuild(t, "./api/testdata/replay", "replay", "GOAMD64=v3")
	sameBytes(t, func(in []byte) ([]byte, string, error) { return pipe(in, program) })
}

func TestSameBytesOnWasm(t *testing.T) {
	needNode(t)
	program := mustBuild(t, "./api/testdata/replay", "replay.wasm", "GOOS=js", "GOARCH=wasm")
	run := wasmRunner(t)
	sameBytes(t, func(in []byte) ([]byte, string, error) { return pipe(in, run, program) })
}

// TestSameBytesOnCommandLine runs `pintail run` once an ask; a refusal is
// problem details on standard output and a failing exit.
func TestSameBytesOnCommandLine(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs programs")
	}
	program := mustBuild(t, "./cmd/pintail", "pintail")
	for _, a := range asks(t) {
		t.Run(a.name, func(t *testing.T) {
			want, problem := api.Run(a.Operation, a.Input)
			if problem != nil {
				want = problem.JSON()
			}
			cmd := exec.Command(program, "run", a.Operation)
			cmd.Stdin = bytes.NewReader(a.Input)
			var stderr bytes.Buffer
			cmd.Stderr = &stderr
			got, err := cmd.Output()
			if (err == nil) != (problem == nil) {
				t.Errorf("exit: %v\n%s", err, &stderr)
			}
			if !bytes.Equal(bytes.TrimSuffix(got, []byte("\n")), want) {
				t.Errorf("%s\n%s", firstDifference(bytes.TrimSuffix(got, []byte("\n")), want), &stderr)
			}
		})
	}
}

// asks are the examples of the contract, the golden trips, and bad input of
// each kind.
func asks(tb testing.TB) []ask {
	tb.Helper()
	all := append(mustExamples(tb), mustTrips(tb)...)
	for _, h := range hostile {
		all = append(all, ask{Operation: "coupling/check", Input: json.RawMessage(h.in), name: "bad/" + h.name})
	}
	return all
}

// sameBytes asks everything in one run of another program and compares line by
// line.
func sameBytes(t *testing.T, run func([]byte) (stdout []byte, stderr string, err error)) {
	t.Helper()
	var all []ask
	var in bytes.Buffer
	for _, a := range asks(t) {
		if !json.Valid(a.Input) {
			continue // one line a question needs JSON in it; the command line tries the others
		}
		line, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, a)
		in.Write(append(line, '\n'))
	}
	out, stderr, err := run(in.Bytes())
	if err != nil {
		if strings.Contains(stderr, "microarchitecture support") {
			t.Skip("this processor is no GOAMD64=v3")
		}
		t.Fatalf("%v\n%s", err, stderr)
	}
	lines := bytes.Split(bytes.TrimSuffix(out, []byte("\n")), []byte("\n"))
	if len(lines) != len(all) {
		t.Fatalf("%d answers to %d questions", len(lines), len(all))
	}
	for i, a := range all {
		want, problem := api.Run(a.Operation, a.Input)
		if problem != nil {
			want = problem.JSON()
		}
		if !bytes.Equal(lines[i], want) {
			t.Errorf("%s: %s", a.name, firstDifference(lines[i], want))
		}
	}
	t.Logf("%d answers", len(all))
}

// firstDifference shows where two answers part.
func firstDifference(got, want []byte) string {
	n := 0
	for n < len(got) && n < len(want) && got[n] == want[n] {
		n++
	}
	from := max(0, n-60)
	return fmt.Sprintf("from byte %d on\ngot  …%.200s\nwant …%.200s", n, got[from:], want[from:])
}

func pipe(in []byte, program string, args ...string) ([]byte, string, error) {
	cmd := exec.Command(program, args...)
	cmd.Stdin = bytes.NewReader(in)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	return out, stderr.String(), err
}

func mustBuild(t *testing.T, dir, name string, env ...string) string {
	t.Helper()
	if testing.Short() {
		t.Skip("builds and runs programs")
	}
	program := filepath.Join(t.TempDir(), name)
	cmd := exec.Command("go", "build", "-o", program, dir)
	cmd.Dir = ".."
	cmd.Env = append(os.Environ(), env...)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("go build %s: %v\n%s", dir, err, out)
	}
	return program
}

// needNode skips a test where there is no Node to run WebAssembly on; in CI
// that is a failure.
func needNode(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("CI=true and no node")
		}
		t.Skip("no node to run WebAssembly on")
	}
}

// wasmRunner is the compiler's own program that runs WebAssembly on Node.
func wasmRunner(t *testing.T) string {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec")
}
