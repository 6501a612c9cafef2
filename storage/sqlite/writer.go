package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"sync"
	"sync/atomic"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"pintail/storage"
)

// together is the most calls that share one transaction.
const together = 128

// writer owns the one connection that writes. Calls queue up while it waits for
// the disk and are then committed together, with one sync for all of them.
type writer struct {
	conn       *sql.Conn
	statements map[string]*sql.Stmt
	registers  *registers
	jobs       chan *job
	closing    chan struct{}
	stopped    chan struct{}
	closeOnce  sync.Once
	// broken is set when the disk failed to sync: what it then holds is unknown,
	// and a later sync that succeeds would prove nothing.
	broken atomic.Pointer[storage.Error]
}

// job is one call that waits for the writer.
type job struct {
	do    func(*change) error
	state atomic.Int32
	clean bool // the call wants the files cleaned after the commit
	err   error
	done  chan struct{}
}

// The states of a job.
const (
	waiting int32 = iota
	running
	withdrawn
)

func newWriter(ctx context.Context, db *sql.DB) (*writer, error) {
	conn, err := db.Conn(ctx)
	if err != nil {
		return nil, err
	}
	w := &writer{
		conn: conn, statements: map[string]*sql.Stmt{}, registers: newRegisters(),
		jobs: make(chan *job, together), closing: make(chan struct{}), stopped: make(chan struct{}),
	}
	return w, w.cleanLeft(ctx)
}

// submit waits until do has been committed or has failed. A call whose context
// ends while it waits is withdrawn; once it runs its end is awaited, so that the
// answer is always the truth. clean reports whether the cleaning it asked for
// was done.
func (w *writer) submit(ctx context.Context, do func(*change) error) (clean bool, err error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	j := &job{do: do, done: make(chan struct{})}
	select {
	case w.jobs <- j:
	case <-ctx.Done():
		return false, ctx.Err()
	case <-w.stopped:
		return false, errStopped
	}
	select {
	case <-j.done:
	case <-ctx.Done():
		if j.state.CompareAndSwap(waiting, withdrawn) {
			return false, ctx.Err()
		}
		<-j.done
	case <-w.stopped:
		// It was queued after the writer had gone, or answered just before.
		if j.state.CompareAndSwap(waiting, withdrawn) {
			return false, errStopped
		}
		<-j.done
	}
	return j.clean, j.err
}

var errStopped = &storage.Error{Reason: storage.Closed, Detail: "the store is closed"}

// healthy returns why no more can be written, nil if it can.
func (w *writer) healthy() error {
	if e := w.broken.Load(); e != nil {
		return e
	}
	return nil
}

// close commits what is queued and ends the writer.
func (w *writer) close() error {
	w.closeOnce.Do(func() { close(w.closing) })
	<-w.stopped
	errs := make([]error, 0, len(w.statements)+1)
	for _, s := range w.statements {
		errs = append(errs, s.Close())
	}
	return errors.Join(append(errs, w.conn.Close())...)
}

func (w *writer) run() {
	defer close(w.stopped)
	for {
		select {
		case j := <-w.jobs:
			w.commit(w.gather(j))
		case <-w.closing:
			for len(w.jobs) > 0 {
				w.commit(w.gather(<-w.jobs))
			}
			return
		}
	}
}

// gather takes what waits behind a first job, leaving out what was withdrawn.
func (w *writer) gather(first *job) []*job {
	var group []*job
	for j := first; ; {
		if j.state.CompareAndSwap(waiting, running) {
			group = append(group, j)
		}
		if len(group) == together {
			return group
		}
		select {
		case j = <-w.jobs:
		default:
			return group
		}
	}
}

