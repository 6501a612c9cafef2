package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"

	"pintail"
	"pintail/api"
)

// run is `pintail run`: the command line's face of THE TABLE. The answer, or
// the problem, goes to standard output with a line end after it, otherwise byte
// for byte as over HTTP; a problem ends with exit code 1.
func (c command) run(args []string) error {
	f := flag.NewFlagSet("run", flag.ContinueOnError)
	list := f.Bool("list", false, "")
	example := f.Bool("example", false, "")
	names, err := parse(f, args)
	switch {
	case err != nil:
		return err
	case *list && (*example || len(names) > 0):
		return usageError("run --list takes nothing else")
	case *list:
		return c.list()
	case len(names) == 0:
		return usageError("run which operation? `pintail run --list` names them")
	case len(names) > 1:
		return usageError("run takes one operation; its input comes from standard input")
	case *example:
		return c.example(names[0])
	}
	return c.operate(names[0])
}

func (c command) list() error {
	for _, o := range api.Operations() {
		if _, err := fmt.Fprintln(c.stdout, o.Name); err != nil {
			return err
		}
	}
	return nil
}

func (c command) example(name string) error {
	b, err := firstExample(pintail.Contract(), name)
	if err != nil {
		return err
	}
	return c.print(b)
}

func (c command) operate(name string) error {
	// One byte more than an operation takes, so that it says itself that the
	// input is too large.
	in, err := io.ReadAll(io.LimitReader(c.stdin, api.MaxBulk+1))
	if err != nil {
		return fmt.Errorf("standard input: %w", err)
	}
	out, problem := api.Run(name, in)
	if problem == nil {
		return c.print(out)
	}
	if err := c.print(problem.JSON()); err != nil {
		return err
	}
	return errShown
}

// print writes b and a line end.
func (c command) print(b []byte) error {
	_, err := c.stdout.Write(append(bytes.TrimRight(b, "\n"), '\n'))
	return err
}
