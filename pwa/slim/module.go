package main

import (
	"encoding/binary"
	"errors"
)

// section is one part of a wasm program. Source of what is read here and in
// instruction.go: WebAssembly Core Specification, binary format.
type section struct {
	id   byte
	body []byte
}

const (
	typeSection     = 1
	functionSection = 3
	codeSection     = 10
	dataSection     = 11
)

const magicAndVersion = "\x00asm\x01\x00\x00\x00"

func sections(program []byte) ([]section, error) {
	if len(program) < len(magicAndVersion) || string(program[:4]) != magicAndVersion[:4] {
		return nil, errors.New("not a wasm program")
	}
	r := reader{bytes: program[len(magicAndVersion):]}
	var list []section
	for len(r.bytes) > 0 && r.err == nil {
		list = append(list, section{r.byte(), r.take(r.unsigned())})
	}
	return list, r.err
}

// join is the file of these sections.
func join(list []section) []byte {
	b := []byte(magicAndVersion)
	for _, s := range list {
		b = append(b, s.id)
		b = append(binary.AppendUvarint(b, uint64(len(s.body))), s.body...)
	}
	return b
}

// find returns the body of a section, nil if there is none.
func find(list []section, id byte) []byte {
	for _, s := range list {
		if s.id == id {
			return s.body
		}
	}
	return nil
}

const (
	i32 = 0x7f
	i64 = 0x7e
)

// resumable tells, for each function of the code section, whether it is of the
// kind that Go code is compiled to: from the block to resume at, an i32, to
// whether the stack is being unwound, an i32.
func resumable(list []section) ([]bool, error) {
	r := reader{bytes: find(list, typeSection)}
	var types []bool
	for range r.unsigned() {
		r.byte() // a function
		parameters := r.take(r.unsigned())
		results := r.take(r.unsigned())
		types = append(types, string(parameters) == string([]byte{i32}) && string(results) == string([]byte{i32}))
	}
	if r.err != nil {
		return nil, r.err
	}
	r = reader{bytes: find(list, functionSection)}
	var all []bool
	for range r.unsigned() {
		t := r.unsigned()
		if t >= uint64(len(types)) {
			return nil, errors.New("a function of no known type")
		}
		all = append(all, types[t])
	}
	return all, r.err
}

// function is one body of the code section.
type function struct {
	locals []locals
	code   []instruction
}

// locals are so many in a row of one type. They are numbered after the
// parameters.
type locals struct {
	count uint64
	kind  byte
}

func readFunction(body []byte) (function, error) {
	r := reader{bytes: body}
	var f function
	for range r.unsigned() {
		f.locals = append(f.locals, locals{r.unsigned(), r.byte()})
	}
	for len(r.bytes) > 0 && r.err == nil {
		f.code = append(f.code, r.instruction())
	}
	return f, r.err
}

func (f *function) append(to []byte) []byte {
	b := binary.AppendUvarint(nil, uint64(len(f.locals)))
	for _, l := range f.locals {
		b = append(binary.AppendUvarint(b, l.count), l.kind)
	}
	for _, i := range f.code {
		b = append(append(b, i.op), i.args...)
	}
	return append(binary.AppendUvarint(to, uint64(len(b))), b...)
}
