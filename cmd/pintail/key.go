package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"text/tabwriter"
	"time"
	"unicode"

	"pintail/server/bearer"
	"pintail/storage"
	"pintail/storage/sqlite"
)

// key is `pintail key`: it works on the file, beside a running server or without
// one.
func (c command) key(ctx context.Context, args []string) error {
	if len(args) == 0 {
		return usageError("key what? add, list or revoke")
	}
	switch name, rest := args[0], args[1:]; name {
	case "add":
		return c.addKey(ctx, rest)
	case "list":
		return c.listKeys(ctx, rest)
	case "revoke":
		return c.revokeKey(ctx, rest)
	case "-h", "--help":
		return flag.ErrHelp
	default:
		return usageError(fmt.Sprintf("key does not know %q; it knows add, list and revoke", name))
	}
}

// addKey makes a key and prints it, the only time that it is seen. It makes the
// workspace where there is none of this name.
func (c command) addKey(ctx context.Context, args []string) error {
	f := flag.NewFlagSet("key add", flag.ContinueOnError)
	role := f.String("role", "", "")
	name := f.String("name", "", "")
	workspace := f.String("workspace", storage.Default, "")
	data := f.String("data", "", "")
	rest, err := parse(f, args)
	token, id, hash := bearer.New()
	k := storage.NewKey{ID: id, Name: *name, Role: storage.Role(*role), Hash: hash}
	switch {
	case err != nil:
		return err
	case len(rest) > 0:
		return usageError(fmt.Sprintf("key add does not take %q", rest[0]))
	case *role == "":
		return usageError("key add wants --role admin, editor or reader")
	}
	if err := errors.Join(k.Valid(), storage.ValidWorkspace(*workspace, "")); err != nil {
		return usageError(fmt.Sprintf("key add: %v", err))
	}
	return c.withStore(ctx, *data, true, func(s *sqlite.Store) error {
		now := time.Now()
		err := s.AddWorkspace(ctx, *workspace, "", now)
		switch e := (*storage.Error)(nil); {
		case err == nil:
			fmt.Fprintf(c.stderr, "The workspace %s is new.\n", *workspace)
		case !errors.As(err, &e) || e.Reason != storage.Exists:
			return err
		}
		if err := s.In(*workspace).AddKey(ctx, k, now); err != nil {
			return err
		}
		fmt.Fprintf(c.stderr, "Key %s, %s of the workspace %s. It is shown this once; keep it as you keep a password:\n", id, *role, *workspace)
		_, err = fmt.Fprintln(c.stdout, token)
		return err
	})
}

func (c command) listKeys(ctx context.Context, args []string) error {
	f := flag.NewFlagSet("key list", flag.ContinueOnError)
	data := f.String("data", "", "")
	if rest, err := parse(f, args); err != nil {
		return err
	} else if len(rest) > 0 {
		return usageError(fmt.Sprintf("key list does not take %q", rest[0]))
	}
	return c.withStore(ctx, *data, false, func(s *sqlite.Store) error {
		workspaces, err := s.Workspaces(ctx)
		if err != nil {
			return err
		}
		w := tabwriter.NewWriter(c.stdout, 0, 0, 2, ' ', 0)
		fmt.Fprintln(w, "KEY\tROLE\tWORKSPACE\tMADE\tREVOKED\tNAME")
		for _, about := range workspaces {
			keys, err := s.In(about.ID).Keys(ctx)
			if err != nil {
				return err
			}
			for _, k := range keys {
				fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\n", k.ID, k.Role, k.Workspace, day(k.Created), day(k.Revoked), printable(k.Name))
			}
		}
		return w.Flush()
	})
}

// revokeKey ends a key for good. A running server asks the file each time, so it
// holds at once.
func (c command) revokeKey(ctx context.Context, args []string) error {
	f := flag.NewFlagSet("key revoke", flag.ContinueOnError)
	data := f.String("data", "", "")
	ids, err := parse(f, args)
	switch {
	case err != nil:
		return err
	case len(ids) != 1:
		return usageError("key revoke takes the id of one key; `pintail key list` shows them")
	}
	return c.withStore(ctx, *data, false, func(s *sqlite.Store) error {
		k, found, err := s.Key(ctx, ids[0])
		if err == nil && found {
			found, err = s.In(k.Workspace).RevokeKey(ctx, k.ID, time.Now())
		}
		if err == nil && !found {
			err = fmt.Errorf("there is no key %q; `pintail key list` shows them", ids[0])
		}
		return err
	})
}

// withStore opens the file, the user's own unless one is named, and closes it
// again. Where there is none it makes one if it may.
func (c command) withStore(ctx context.Context, file string, mayMake bool, do func(*sqlite.Store) error) error {
	file, err := c.fileOr(file)
	if err != nil {
		return err
	}
	if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) && !mayMake {
		return fmt.Errorf("there is no file %s; --data names another", file)
	}
	s, err := sqlite.Open(ctx, file, sqlite.Options{})
	if err != nil {
		return err
	}
	return errors.Join(do(s), s.Close())
}

// fileOr is the file named, or the user's own.
func (c command) fileOr(named string) (string, error) {
	if named != "" {
		return named, nil
	}
	return defaultFile(c.env)
}

// day is a day in UTC, - for none.
func day(t time.Time) string {
	if t.IsZero() {
		return "-"
	}
	return t.UTC().Format(time.DateOnly)
}

// printable is a text without what a terminal would take as an order.
func printable(s string) string {
	out := []rune(s)
	for i, r := range out {
		if !unicode.IsPrint(r) {
			out[i] = '\uFFFD'
		}
	}
	return string(out)
}
