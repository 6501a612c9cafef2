package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"time"

	"pintail/storage"
	"pintail/storage/sqlite"
)

// backup is `pintail backup FILE`: a copy of one moment, also while a server
// runs. It is checked before it has its name.
func (c command) backup(ctx context.Context, args []string) error {
	f := flag.NewFlagSet("backup", flag.ContinueOnError)
	data := f.String("data", "", "")
	overwrite := f.Bool("overwrite", false, "")
	to, err := parseFile(f, args, "backup takes the file to write")
	if err != nil {
		return err
	}
	from, err := c.fileOr(*data)
	if err != nil {
		return err
	}
	report, err := sqlite.Backup(ctx, from, to, *overwrite)
	if err := advise(err, "--overwrite replaces it"); err != nil {
		return err
	}
	_, err = fmt.Fprint(c.stdout, report.String())
	return err
}

// restore is `pintail restore FILE`: the backup becomes the data file.
func (c command) restore(ctx context.Context, args []string) error {
	f := flag.NewFlagSet("restore", flag.ContinueOnError)
	data := f.String("data", "", "")
	replace := f.Bool("replace", false, "")
	from, err := parseFile(f, args, "restore takes the backup to restore")
	if err != nil {
		return err
	}
	to, err := c.fileOr(*data)
	if err != nil {
		return err
	}
	done, err := sqlite.Restore(ctx, from, to, *replace, time.Now())
	if err := advise(err, "--replace sets it aside, beside the restored one"); err != nil {
		return err
	}
	if done.Kept != "" {
		fmt.Fprintf(c.stdout, "what was there is now %s\n", done.Kept)
	}
	_, err = fmt.Fprint(c.stdout, done.String())
	return err
}

// check is `pintail check`: exit code 1 when anything is wrong with the file.
func (c command) check(ctx context.Context, args []string) error {
	f := flag.NewFlagSet("check", flag.ContinueOnError)
	data := f.String("data", "", "")
	if rest, err := parse(f, args); err != nil {
		return err
	} else if len(rest) > 0 {
		return usageError(fmt.Sprintf("check does not take %q; --data names the file", rest[0]))
	}
	file, err := c.fileOr(*data)
	if err != nil {
		return err
	}
	report, err := sqlite.Check(ctx, file)
	if err != nil {
		return err
	}
	if _, err := fmt.Fprint(c.stdout, report.String()); err != nil {
		return err
	}
	if !report.Clean() {
		return errShown
	}
	return nil
}

// parseFile reads the flags and the one file that a command takes.
func parseFile(f *flag.FlagSet, args []string, wanted string) (string, error) {
	files, err := parse(f, args)
	switch {
	case err != nil:
		return "", err
	case len(files) != 1 || files[0] == "":
		return "", usageError(wanted)
	}
	return files[0], nil
}

// advise adds to the refusal to overwrite a file what would do it.
func advise(err error, what string) error {
	if e := (*storage.Error)(nil); errors.As(err, &e) && e.Reason == storage.Exists {
		return fmt.Errorf("%w; %s", err, what)
	}
	return err
}
