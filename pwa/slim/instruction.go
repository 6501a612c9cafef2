package main

import (
	"encoding/binary"
	"fmt"
)

// instruction is an opcode with what follows it in the code.
type instruction struct {
	op   byte
	args []byte
}

// The opcodes that are spoken of by name.
const (
	opBlock      = 0x02
	opLoop       = 0x03
	opIf         = 0x04
	opElse       = 0x05
	opEnd        = 0x0b
	opBr         = 0x0c
	opBrIf       = 0x0d
	opBrTable    = 0x0e
	opReturn     = 0x0f
	opCall       = 0x10
	opCallBy     = 0x11
	opDrop       = 0x1a
	opSelect     = 0x1b
	opLocalGet   = 0x20
	opLocalSet   = 0x21
	opLocalTee   = 0x22
	opGlobalGet  = 0x23
	opGlobalSet  = 0x24
	opFirstLoad  = 0x28
	opI64Load    = 0x29
	opFirstStore = 0x36
	opI64Store   = 0x37
	opLastStore  = 0x3e
	opMemorySize = 0x3f
	opMemoryGrow = 0x40
	opI32Const   = 0x41
	opI64Const   = 0x42
	opF32Const   = 0x43
	opF64Const   = 0x44
	opI32Eqz     = 0x45
	opI64Eqz     = 0x50
	opI32Add     = 0x6a
	opI64Add     = 0x7c
	opWrap       = 0xa7 // i32.wrap_i64
	opExtendU    = 0xad // i64.extend_i32_u
	opLastPlain  = 0xc4
	opPrefixed   = 0xfc
	opNothing    = 0xff // none at all: what is taken out
)

// instruction reads the next one, with its arguments as they are.
func (r *reader) instruction() instruction {
	rest := r.bytes
	op := r.byte()
	switch {
	case op == opBlock || op == opLoop || op == opIf || op == opI32Const || op == opI64Const:
		r.skip(1)
	case op == opBr || op == opBrIf || op == opCall || op >= opLocalGet && op <= opGlobalSet:
		r.skip(1)
	case op == opBrTable:
		r.skip(r.unsigned() + 1)
	case op == opCallBy || op >= opFirstLoad && op <= opLastStore:
		r.skip(2)
	case op == opMemorySize || op == opMemoryGrow:
		r.take(1)
	case op == opF32Const:
		r.take(4)
	case op == opF64Const:
		r.take(8)
	case op == opPrefixed:
		r.prefixed()
	case op <= 0x01 || op == opElse || op == opEnd || op == opReturn || op == opDrop || op == opSelect || op >= opI32Eqz && op <= opLastPlain:
	default:
		r.fail(fmt.Errorf("an instruction that is not known: %#x", op))
	}
	if r.err != nil {
		return instruction{}
	}
	return instruction{op, rest[1 : len(rest)-len(r.bytes)]}
}

// prefixed reads what follows the prefix of the later instructions: conversions
// that saturate, which have no arguments, and those of memory in bulk.
func (r *reader) prefixed() {
	switch op := r.unsigned(); {
	case op < 8:
	case op == 10: // memory.copy
		r.take(2)
	case op == 11: // memory.fill
		r.take(1)
	default:
		r.fail(fmt.Errorf("an instruction that is not known: %#x %d", opPrefixed, op))
	}
}

// skip passes over so many LEB128 numbers.
func (r *reader) skip(numbers uint64) {
	for range numbers {
		for r.byte()&0x80 != 0 {
		}
		if r.err != nil {
			return
		}
	}
}

// is reports whether the instruction is this one, to the byte.
func (i instruction) is(op byte, args ...byte) bool {
	return i.op == op && string(i.args) == string(args)
}

// unsigned is the first argument of an instruction that has an unsigned one.
func (i instruction) unsigned() uint64 {
	v, _ := binary.Uvarint(i.args)
	return v
}

// signed is the value of a constant or the type of a block.
func (i instruction) signed() int64 {
	var v int64
	for at, b := range i.args {
		v |= int64(b&0x7f) << (7 * at)
		if b&0x80 == 0 {
			if shift := 7 * (at + 1); b&0x40 != 0 && shift < 64 {
				v |= -1 << shift
			}
			break
		}
	}
	return v
}

// offset is what a load or store adds to its address.
func (i instruction) offset() uint64 {
	_, n := binary.Uvarint(i.args) // the alignment
	v, _ := binary.Uvarint(i.args[n:])
	return v
}

// at is a load or store with another offset.
func (i instruction) at(offset uint64) instruction {
	alignment, _ := binary.Uvarint(i.args)
	return instruction{i.op, binary.AppendUvarint(binary.AppendUvarint(nil, alignment), offset)}
}

func withUnsigned(op byte, v uint64) instruction {
	return instruction{op, binary.AppendUvarint(nil, v)}
}

func constant(op byte, v int64) instruction {
	var args []byte
	for {
		b := byte(v & 0x7f)
		v >>= 7
		if v == 0 && b&0x40 == 0 || v == -1 && b&0x40 != 0 {
			return instruction{op, append(args, b)}
		}
		args = append(args, b|0x80)
	}
}

// effect is how many operands an instruction takes from the stack and how many it
// leaves there; ok is false where control flows on elsewhere, or where that
// depends on more than the opcode.
func (i instruction) effect() (takes, leaves int, ok bool) {
	op := i.op
	switch {
	case op == opDrop || op == opLocalSet || op == opGlobalSet:
		return 1, 0, true
	case op == opSelect:
		return 3, 1, true
	case op == opLocalGet || op == opGlobalGet || op == opMemorySize || op >= opI32Const && op <= opF64Const:
		return 0, 1, true
	case op >= opFirstStore && op <= opLastStore:
		return 2, 0, true
	case op == opLocalTee || op == opMemoryGrow || op >= opFirstLoad && op < opFirstStore || takesOne(op):
		return 1, 1, true
	case op >= opI32Eqz && op <= 0xa6:
		return 2, 1, true
	}
	return 0, 0, false
}

// takesOne reports whether a numeric instruction is a test, unary or a conversion.
func takesOne(op byte) bool {
	return op == opI32Eqz || op == opI64Eqz ||
		op >= 0x67 && op <= 0x69 || // bits of an i32
		op >= 0x79 && op <= 0x7b || // bits of an i64
		op >= 0x8b && op <= 0x91 || // of an f32
		op >= 0x99 && op <= 0x9f || // of an f64
		op >= opWrap && op <= opLastPlain
}
