package sqlite

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"pintail/api/journal"
)

// Report is what Check found.
type Report struct {
	File   string
	Schema int64
	// What the file holds.
	Workspaces, Documents, Entries, Erasures, Keys int64
	// Problems are sentences, one for each fault found; none means clean.
	Problems []string
}

// Clean reports whether nothing is wrong.
func (r *Report) Clean() bool { return len(r.Problems) == 0 }

// String is the report for a person, lines ending in a newline.
func (r *Report) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: schema %d, %d workspaces, %d documents, %d entries, %d erasures, %d keys\n", r.File, r.Schema, r.Workspaces, r.Documents, r.Entries, r.Erasures, r.Keys)
	for _, p := range r.Problems {
		fmt.Fprintf(&b, "problem: %s\n", p)
	}
	if r.Clean() {
		b.WriteString("clean\n")
	}
	return b.String()
}

// maxProblems ends a check that finds one fault after another.
const maxProblems = 100

// errEnough ends it.
var errEnough = errors.New("sqlite: enough problems")

// Check reads the whole file and reports what is wrong with it: damaged pages and
// indexes, references to nothing, and tables that disagree with the journal:
// entries that could not have been taken, cursors beyond their workspace's, clocks
// ahead of it, documents that are not what their entries make. It changes nothing
// and may run while a server uses the file. An error means that the file could
// not be read; a file so damaged is an error with the reason Corrupt.
func Check(ctx context.Context, file string) (Report, error) {
	r := Report{File: file}
	if err := checkThere(file); err != nil {
		return r, err
	}
	if err := probe(ctx, file, checkBusy); err != nil {
		return r, err
	}
	db := connect(probeDSN(file, checkBusy), 1)
	err := inTx(ctx, db, func(ctx context.Context, tx *sql.Tx) error {
		return (&checker{ctx: ctx, tx: tx, report: &r}).run()
	})
	if errors.Is(err, errEnough) {
		err = nil
	}
	return r, classify("check "+file, errors.Join(err, db.Close()))
}

// checkBusy is how long a check or a backup waits for another program.
const checkBusy = 5 * time.Second

type checker struct {
	ctx    context.Context
	tx     *sql.Tx
	report *Report
}

