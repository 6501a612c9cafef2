package main

import (
	"bytes"
	"encoding/binary"
	"errors"
)

// The table from program counters to functions, as the linker lays it out.
// Source: the Go standard library, debug/gosym/pclntab.go and
// runtime/symtab.go.
const (
	headerSize = 72
	magic      = 0xfffffff1
)

// Fields of a function's record, as offsets in it.
const (
	nameField    = 4
	pcspField    = 16
	pcfileField  = 20
	pclnField    = 24
	npcdataField = 28
	cuField      = 32
	lineField    = 36
	recordSize   = 44
	nfuncField   = 43 // one byte
)

// What stands behind a record, by index: offsets of tables from program counters,
// then of other data. Source: internal/abi/symtab.go.
const (
	unsafePoints = 0 // where a signal may not stop a goroutine; wasm has no signals
	argLive      = 3 // which arguments are alive, for a traceback
	argInfo      = 5 // how a traceback prints arguments,
	argLiveInfo  = 6 // and which of them
)

// table is where the parts of the table lie.
type table struct {
	functions                              int
	names, units, files, counters, records uint64
}

// slim clears the names, and every table of files and lines, from the memory.
func slim(m *memory) error {
	t, err := findTable(m)
	if err != nil {
		return err
	}
	keep, err := t.keep(m)
	if err != nil {
		return err
	}
	for i := range t.functions {
		record := t.record(m, i)
		// Offset 0 means "no table" to the runtime, and the empty name.
		for _, field := range []uint64{nameField, pcfileField, pclnField, cuField, lineField} {
			m.clear(record+field, 4)
		}
		tables := uint64(m.uint32(record + npcdataField))
		for _, k := range []uint64{unsafePoints, argLive} {
			if k < tables {
				m.clear(record+recordSize+4*k, 4)
			}
		}
		for _, k := range []uint64{argInfo, argLiveInfo} {
			if k < uint64(m.read(record+nfuncField, 1)[0]) {
				m.fill(record+recordSize+4*(tables+k), 4, 0xff) // "none" to the runtime
			}
		}
	}
	t.coarsen(m)
	m.clear(t.names, int(t.counters-t.names))
	for i := range keep {
		if !keep[i] {
			m.clear(t.counters+uint64(i), 1)
		}
	}
	return nil
}

// Where the linker's table of the module names the index of functions, in words,
// and what that looks like: a bucket for each 4096 of the 65536 counters that a
// function has on wasm, which begins with the function to search on from. Source:
// runtime/symtab.go, and cmd/link/internal/ld/pcln.go.
const (
	indexWord       = 19
	bucketSize      = 20
	bucketsPerFunc  = 16
	searchedAtATime = 16
)

// coarsen lets the index name the first of every so many functions: the runtime
// searches on from there, and the index, which counts up otherwise, compresses to
// nothing. An index that looks otherwise stays as it is.
func (t table) coarsen(m *memory) {
	index, ok := t.index(m)
	for k := 0; ok && k < t.buckets(); k++ {
		m.each(index+bucketSize*uint64(k), 1, func(covered []byte, _ int) { covered[0] &^= searchedAtATime - 1 })
	}
}

// buckets is how many the index has: of the last function only the first.
func (t table) buckets() int { return (t.functions-1)*bucketsPerFunc + 1 }

// index finds the index by the table of the module, which begins with the address
// of the header.
func (t table) index(m *memory) (address uint64, ok bool) {
	first, last := m.segments[0].address, m.segments[len(m.segments)-1]
	all := m.read(first, int(last.address-first)+len(last.bytes)) // with the zeros that no segment holds
	module := bytes.Index(all, binary.LittleEndian.AppendUint64(nil, t.names-headerSize))
	if module < 0 {
		return 0, false
	}
	address = m.uint64(first + uint64(module) + 8*indexWord)
	for k := range t.buckets() {
		if m.uint32(address+bucketSize*uint64(k)) != uint32(k/bucketsPerFunc) {
			return 0, false
		}
	}
	return address, true
}

// findTable finds the header of the table and checks what it says.
func findTable(m *memory) (table, error) {
	want := binary.LittleEndian.AppendUint32(nil, magic)
	want = append(want, 0, 0, 1, 8) // padding, steps of one, pointers of eight bytes
	for _, s := range m.segments {
		for from := 0; ; {
			i := bytes.Index(s.bytes[from:], want)
			if i < 0 {
				break
			}
			at := s.address + uint64(from+i)
			if t, ok := readTable(m, at); ok {
				return t, nil
			}
			from += i + 1
		}
	}
	return table{}, errors.New("no table of functions in the layout of Go 1.20 and later")
}

func readTable(m *memory, at uint64) (table, bool) {
	word := func(i uint64) uint64 { return m.uint64(at + 8 + 8*i) }
	t := table{
		functions: int(word(0)),
		names:     at + word(3), units: at + word(4), files: at + word(5), counters: at + word(6), records: at + word(7),
	}
	ok := t.functions > 0 && t.functions < 1<<20 && word(3) == headerSize &&
		t.names < t.units && t.units <= t.files && t.files < t.counters && t.counters < t.records && t.records-t.names < 1<<26
	return t, ok
}

// record is the address of a function's record.
func (t table) record(m *memory, i int) uint64 {
	return t.records + uint64(m.uint32(t.records+8*uint64(i)+4))
}

// keep marks the bytes of the counters' tables that the runtime needs to walk
// and scan stacks.
func (t table) keep(m *memory) ([]bool, error) {
	counters := m.read(t.counters, int(t.records-t.counters))
	keep := make([]bool, len(counters))
	keep[0] = true
	for i := range t.functions {
		record := t.record(m, i)
		offsets := []uint32{m.uint32(record + pcspField)}
		n := m.uint32(record + npcdataField)
		if n > 16 {
			return nil, errors.New("a function with an impossible number of tables")
		}
		for k := range uint64(n) {
			if k != unsafePoints && k != argLive {
				offsets = append(offsets, m.uint32(record+recordSize+4*k))
			}
		}
		for _, offset := range offsets {
			if err := mark(counters, keep, int(offset)); err != nil {
				return nil, err
			}
		}
	}
	return keep, nil
}

// mark marks the table that begins at offset: pairs of a value step and a
// counter step, until a value step of zero that is not the first.
func mark(counters []byte, keep []bool, offset int) error {
	if offset == 0 {
		return nil // no table
	}
	for at, first := offset, true; ; first = false {
		value, n := uvarint(counters, at)
		if n == 0 {
			return errors.New("a table that does not end")
		}
		for i := range n {
			keep[at+i] = true
		}
		at += n
		if value == 0 && !first {
			return nil
		}
		_, n = uvarint(counters, at)
		if n == 0 {
			return errors.New("a table that does not end")
		}
		for i := range n {
			keep[at+i] = true
		}
		at += n
	}
}

func uvarint(b []byte, at int) (uint64, int) {
	if at < 0 || at >= len(b) {
		return 0, 0
	}
	v, n := binary.Uvarint(b[at:])
	return v, max(n, 0)
}
