package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// code puts instructions together: an opcode and its arguments each.
func code(list ...[]byte) (all []instruction) {
	for _, b := range list {
		all = append(all, instruction{b[0], b[1:]})
	}
	return all
}

func same(a, b []instruction) bool { return text(a) == text(b) }

func text(list []instruction) string {
	var b strings.Builder
	for _, i := range list {
		fmt.Fprintf(&b, "%#x % x\n", i.op, i.args)
	}
	return b.String()
}

var (
	getSP, setSP = []byte{opLocalGet, 1}, []byte{opGlobalSet, 0}
	end          = []byte{opEnd}
	block, loop  = []byte{opBlock, 0x40}, []byte{opLoop, 0x40}
	condition    = []byte{opIf, 0x40}
	setPC        = []byte{opLocalSet, 0}
	one          = []byte{opI32Const, 1}
)

// slot is the address of a stack slot as the compiler reckons it.
func slot(n byte) [][]byte {
	return [][]byte{getSP, {opExtendU}, {opI64Const, n}, {opI64Add}, {opWrap}}
}

func TestFoldAddresses(t *testing.T) {
	for _, tt := range []struct {
		name      string
		code, out [][]byte
	}{
		{"a load", append(slot(24), []byte{opI64Load, 3, 8}), [][]byte{getSP, {opI64Load, 3, 32}}},
		{"a store of what is loaded", append(append(slot(24), slot(8)...), []byte{opI64Load, 3, 0}, []byte{opI64Store, 3, 0}),
			[][]byte{getSP, getSP, {opI64Load, 3, 8}, {opI64Store, 3, 24}}},
		{"an address stored", append(append([][]byte{getSP}, slot(16)...), []byte{opExtendU}, []byte{opI64Store, 3, 0}),
			[][]byte{getSP, getSP, {opI32Const, 16}, {opI32Add}, {opExtendU}, {opI64Store, 3, 0}}},
		{"an address handed to a call", append(slot(16), []byte{opCall, 5}), [][]byte{getSP, {opI32Const, 16}, {opI32Add}, {opCall, 5}}},
		{"an address that a branch cuts off", append(slot(16), []byte{opI32Const, 0}, condition, end, []byte{opI64Load, 3, 0}),
			[][]byte{getSP, {opI32Const, 16}, {opI32Add}, {opI32Const, 0}, condition, end, {opI64Load, 3, 0}}},
		{"below the stack pointer", append(slot(0x78), []byte{opI64Load, 3, 0}), append(slot(0x78), []byte{opI64Load, 3, 0})}, // -8
		{"another local", [][]byte{{opLocalGet, 2}, {opExtendU}, {opI64Const, 8}, {opI64Add}, {opWrap}, {opI64Load, 3, 0}},
			[][]byte{{opLocalGet, 2}, {opExtendU}, {opI64Const, 8}, {opI64Add}, {opWrap}, {opI64Load, 3, 0}}},
	} {
		if got := foldAddresses(code(tt.code...)); !same(got, code(tt.out...)) {
			t.Errorf("%s: got\n%swant\n%s", tt.name, text(got), text(code(tt.out...)))
		}
	}
}

func TestReturnAtOnce(t *testing.T) {
	tee := []byte{opLocalTee, 1}
	got := returnAtOnce(code(getSP, []byte{opI32Const, 48}, []byte{opI32Add}, tee, setSP, getSP, []byte{opI32Const, 8}, []byte{opI32Add}, tee, setSP,
		[]byte{opI32Const, 0}, []byte{opReturn}, end))
	want := code(getSP, []byte{opI32Const, 56}, []byte{opI32Add}, setSP, []byte{opI32Const, 0}, []byte{opReturn}, end)
	if !same(got, want) {
		t.Errorf("got\n%swant\n%s", text(got), text(want))
	}
}

// rungsOf is a function of three blocks, with these instructions in the second
// one: the labels are 0 for the third's way, 1 for the loop, 2 for the block around.
func rungsOf(second ...[]byte) []instruction {
	list := [][]byte{getSP, block, loop, block, block, {opLocalGet, 0}, {opBrTable, 2, 0, 0, 1}, end}
	list = append(list, second...)
	list = append(list, end, []byte{opI32Const, 0}, []byte{opReturn}, end, end, one, end)
	return code(list...)
}

