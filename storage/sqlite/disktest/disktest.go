// Package disktest puts a disk under SQLite that fails on command, for tests:
// what real disks do seldom, and never when asked.
//
// It wraps SQLite's own layer to the operating system, so everything above the
// system calls is what runs in earnest. Its faults hold for every file of the
// process that is opened after Use; tests that use it do not run side by side.
package disktest

import (
	"sync"
	"sync/atomic"
	"testing"
	"unsafe"

	"modernc.org/libc"
	lib "modernc.org/sqlite/lib"
)

// Fault is how the disk fails.
type Fault int32

// The faults. A write that fails has written half of its bytes.
const (
	None Fault = iota
	// NoRoom fails writes as the system's "no space left on device" does (ENOSPC).
	NoRoom
	// WriteError fails writes as any other error of the system does, such as an
	// input/output error or a quota (EIO, EDQUOT, EFBIG).
	WriteError
	// SyncError fails the call that sends written bytes to the disk (fsync).
	SyncError
)

// Disk is the disk of this process.
type Disk struct {
	fault  atomic.Int32
	failed atomic.Int64
}

var (
	disk     Disk
	register sync.Once
)

// Use puts the disk under all databases opened from now on. It is sound, and
// will be again when the test ends.
func Use(tb testing.TB) *Disk {
	tb.Helper()
	register.Do(func() {
		if rc := wrapDefault(); rc != lib.SQLITE_OK {
			tb.Fatalf("the disk could not be put under SQLite: %d", rc)
		}
	})
	tb.Cleanup(disk.Mend)
	return &disk
}

// Fail makes the disk fail from now on.
func (d *Disk) Fail(f Fault) {
	d.failed.Store(0)
	d.fault.Store(int32(f))
}

// Mend makes it sound again.
func (d *Disk) Mend() { d.fault.Store(int32(None)) }

// Failed is how often it has failed since it was told to.
func (d *Disk) Failed() int64 { return d.failed.Load() }

// fails reports whether a call that a fault strikes fails now.
func (d *Disk) fails(f Fault) bool {
	if Fault(d.fault.Load()) != f {
		return false
	}
	d.failed.Add(1)
	return true
}

// The functions of SQLite's layer that are wrapped.
// Source: https://sqlite.org/c3ref/vfs.html, https://sqlite.org/c3ref/io_methods.html
type (
	openFunc  = func(tls *libc.TLS, vfs, name, file uintptr, flags int32, out uintptr) int32
	writeFunc = func(tls *libc.TLS, file, from uintptr, amount int32, offset int64) int32
	syncFunc  = func(tls *libc.TLS, file uintptr, flags int32) int32
)

// methods are those of a file: SQLite's, and where the wrapped ones stand.
type methods struct {
	lib.Tsqlite3_io_methods
	wrapped uintptr
}

// layer is the default layer and its wrapper.
var layer struct {
	vfs uintptr
	mu  sync.Mutex
	// methods has the wrapper of each table of methods.
	methods map[uintptr]uintptr
}

func wrapDefault() int32 {
	tls := libc.NewTLS()
	layer.vfs = lib.Xsqlite3_vfs_find(tls, 0)
	layer.methods = map[uintptr]uintptr{}
	name, err := libc.CString("disktest")
	if err != nil || layer.vfs == 0 {
		return lib.SQLITE_NOMEM
	}
	copied := libc.Xmalloc(tls, libc.Tsize_t(unsafe.Sizeof(lib.Tsqlite3_vfs{})))
	wrapper := at[lib.Tsqlite3_vfs](copied)
	*wrapper = *at[lib.Tsqlite3_vfs](layer.vfs)
	wrapper.FzName, wrapper.FpNext = name, 0
	wrapper.FxOpen = pointer(openFunc(open))
	return lib.Xsqlite3_vfs_register(tls, copied, 1)
}

func open(tls *libc.TLS, _, name, file uintptr, flags int32, out uintptr) int32 {
	rc := function[openFunc](at[lib.Tsqlite3_vfs](layer.vfs).FxOpen)(tls, layer.vfs, name, file, flags, out)
	if f := at[lib.Tsqlite3_file](file); rc == lib.SQLITE_OK && f.FpMethods != 0 {
		f.FpMethods = wrap(tls, f.FpMethods)
	}
	return rc
}

// wrap returns the wrapper of a table of methods. SQLite has a handful of them.
func wrap(tls *libc.TLS, table uintptr) uintptr {
	layer.mu.Lock()
	defer layer.mu.Unlock()
	if w, ok := layer.methods[table]; ok {
		return w
	}
	w := libc.Xmalloc(tls, libc.Tsize_t(unsafe.Sizeof(methods{})))
	m := at[methods](w)
	m.Tsqlite3_io_methods, m.wrapped = *at[lib.Tsqlite3_io_methods](table), table
	m.FxWrite, m.FxSync = pointer(writeFunc(write)), pointer(syncFunc(syncFile))
	layer.methods[table] = w
	return w
}

func write(tls *libc.TLS, file, from uintptr, amount int32, offset int64) int32 {
	full, broken := disk.fails(NoRoom), disk.fails(WriteError)
	if full || broken {
		amount /= 2
	}
	rc := function[writeFunc](under(file).FxWrite)(tls, file, from, amount, offset)
	switch {
	case full:
		return lib.SQLITE_FULL
	case broken:
		return lib.SQLITE_IOERR_WRITE
	}
	return rc
}

func syncFile(tls *libc.TLS, file uintptr, flags int32) int32 {
	if disk.fails(SyncError) {
		return lib.SQLITE_IOERR_FSYNC
	}
	return function[syncFunc](under(file).FxSync)(tls, file, flags)
}

// under is SQLite's own methods of a file.
func under(file uintptr) *lib.Tsqlite3_io_methods {
	return at[lib.Tsqlite3_io_methods](at[methods](at[lib.Tsqlite3_file](file).FpMethods).wrapped)
}

// at is what stands at an address outside Go's memory.
func at[T any](address uintptr) *T { return *(**T)(unsafe.Pointer(&address)) }

// pointer is a function as SQLite holds it, and function the way back.
func pointer[F any](f F) uintptr { return *(*uintptr)(unsafe.Pointer(&f)) }

func function[F any](p uintptr) F { return *(*F)(unsafe.Pointer(&p)) }
