package sqlite

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	_ "modernc.org/sqlite" // the driver named "sqlite"

	"pintail/storage"
)

// pragma is a setting of a connection and the value that must be read back.
type pragma struct{ name, set, want string }

var (
	writerPragmas = []pragma{
		{"journal_mode", "WAL", "wal"},
		{"synchronous", "FULL", "2"},
		{"foreign_keys", "ON", "1"},
		{"secure_delete", "ON", "1"},
	}
	readerPragmas = []pragma{
		{"journal_mode", "WAL", "wal"},
		{"foreign_keys", "ON", "1"},
		{"query_only", "ON", "1"},
	}
)

func writerDSN(file string, busy time.Duration, pragmas []pragma) string {
	return dsn(file, url.Values{"_txlock": {"immediate"}}, busy, pragmas)
}

func readerDSN(file string, busy time.Duration) string {
	return dsn(file, url.Values{}, busy, readerPragmas)
}

// probeDSN opens without creating, converting or writing anything.
func probeDSN(file string, busy time.Duration) string {
	return dsn(file, url.Values{"mode": {"ro"}}, busy, nil)
}

func dsn(file string, q url.Values, busy time.Duration, pragmas []pragma) string {
	q.Add("_pragma", "busy_timeout("+strconv.FormatInt(busy.Milliseconds(), 10)+")")
	for _, p := range pragmas {
		q.Add("_pragma", p.name+"("+p.set+")")
	}
	// As a URI, so that a "?" or "%" in the name of the file stays part of it.
	return (&url.URL{Scheme: "file", Opaque: escape(filepath.ToSlash(file)), RawQuery: q.Encode()}).String()
}

func escape(file string) string {
	parts := strings.Split(file, "/")
	for i, p := range parts {
		parts[i] = url.PathEscape(p)
	}
	return strings.Join(parts, "/")
}

func connect(dsn string, most int) *sql.DB {
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		panic(err) // only an unknown driver
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db
}

// checkPragmas reads the settings back: a place that cannot keep them, such as
// some network drives, must not be trusted with acknowledged writes.
func checkPragmas(ctx context.Context, db *sql.DB, pragmas []pragma) error {
	for _, p := range pragmas {
		var got string
		if err := db.QueryRowContext(ctx, "PRAGMA "+p.name).Scan(&got); err != nil {
			return err
		}
		if got != p.want {
			return &storage.Error{Reason: storage.Unsafe, Detail: fmt.Sprintf("this place cannot keep data safely: %s is %s, want %s; choose a file on a local disk", p.name, got, p.want)}
		}
	}
	return nil
}
