// Slim takes out of a Go js/wasm program what only a traceback would print: the
// names of functions and the tables from program counters to files and lines.
// They are a sixth of the engine as it travels. What the runtime needs to walk and
// scan its stacks stays as it is; a panic in a slimmed program prints its message
// and no places.
//
// It also writes the program's code shorter, as shorten.go says: an eighth of the
// engine as it travels, and it runs the faster. What the code does stays the same.
//
// Usage: slim IN.wasm OUT.wasm
//
// The tables are laid out as debug/gosym and runtime/symtab.go describe for Go
// 1.20 and later. A program whose tables look otherwise is copied unchanged, and
// slim says so on standard error.
package main

import (
	"fmt"
	"os"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "usage: slim IN.wasm OUT.wasm")
		os.Exit(2)
	}
	if err := run(os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "slim:", err)
		os.Exit(1)
	}
}

func run(in, out string) error {
	program, err := os.ReadFile(in)
	if err != nil {
		return err
	}
	m, err := readMemory(program)
	if err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	if err := slim(m); err != nil {
		fmt.Fprintf(os.Stderr, "slim: %s: left as it is: %v\n", in, err)
		if program, err = os.ReadFile(in); err != nil {
			return err
		}
	}
	if shorter, err := shorten(program); err != nil {
		fmt.Fprintf(os.Stderr, "slim: %s: its code is left as it is: %v\n", in, err)
	} else {
		program = shorter
	}
	return os.WriteFile(out, program, 0o644)
}
