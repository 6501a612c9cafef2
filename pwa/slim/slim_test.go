package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// worker is a program that leans on everything slim must leave whole: stacks
// that grow, a collector that scans them, goroutines, panics caught and not.
const worker = `package main

import (
	"errors"
	"fmt"
	"os"
	"runtime"
	"sync"
)

type tree struct{ left, right *tree }

func grow(depth int) *tree {
	var room [64]int
	room[depth%64] = depth
	if depth == 0 {
		return &tree{}
	}
	if depth%64 == 0 {
		runtime.GC()
	}
	return &tree{left: grow(depth - 1), right: &tree{}}
}

func (t *tree) count() int {
	if t == nil {
		return 0
	}
	return 1 + t.left.count() + t.right.count()
}

func caught() (err error) {
	defer func() { err = fmt.Errorf("caught: %v", recover()) }()
	var m map[string]int
	m["x"] = 1
	return errors.New("not reached")
}

func main() {
	var wg sync.WaitGroup
	counts := make([]int, 8)
	for i := range counts {
		wg.Go(func() { counts[i] = grow(1000 + i).count() })
	}
	wg.Wait()
	fmt.Println(counts, caught())
	if len(os.Args) > 1 {
		panic("as asked")
	}
}
`

func TestSlimProgramWorks(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs a program")
	}
	if _, err := exec.LookPath("node"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("node is missing")
		}
		t.Skip("node is missing")
	}
	dir := t.TempDir()
	source, whole, slimmed := filepath.Join(dir, "main.go"), filepath.Join(dir, "whole.wasm"), filepath.Join(dir, "slim.wasm")
	if err := os.WriteFile(source, []byte(worker), 0o644); err != nil {
		t.Fatal(err)
	}
	build := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", whole, source)
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if err := run(whole, slimmed); err != nil {
		t.Fatal(err)
	}
	before, after := mustRead(t, whole), mustRead(t, slimmed)
	if bytes.Equal(before, after) {
		t.Fatal("nothing was taken out")
	}
	if len(after) > len(before)*97/100 {
		t.Errorf("%d bytes became %d: the code is not shorter", len(before), len(after))
	}
	if name := []byte("main.(*tree).count"); !bytes.Contains(before, name) || bytes.Contains(after, name) {
		t.Error("the names of functions are still there")
	}
	want, _ := node(t, whole)
	got, err := node(t, slimmed)
	if got != want || err != nil || !strings.Contains(got, "caught: assignment to entry in nil map") {
		t.Errorf("%v\ngot  %s\nwant %s", err, got, want)
	}
	got, err = node(t, slimmed, "panic")
	if err == nil || !strings.Contains(got, "panic: as asked") {
		t.Errorf("a panic was not reported: %v\n%s", err, got)
	}
}

func TestOtherLayoutIsLeftAlone(t *testing.T) {
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.wasm"), filepath.Join(dir, "out.wasm")
	// One data segment at address 0 with four bytes.
	program := []byte("\x00asm\x01\x00\x00\x00\x0b\x0a\x01\x00\x41\x00\x0b\x04abcd")
	if err := os.WriteFile(in, program, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := run(in, out); err != nil {
		t.Fatal(err)
	}
	if got := mustRead(t, out); !bytes.Equal(got, program) {
		t.Errorf("changed to %q", got)
	}
	for _, bad := range []string{"", "MZ", "\x00asm\x01\x00\x00\x00", "\x00asm\x01\x00\x00\x00\x0b\x7f\x01"} {
		if err := os.WriteFile(in, []byte(bad), 0o644); err != nil {
			t.Fatal(err)
		}
		if run(in, out) == nil {
			t.Errorf("%q was taken for a program", bad)
		}
	}
}

func mustRead(tb testing.TB, file string) []byte {
	tb.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

func node(tb testing.TB, program string, args ...string) (string, error) {
	tb.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		tb.Fatal(err)
	}
	lib := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm")
	out, err := exec.Command("node", append([]string{"--stack-size=8192", filepath.Join(lib, "wasm_exec_node.js"), program}, args...)...).CombinedOutput()
	return string(out), err
}