func TestJumpForward(t *testing.T) {
	to := func(block, label byte) [][]byte { return [][]byte{{opI32Const, block}, setPC, {opBr, label}} }
	for _, tt := range []struct {
		name      string
		code, out []instruction
	}{
		{"ahead", rungsOf(to(2, 1)...), rungsOf([]byte{opBr, 0})},
		{"ahead, past the table's end", rungsOf(to(9, 1)...), rungsOf([]byte{opBr, 0})},
		{"ahead, if", rungsOf(append(append([][]byte{one, condition}, to(2, 2)...), end)...), rungsOf(one, []byte{opBrIf, 0})},
		{"ahead, from within an if", rungsOf(append(append([][]byte{one, condition, getSP, {opDrop}}, to(2, 2)...), end)...),
			rungsOf(one, condition, getSP, []byte{opDrop}, []byte{opBr, 1}, end)},
		{"back", rungsOf(to(1, 1)...), rungsOf(to(1, 1)...)},
		{"out of the ladder", rungsOf([]byte{opBr, 2}), rungsOf([]byte{opBr, 2})},
		{"the block is read elsewhere", rungsOf(append([][]byte{{opLocalGet, 0}, {opDrop}}, to(2, 1)...)...), rungsOf(append([][]byte{{opLocalGet, 0}, {opDrop}}, to(2, 1)...)...)},
		{"the foot is reached otherwise", rungsOf(append([][]byte{one, {opBrIf, 1}}, to(2, 1)...)...), rungsOf(append([][]byte{one, {opBrIf, 1}}, to(2, 1)...)...)},
		{"another table", rungsOf(append([][]byte{one, {opBrTable, 1, 0, 1}}, to(2, 1)...)...), rungsOf(append([][]byte{one, {opBrTable, 1, 0, 1}}, to(2, 1)...)...)},
		{"no ladder", code(one, end), code(one, end)},
	} {
		if got := jumpForward(tt.code); !same(got, tt.out) {
			t.Errorf("%s: got\n%swant\n%s", tt.name, text(got), text(tt.out))
		}
	}
}

func TestLeaveAlike(t *testing.T) {
	leave := [][]byte{condition, one, {opReturn}, end}
	for _, tt := range []struct {
		name      string
		code, out []instruction
	}{
		{"unwound", rungsOf(one, []byte{opBrIf, 2}), rungsOf(append([][]byte{one}, leave...)...)},
		{"another label", rungsOf(one, []byte{opBrIf, 0}), rungsOf(one, []byte{opBrIf, 0})},
		{"another end", code(block, one, []byte{opBrIf, 0}, end, []byte{opI32Const, 0}, end), code(block, one, []byte{opBrIf, 0}, end, []byte{opI32Const, 0}, end)},
	} {
		if got := leaveAlike(tt.code); !same(got, tt.out) {
			t.Errorf("%s: got\n%swant\n%s", tt.name, text(got), text(tt.out))
		}
	}
}

func TestShareNumber(t *testing.T) {
	const number = 0x1234
	place := func(block int64) instruction { return constant(opI64Const, number<<16|block) }
	f := function{locals: []locals{{1, i32}, {3, i64}}, code: append([]instruction{place(1), place(0x8001), constant(opI64Const, 7)},
		code([]byte{opLocalGet, 1}, []byte{opLocalSet, 2}, []byte{opLocalTee, 4}, end)...)}
	f.shareNumber(number)
	local := withUnsigned(opLocalGet, 2)
	want := append([]instruction{
		constant(opI64Const, number<<16), withUnsigned(opLocalSet, 2),
		constant(opI64Const, 1), local, {op: opI64Add}, constant(opI64Const, 0x8001), local, {op: opI64Add}, constant(opI64Const, 7),
	}, code([]byte{opLocalGet, 1}, []byte{opLocalSet, 3}, []byte{opLocalTee, 5}, end)...)
	if !same(f.code, want) || fmt.Sprint(f.locals) != fmt.Sprint([]locals{{1, i32}, {1, i64}, {3, i64}}) {
		t.Errorf("%v, got\n%swant\n%s", f.locals, text(f.code), text(want))
	}
	once := function{locals: f.locals, code: []instruction{place(1)}}
	if once.shareNumber(number); !same(once.code, []instruction{place(1)}) {
		t.Error("a number used once is shared")
	}
}

// Constants are read as they are written.
func TestConstants(t *testing.T) {
	for _, v := range []int64{0, 1, -1, 63, 64, -64, -65, 127, 128, 1 << 30, -1 << 31, 1<<62 + 5, 1<<63 - 1, -1 << 63} {
		if got := constant(opI64Const, v).signed(); got != v {
			t.Errorf("%d is read as %d", v, got)
		}
	}
}

// Code that is not understood is refused, and never copied by halves.
func TestShortenRefuses(t *testing.T) {
	module := func(body ...byte) []byte {
		return join([]section{
			{typeSection, []byte{1, 0x60, 1, i32, 1, i32}}, {functionSection, []byte{1, 0}}, {codeSection, append([]byte{1, byte(len(body))}, body...)},
		})
	}
	sound := module(0, opI32Const, 1, opEnd)
	if got, err := shorten(sound); err != nil || !bytes.Equal(got, sound) {
		t.Errorf("%x, %v", got, err)
	}
	for name, bad := range map[string][]byte{
		"an unknown instruction":       module(0, 0xd1, opEnd),
		"an unknown long instruction":  module(0, opPrefixed, 99, opEnd),
		"a constant that does not end": module(0, opI32Const, 0x80),
		"more bodies than functions":   join([]section{{typeSection, []byte{0}}, {functionSection, []byte{0}}, {codeSection, []byte{1, 2, 0, opEnd}}}),
		"no such type":                 join([]section{{typeSection, []byte{0}}, {functionSection, []byte{1, 3}}, {codeSection, []byte{1, 2, 0, opEnd}}}),
		"no program":                   []byte("text"),
	} {
		if got, err := shorten(bad); err == nil {
			t.Errorf("%s: became %x", name, got)
		}
	}
}