func (c *checker) run() error {
	if err := c.pragmas(); err != nil {
		return err
	}
	if err := c.tx.QueryRowContext(c.ctx, "SELECT user_version FROM pragma_user_version").Scan(&c.report.Schema); err != nil {
		return err
	}
	if c.report.Schema < 2 {
		return nil // no journal yet
	}
	for into, q := range map[*int64]string{
		&c.report.Workspaces: "SELECT count(*) FROM workspace", &c.report.Documents: "SELECT count(*) FROM document WHERE value IS NOT NULL",
		&c.report.Entries: "SELECT count(*) FROM entry", &c.report.Erasures: "SELECT count(*) FROM erasure", &c.report.Keys: "SELECT count(*) FROM key",
	} {
		if err := c.tx.QueryRowContext(c.ctx, q).Scan(into); err != nil {
			return err
		}
	}
	for _, check := range []func() error{c.cursors, c.entries, c.documents} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func (c *checker) problem(format string, args ...any) error {
	c.report.Problems = append(c.report.Problems, fmt.Sprintf(format, args...))
	if len(c.report.Problems) == maxProblems {
		return errEnough
	}
	return nil
}

func (c *checker) each(q string, do func(*sql.Rows) error) error {
	rows, err := c.tx.QueryContext(c.ctx, q)
	return each(rows, err, do)
}

// pragmas lets SQLite check what is its own.
func (c *checker) pragmas() error {
	err := c.each("PRAGMA integrity_check", func(rows *sql.Rows) error {
		var says string
		if err := rows.Scan(&says); err != nil || says == "ok" {
			return err
		}
		return c.problem("integrity: %s", says)
	})
	if err != nil {
		return err
	}
	return c.each("PRAGMA foreign_key_check", func(rows *sql.Rows) error {
		var table, parent string
		var rowid sql.Null[int64]
		var key int64
		if err := rows.Scan(&table, &rowid, &parent, &key); err != nil {
			return err
		}
		return c.problem("a row of %s refers to a %s that is not there", table, parent)
	})
}

// cursors holds the numbers of the changes to the workspaces' own: never beyond
// it, none given twice, and none missing but where something was erased.
func (c *checker) cursors() error {
	const q = `WITH change AS (SELECT workspace, cursor, 0 AS erased FROM entry UNION ALL SELECT workspace, cursor, 1 FROM erasure)
		SELECT id, workspace.cursor, coalesce(max(change.cursor), 0), count(change.cursor), count(DISTINCT change.cursor), coalesce(sum(erased), 0)
		FROM workspace LEFT JOIN change ON change.workspace = number GROUP BY number`
	return c.each(q, func(rows *sql.Rows) error {
		var id string
		var cursor, newest, changes, numbers, erasures int64
		if err := rows.Scan(&id, &cursor, &newest, &changes, &numbers, &erasures); err != nil {
			return err
		}
		switch {
		case newest > cursor:
			return c.problem("workspace %s: its cursor is %d, but there is a change %d", id, cursor, newest)
		case numbers < changes:
			return c.problem("workspace %s: a number was given to two changes", id)
		case erasures == 0 && changes < cursor:
			return c.problem("workspace %s: %d of %d changes are missing", id, cursor-changes, cursor)
		}
		return nil
	})
}

// entries holds the entries' times to the workspaces' clocks, and looks for what
// should have been erased.
func (c *checker) entries() error {
	const ahead = `SELECT workspace.id, entry.cursor FROM entry JOIN workspace ON number = workspace
		WHERE (entry.wall, entry.counter) > (workspace.wall, workspace.counter)`
	err := c.each(ahead, func(rows *sql.Rows) error {
		var id string
		var cursor int64
		if err := rows.Scan(&id, &cursor); err != nil {
			return err
		}
		return c.problem("workspace %s, change %d: its time is after the workspace's clock", id, cursor)
	})
	if err != nil {
		return err
	}
	const left = `SELECT workspace.id, entry.cursor, erasure.cursor FROM erasure JOIN entry USING (workspace, doc) JOIN workspace ON number = workspace
		WHERE (erasure.path = entry.path OR substr(entry.path, 1, length(erasure.path) + 1) = erasure.path || '/')
		AND (entry.wall, entry.counter) <= (upto_wall, upto_counter)`
	return c.each(left, func(rows *sql.Rows) error {
		var id string
		var entry, erasure int64
		if err := rows.Scan(&id, &entry, &erasure); err != nil {
			return err
		}
		return c.problem("workspace %s: change %d should be gone by erasure %d", id, entry, erasure)
	})
}

// documents holds every entry to the rules by which it was taken, and folds every
// document again.
func (c *checker) documents() error {
	var names []docKey
	ids := map[int64]string{}
	const q = `SELECT number, workspace.id, doc FROM (SELECT workspace, doc FROM entry UNION SELECT workspace, doc FROM erasure UNION SELECT workspace, doc FROM document)
		JOIN workspace ON number = workspace ORDER BY number, doc`
	err := c.each(q, func(rows *sql.Rows) error {
		var k docKey
		var id string
		err := rows.Scan(&k.workspace, &id, &k.doc)
		names, ids[k.workspace] = append(names, k), id
		return err
	})
	for i := 0; i < len(names) && err == nil; i++ {
		err = c.document(names[i], ids[names[i].workspace])
	}
	return err
}

func (c *checker) document(k docKey, id string) error {
	sc := scope{reader{c.ctx, c.tx}, k.workspace}
	v, err := versions(sc, k.doc)
	if err != nil {
		return err
	}
	d, found, err := findDocument(sc, k.doc)
	if err != nil {
		return err
	}
	for i := range v {
		if e := v[i].Entry; e != nil {
			if r := e.Check(); r != nil {
				return c.problem("workspace %s, change %d: %s: %s", id, v[i].Cursor, r.Pointer, r.Detail)
			}
		}
	}
	folded, _ := journal.Fold(v.Set())
	switch {
	case len(v) == 0:
		return c.problem("workspace %s: the document %s has no change", id, k.doc)
	case !found:
		return c.problem("workspace %s: the document %s is missing", id, k.doc)
	case !bytes.Equal(folded, d.Value):
		return c.problem("workspace %s: the document %s is not what its entries make", id, k.doc)
	case d.Version != v[len(v)-1].Cursor:
		return c.problem("workspace %s: the document %s says version %d, its newest change is %d", id, k.doc, d.Version, v[len(v)-1].Cursor)
	case d.Name != displayName(folded):
		return c.problem("workspace %s: the document %s is listed under another name", id, k.doc)
	}
	return nil
}
