package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"sort"
)

// memory is the initial memory of a wasm program, as its data section fills it.
// Changes go straight into the program's bytes; what no segment covers is zero.
type memory struct {
	segments []segment
}

type segment struct {
	address uint64
	bytes   []byte
}

// readMemory finds the data segments of a wasm program.
func readMemory(program []byte) (*memory, error) {
	list, err := sections(program)
	if err != nil {
		return nil, err
	}
	data := find(list, dataSection)
	if data == nil {
		return nil, errors.New("no data section")
	}
	return readSegments(data)
}

func readSegments(section []byte) (*memory, error) {
	r := reader{bytes: section}
	var m memory
	for range r.unsigned() {
		// Active segment of memory 0 at a constant: flag 0, i32.const, end.
		if flag, op := r.byte(), r.byte(); r.err == nil && (flag != 0 || op != 0x41) {
			return nil, fmt.Errorf("a data segment of kind %d with opcode %#x", flag, op)
		}
		address := uint64(uint32(r.signed()))
		if end := r.byte(); r.err == nil && end != 0x0b {
			return nil, errors.New("a data segment whose place is not a constant")
		}
		m.segments = append(m.segments, segment{address, r.take(r.unsigned())})
		if r.err != nil {
			return nil, r.err
		}
	}
	sort.Slice(m.segments, func(i, j int) bool { return m.segments[i].address < m.segments[j].address })
	return &m, nil
}

// read copies n bytes from an address.
func (m *memory) read(address uint64, n int) []byte {
	out := make([]byte, n)
	m.each(address, n, func(covered []byte, at int) { copy(out[at:], covered) })
	return out
}

// clear sets n bytes to zero.
func (m *memory) clear(address uint64, n int) {
	m.each(address, n, func(covered []byte, _ int) { clear(covered) })
}

// fill sets n bytes to one value, if one segment holds them all.
func (m *memory) fill(address uint64, n int, to byte) {
	m.each(address, n, func(covered []byte, _ int) {
		for i := range covered {
			if len(covered) == n {
				covered[i] = to
			}
		}
	})
}

// each calls do with every run of bytes that a segment holds of the n from
// address, and how far into them it begins.
func (m *memory) each(address uint64, n int, do func(covered []byte, at int)) {
	first := sort.Search(len(m.segments), func(i int) bool {
		return m.segments[i].address+uint64(len(m.segments[i].bytes)) > address
	})
	end := address + uint64(n)
	for _, s := range m.segments[first:] {
		if s.address >= end {
			return
		}
		from, to := max(address, s.address), min(end, s.address+uint64(len(s.bytes)))
		do(s.bytes[from-s.address:to-s.address], int(from-address))
	}
}

func (m *memory) uint32(address uint64) uint32 {
	return binary.LittleEndian.Uint32(m.read(address, 4))
}

func (m *memory) uint64(address uint64) uint64 {
	return binary.LittleEndian.Uint64(m.read(address, 8))
}

// reader reads the binary format; after the first error it reads zeros.
type reader struct {
	bytes []byte
	err   error
}

// fail keeps the first error and ends the reading.
func (r *reader) fail(err error) {
	if r.err == nil {
		r.err = err
	}
	r.bytes = nil
}

func (r *reader) byte() byte {
	b := r.take(1)
	if len(b) == 0 {
		return 0
	}
	return b[0]
}

func (r *reader) take(n uint64) []byte {
	if n > uint64(len(r.bytes)) {
		r.fail(errors.New("the program ends too early"))
		return nil
	}
	b := r.bytes[:n]
	r.bytes = r.bytes[n:]
	return b
}

// unsigned reads an unsigned LEB128 number.
func (r *reader) unsigned() uint64 {
	v, n := binary.Uvarint(r.bytes)
	if n <= 0 {
		r.fail(errors.New("a number that does not end"))
		return 0
	}
	r.bytes = r.bytes[n:]
	return v
}

// signed reads a signed LEB128 number of 32 bits.
func (r *reader) signed() int32 {
	var v int64
	for shift := 0; shift < 35; shift += 7 {
		b := r.byte()
		v |= int64(b&0x7f) << shift
		if b&0x80 == 0 {
			if b&0x40 != 0 {
				v |= -1 << (shift + 7)
			}
			break
		}
	}
	return int32(v)
}
