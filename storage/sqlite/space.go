package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"strings"
	"time"

	"pintail/api/journal"
	"pintail/storage"
)

// space is one workspace. All its statements go through scope and row, which
// name the workspace as their first parameter.
type space struct {
	store *Store
	id    string
}

// In is part of storage.Store.
func (s *Store) In(workspace string) storage.Workspace { return &space{store: s, id: workspace} }

// number returns the number of the workspace.
func (s *space) number(ctx context.Context) (int64, error) {
	if n, ok := s.store.numbers.Load(s.id); ok {
		return n.(int64), nil
	}
	var n int64
	err := s.store.read.QueryRowContext(ctx, "SELECT number FROM workspace WHERE id = ?", s.id).Scan(&n)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, &storage.Error{Reason: storage.NoWorkspace, Detail: "there is no workspace " + s.id}
	}
	if err == nil {
		s.store.numbers.Store(s.id, n)
	}
	return n, err
}

// submit runs do on the workspace's row in a transaction of the writer and
// writes the row back.
func (s *space) submit(ctx context.Context, doing string, do func(*change, *row) error) (clean bool, err error) {
	n, err := s.number(ctx)
	if err == nil {
		clean, err = s.store.writer.submit(ctx, func(c *change) error {
			r, err := c.load(n)
			if err != nil {
				return err
			}
			if err := do(c, r); err != nil {
				return err
			}
			return c.save(r)
		})
	}
	return clean, s.store.fail(doing, err)
}

// look runs do on one state of the workspace.
func (s *space) look(ctx context.Context, doing string, do func(scope) error) error {
	n, err := s.number(ctx)
	if err != nil {
		return s.store.fail(doing, err)
	}
	return s.store.snapshot(ctx, doing, func(ctx context.Context, tx *sql.Tx) error {
		return do(scope{reader{ctx, tx}, n})
	})
}

// runner runs statements, in a transaction of the writer or of a reader.
type runner interface {
	rows(q string, args ...any) (*sql.Rows, error)
	row(into []any, q string, args ...any) error
}

// reader is a runner on a reader's transaction.
type reader struct {
	ctx context.Context
	tx  *sql.Tx
}

func (r reader) rows(q string, args ...any) (*sql.Rows, error) {
	return r.tx.QueryContext(r.ctx, q, args...)
}

func (r reader) row(into []any, q string, args ...any) error {
	return r.tx.QueryRowContext(r.ctx, q, args...).Scan(into...)
}

// scope is the one place where a workspace's statements are run: each takes the
// workspace as ?1, and one that does not is a mistake in the program.
type scope struct {
	run       runner
	workspace int64
}

func (s scope) rows(q string, args ...any) (*sql.Rows, error) {
	return s.run.rows(scoped(q), append([]any{s.workspace}, args...)...)
}

func (s scope) row(into []any, q string, args ...any) error {
	return s.run.row(into, scoped(q), append([]any{s.workspace}, args...)...)
}

func scoped(q string) string {
	if !strings.Contains(q, "workspace = ?1") && !strings.Contains(q, "VALUES (?1, ") && !strings.Contains(q, "WHERE number = ?1") {
		panic("sqlite: a statement without its workspace: " + q)
	}
	return q
}

// each calls do with every row.
func each(rows *sql.Rows, err error, do func(*sql.Rows) error) error {
	if err != nil {
		return err
	}
	for rows.Next() && err == nil {
		err = do(rows)
	}
	return errors.Join(err, rows.Err(), rows.Close())
}

// row is the workspace's row while a job changes it.
type row struct {
	scope
	c      *change
	era    string
	cursor int64
	clock  journal.Clock
	now    int64
	taken  int
}

// load reads the workspace's row. Only the writer's transaction changes it, so
// the numbers it gives are given once and in the order of the commits.
func (c *change) load(workspace int64) (*row, error) {
	r := &row{scope: scope{c, workspace}, c: c}
	err := r.row([]any{&r.era, &r.cursor, &r.clock.Wall, &r.clock.Counter, &r.now}, "SELECT era, cursor, wall, counter, now_ms FROM workspace WHERE number = ?1")
	c.w.registers.at(workspace, r.cursor)
	return r, err
}

func (c *change) save(r *row) error {
	c.w.registers.left(r.workspace, r.cursor, r.taken)
	_, err := r.exec("UPDATE workspace SET cursor = ?2, wall = ?3, counter = ?4, now_ms = ?5 WHERE number = ?1", r.cursor, r.clock.Wall, r.clock.Counter, r.now)
	return err
}

func (r *row) exec(q string, args ...any) (int64, error) {
	return r.c.exec(scoped(q), append([]any{r.workspace}, args...)...)
}

// tick moves the server's time on. It never runs back, or a clock set back would
// put new edits behind old ones.
func (r *row) tick(at time.Time) { r.now = max(r.now, at.UnixMilli()) }

// next is the number of the next change.
func (r *row) next() int64 {
	r.cursor++
	return r.cursor
}

func micro(t time.Time) int64 { return t.UnixMicro() }

func fromMicro(us int64) time.Time { return time.UnixMicro(us).UTC() }
