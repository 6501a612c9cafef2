package main

import (
	"context"
	"crypto/rand"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"

	"pintail"
	"pintail/cmd/pintail/demo"
	"pintail/pwa"
	"pintail/server"
	"pintail/storage/sqlite"
)

// defaultListen is where the server is found unless told otherwise. It stays the
// same from run to run: an installed app belongs to its address.
const defaultListen = "127.0.0.1:8377"

// requestTimeout bounds what one request may wait for.
const requestTimeout = 15 * time.Second

// serveFlags are what `pintail serve` is told.
type serveFlags struct {
	demo         bool
	listen, data string
	hosts        names
}

// names is a flag that may be given several times.
type names []string

func (n *names) String() string { return strings.Join(*n, ",") }

// Set is part of flag.Value.
func (n *names) Set(s string) error {
	*n = append(*n, s)
	return nil
}

// serve is `pintail serve`. It ends with ctx, after running requests.
func (c command) serve(ctx context.Context, args []string) error {
	flags, err := parseServe(args)
	if err != nil {
		return err
	}
	address, err := parseAddress(ctx, flags.listen)
	if err != nil {
		return err
	}
	file, remove, err := c.dataFile(flags)
	if err != nil {
		return err
	}
	defer remove()
	store, err := sqlite.Open(ctx, file, sqlite.Options{})
	if err != nil {
		return err
	}
	if err = checkLocked(ctx, store, address); err == nil {
		err = c.answer(ctx, address, store, flags)
	}
	return errors.Join(err, store.Close())
}

func parseServe(args []string) (serveFlags, error) {
	flags := serveFlags{}
	f := flag.NewFlagSet("serve", flag.ContinueOnError)
	f.BoolVar(&flags.demo, "demo", false, "")
	f.StringVar(&flags.listen, "listen", defaultListen, "")
	f.StringVar(&flags.data, "data", "", "")
	f.Var(&flags.hosts, "host", "")
	rest, err := parse(f, args)
	switch {
	case err != nil:
		return flags, err
	case len(rest) > 0:
		return flags, usageError(fmt.Sprintf("serve does not take %q", rest[0]))
	case flags.demo && flags.data != "":
		return flags, usageError("--demo keeps its invented rigs in a file of its own; leave --data out")
	}
	return flags, nil
}

// address is where to listen.
type address struct{ host, port string }

func (a address) String() string { return net.JoinHostPort(a.host, a.port) }

// loopback reports whether only this machine can reach the address.
func (a address) loopback() bool {
	ip := net.ParseIP(a.host)
	return ip != nil && ip.IsLoopback()
}

func parseAddress(ctx context.Context, listen string) (address, error) {
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return address{}, usageError(fmt.Sprintf("--listen %q is not HOST:PORT", listen))
	}
	if _, err := net.DefaultResolver.LookupPort(ctx, "tcp", port); err != nil {
		return address{}, usageError(fmt.Sprintf("--listen %q: %q is not a port", listen, port))
	}
	if host == "localhost" {
		host = "127.0.0.1"
	}
	return address{host, port}, nil
}

// checkLocked refuses an address that others can reach while no key exists:
// until then, whoever reaches the server may do everything.
func checkLocked(ctx context.Context, store *sqlite.Store, a address) error {
	if a.loopback() {
		return nil
	}
	locked, err := store.AnyKey(ctx)
	if err == nil && !locked {
		err = usageError(fmt.Sprintf("--listen %s: no key exists yet, so it listens on this machine only, such as %s; make a key first with `pintail key add --role admin`", a, defaultListen))
	}
	return err
}

// dataFile is the file of the rigs, and how to take it away at the end.
func (c command) dataFile(flags serveFlags) (file string, remove func(), err error) {
	keep := func() {}
	if flags.demo {
		dir, err := os.MkdirTemp("", "pintail-demo-")
		if err != nil {
			return "", keep, fmt.Errorf("no place for the demo: %w", err)
		}
		return filepath.Join(dir, "demo.db"), func() { os.RemoveAll(dir) }, nil
	}
	file, err = c.fileOr(flags.data)
	return file, keep, err
}

func (c command) answer(ctx context.Context, at address, store *sqlite.Store, flags serveFlags) error {
	log := slog.New(slog.NewTextHandler(c.stderr, nil))
	metrics := prometheus.NewRegistry()
	metrics.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	handler, err := server.New(server.Config{
		Contract: pintail.Contract(), App: pwa.App(), Store: store, Log: log, Metrics: metrics,
		Now: time.Now, NewID: rand.Text, Hosts: flags.hosts, RequestTimeout: requestTimeout,
	})
	if err != nil {
		return err
	}
	if flags.demo {
		if err := demo.Fill(ctx, handler, time.Now()); err != nil {
			return err
		}
	}
	l, err := (&net.ListenConfig{}).Listen(ctx, "tcp", at.String())
	if errors.Is(err, syscall.EADDRINUSE) {
		return fmt.Errorf("%s is taken by another program, perhaps by another pintail; choose another address with --listen HOST:PORT", at)
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "Pintail is at http://%s\n", l.Addr())
	if locked, err := store.AnyKey(ctx); err == nil && !locked && len(flags.hosts) > 0 {
		fmt.Fprintf(c.stderr, "No key exists yet: under %s nothing that is kept is answered. Make one with `pintail key add --role admin`.\n", &flags.hosts)
	}
	if flags.demo {
		fmt.Fprintln(c.stdout, "Demo: an invented shop's three rigs, forgotten when this ends.")
	}
	return server.Serve(ctx, l, handler, log)
}