// commit runs a group in one transaction and answers each. Where the disk fills
// up, which undoes the whole transaction, each is tried by itself: a large one
// must not take the small ones with it.
func (w *writer) commit(group []*job) {
	if len(group) == 0 {
		return
	}
	err := w.healthy()
	if err == nil {
		err = w.transaction(group)
	}
	if code(err) == lib.SQLITE_FULL && len(group) > 1 {
		for _, j := range group {
			w.fail([]*job{j}, w.transaction([]*job{j}))
		}
	} else {
		w.fail(group, err)
	}
	w.afterwards(group)
	for _, j := range group {
		close(j.done)
	}
}

// fail gives every job of a failed transaction its error.
func (w *writer) fail(group []*job, err error) {
	if err == nil {
		return
	}
	w.registers.forget()
	for _, j := range group {
		j.err = err
	}
	if code(err) == lib.SQLITE_IOERR_FSYNC || code(err) == lib.SQLITE_IOERR_DIR_FSYNC {
		w.broken.Store(&storage.Error{Reason: storage.Failed, Detail: "the disk failed to keep what was written; check the disk, then start again", Err: err})
	}
}

// transaction runs the jobs in one transaction. An error is that of the whole
// transaction, of which then nothing was done; each job has its own besides.
func (w *writer) transaction(group []*job) error {
	ctx := context.Background()
	if err := w.exec(ctx, "BEGIN IMMEDIATE"); err != nil {
		return err
	}
	for _, j := range group {
		if err := w.attempt(ctx, j); err != nil {
			return w.rollback(ctx, err)
		}
	}
	if err := w.exec(ctx, "COMMIT"); err != nil {
		return w.rollback(ctx, err)
	}
	return nil
}

// attempt runs one job so that its failure undoes only its own changes. An error
// is that of the whole transaction.
func (w *writer) attempt(ctx context.Context, j *job) error {
	if err := w.exec(ctx, "SAVEPOINT job"); err != nil {
		return err
	}
	c := &change{ctx: ctx, w: w}
	j.err = j.do(c)
	j.clean = c.clean && j.err == nil
	if j.err != nil {
		w.registers.forget()
		if err := w.exec(ctx, "ROLLBACK TO job"); err != nil {
			return errors.Join(j.err, err)
		}
	}
	return w.exec(ctx, "RELEASE job")
}

// rollback ends a failed transaction; SQLite has already ended some itself.
func (w *writer) rollback(ctx context.Context, err error) error {
	_ = w.exec(ctx, "ROLLBACK")
	return err
}

func (w *writer) exec(ctx context.Context, q string, args ...any) error {
	s, err := w.prepare(ctx, q)
	if err != nil {
		return err
	}
	_, err = s.ExecContext(ctx, args...)
	return err
}

// prepare returns the statement, parsed once.
func (w *writer) prepare(ctx context.Context, q string) (*sql.Stmt, error) {
	if s := w.statements[q]; s != nil {
		return s, nil
	}
	s, err := w.conn.PrepareContext(ctx, q)
	if err != nil {
		return nil, err
	}
	w.statements[q] = s
	return s, nil
}

// code is the extended result code of an error of the driver, 0 for any other.
// Of several errors it is the first one's.
func code(err error) int {
	if s := (*sqlite.Error)(nil); errors.As(err, &s) {
		return s.Code()
	}
	return 0
}

// change is one job's part of a transaction.
type change struct {
	ctx   context.Context
	w     *writer
	clean bool
}

// rows, row and exec run a statement of the transaction.
func (c *change) rows(q string, args ...any) (*sql.Rows, error) {
	s, err := c.w.prepare(c.ctx, q)
	if err != nil {
		return nil, err
	}
	return s.QueryContext(c.ctx, args...)
}

func (c *change) row(into []any, q string, args ...any) error {
	s, err := c.w.prepare(c.ctx, q)
	if err != nil {
		return err
	}
	return s.QueryRowContext(c.ctx, args...).Scan(into...)
}

func (c *change) exec(q string, args ...any) (int64, error) {
	s, err := c.w.prepare(c.ctx, q)
	if err != nil {
		return 0, err
	}
	r, err := s.ExecContext(c.ctx, args...)
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}
