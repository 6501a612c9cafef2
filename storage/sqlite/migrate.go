package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"sync"
)

// The migrations, in order of their names. Append-only: a file that was ever
// released never changes. The schema version of a database is the number of
// migrations it has seen.
//
//go:embed migrations/*.sql
var migrationFiles embed.FS

var migrations = sync.OnceValue(func() []string {
	files, err := migrationFiles.ReadDir("migrations")
	if err != nil {
		panic(err) // compiled in
	}
	var all []string
	for _, f := range files {
		b, err := migrationFiles.ReadFile("migrations/" + f.Name())
		if err != nil {
			panic(err)
		}
		all = append(all, string(b))
	}
	return all
})

// steps are what a migration does besides its SQL, by its number.
var steps = map[int]func(context.Context, *sql.Tx) error{2: moveRigs}

// migrate brings the schema up to date. The version is read inside the
// transaction, so two programs that start at once do not both migrate.
func migrate(ctx context.Context, tx *sql.Tx) error {
	var version int64
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	all := migrations()
	if version > int64(len(all)) {
		return tooNew(version)
	}
	for i, m := range all[version:] {
		if _, err := tx.ExecContext(ctx, m); err != nil {
			return err
		}
		if step := steps[int(version)+i+1]; step != nil {
			if err := step(ctx, tx); err != nil {
				return err
			}
		}
	}
	if version == int64(len(all)) {
		return nil
	}
	_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, len(all)))
	return err
}
