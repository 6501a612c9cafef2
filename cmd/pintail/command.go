package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"runtime"

	"pintail/api"
)

// Exit codes.
const (
	exitOK    = 0
	exitFault = 1 // it was tried and did not work, or the input has a problem
	exitUsage = 2 // it was asked wrongly
)

const usage = `Pintail: may this motorhome and towed car leave today, on this route?

  pintail serve [--demo] [--listen HOST:PORT] [--data FILE] [--host NAME]
        Serve the API and the app.
  pintail key add --role admin|editor|reader [--name TEXT] [--workspace ID] [--data FILE]
        Make a key and print it, once. From the first on, the server asks for one.
  pintail key list [--data FILE]
  pintail key revoke ID [--data FILE]
  pintail backup FILE [--overwrite] [--data FILE]
        Copy all that is kept to a new file, also while a server runs.
  pintail restore FILE [--replace] [--data FILE]
        Make a backup the data file. Stop the server first.
  pintail check [--data FILE]
        Say what is wrong with the data file, if anything.
  pintail run NAME < in.json
        Run one operation on standard input.
  pintail run NAME --example
        Print an input to start from.
  pintail run --list
        List the operations.
  pintail version
        Print the version.

Exit codes: 0 done, 1 not done or the input has a problem, 2 asked wrongly.
`

// Run runs one command to its end and returns its exit code. env gives the
// variables of the environment. It ends early, and in good order, with ctx.
func Run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer, env func(string) string) int {
	c := command{stdin: stdin, stdout: stdout, stderr: stderr, env: env}
	err := c.dispatch(ctx, args)
	var asked usageError
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(stdout, usage)
		return exitOK
	case errors.Is(err, errShown):
		return exitFault
	case errors.As(err, &asked):
		fmt.Fprintf(stderr, "pintail: %v\n\n%s", err, usage)
		return exitUsage
	}
	fmt.Fprintln(stderr, "pintail:", err)
	return exitFault
}

// command is what every command works with.
type command struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	env            func(string) string
}

// usageError is a command asked wrongly.
type usageError string

func (e usageError) Error() string { return string(e) }

// errShown ends a command that has said itself what is wrong.
var errShown = errors.New("shown")

func (c command) dispatch(ctx context.Context, args []string) error {
	if len(args) == 0 {
		return usageError("no command given")
	}
	switch name, rest := args[0], args[1:]; name {
	case "serve":
		return c.serve(ctx, rest)
	case "key":
		return c.key(ctx, rest)
	case "backup":
		return c.backup(ctx, rest)
	case "restore":
		return c.restore(ctx, rest)
	case "check":
		return c.check(ctx, rest)
	case "run":
		return c.run(rest)
	case "version":
		return c.version(rest)
	case "help", "-h", "--help":
		return flag.ErrHelp
	default:
		return usageError(fmt.Sprintf("there is no command %q", name))
	}
}

func (c command) version(args []string) error {
	if len(args) > 0 {
		return usageError("version takes no arguments")
	}
	_, err := fmt.Fprintf(c.stdout, "pintail %s, facts %s, %s %s/%s\n", api.EngineVersion, api.FactsVersion, runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}

// parse reads flags that may stand before and after the other arguments, and
// returns those.
func parse(f *flag.FlagSet, args []string) ([]string, error) {
	f.SetOutput(io.Discard)
	var rest []string
	for {
		if err := f.Parse(args); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				return nil, err
			}
			return nil, usageError(err.Error())
		}
		if f.NArg() == 0 {
			return rest, nil
		}
		rest = append(rest, f.Arg(0))
		args = f.Args()[1:]
	}
}
