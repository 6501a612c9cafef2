package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

// What the compiler makes of a Go function: it takes in local 0 the block to
// resume at (PC_B) and holds the stack pointer in local 1, a copy of global 0. Its
// code is a ladder of blocks in a loop. At the foot of the ladder a table jumps to
// the end of the block that PC_B names; a jump sets PC_B and goes to the foot
// again. A call puts on the Go stack where to resume, the function's number and a
// block of it, and gives 1 where the stack is being unwound to switch goroutines;
// then this function is left with 1 as well. Source: cmd/internal/obj/wasm and
// cmd/link/internal/wasm of Go.
const (
	pcB          = 0
	stackPointer = 1
	// firstFunction is the number of the first function of the code section.
	firstFunction = 0x1000
)

// shorten writes the code of Go functions shorter, and so that alike is written
// alike: the same instructions compress and run the better for it. What each does,
// the functions, their numbers and their blocks stay the same.
func shorten(file []byte) ([]byte, error) {
	list, err := sections(file)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(list, func(s section) bool { return s.id == codeSection })
	if i < 0 {
		return file, nil
	}
	ofGo, err := resumable(list)
	if err != nil {
		return nil, err
	}
	if list[i].body, err = shortenCode(list[i].body, ofGo); err != nil {
		return nil, err
	}
	return join(list), nil
}

func shortenCode(body []byte, ofGo []bool) ([]byte, error) {
	r := reader{bytes: body}
	if n := r.unsigned(); r.err == nil && n != uint64(len(ofGo)) {
		return nil, errors.New("another number of bodies than of functions")
	}
	out := binary.AppendUvarint(nil, uint64(len(ofGo)))
	for i := range ofGo {
		f, err := readFunction(r.take(r.unsigned()))
		if err = errors.Join(r.err, err); err != nil {
			return nil, fmt.Errorf("function %d: %w", i, err)
		}
		if ofGo[i] && len(f.locals) > 0 && f.locals[0] == (locals{1, i32}) {
			f.code = foldAddresses(f.code)
			f.code = returnAtOnce(f.code)
			f.code = jumpForward(f.code)
			f.code = leaveAlike(f.code)
			f.shareNumber(firstFunction + int64(i))
		}
		out = f.append(out)
	}
	return out, nil
}

// foldAddresses takes the addresses of stack slots, which are reckoned as 64 bits
// and cut to 32, into the load or store that uses them, or else adds in 32 bits. A
// slot lies in the stack, so that nothing is carried out of 32 bits.
func foldAddresses(code []instruction) []instruction {
	const length = 5 // get the stack pointer, extend, constant, add, wrap
	type address struct {
		at   int // in out, where the stack pointer is got; -1 for any other operand
		slot int64
	}
	other := address{at: -1}
	var out []instruction
	var operands []address
	plain := func(a address) { // add in 32 bits
		if a.at >= 0 {
			out[a.at+1], out[a.at+2] = constant(opI32Const, a.slot), instruction{op: opI32Add}
		}
	}
	for i := 0; i < len(code); i++ {
		if slot, ok := slotAt(code[i:]); ok {
			operands = append(operands, address{len(out), slot})
			out = append(out, code[i], instruction{op: opNothing}, instruction{op: opNothing})
			i += length - 1
			continue
		}
		takes, leaves, ok := code[i].effect()
		if !ok {
			takes = len(operands)
		}
		here := code[i]
		for n := range takes {
			a := other
			if len(operands) > 0 {
				a = operands[len(operands)-1]
				operands = operands[:len(operands)-1]
			}
			if a.at >= 0 && here.op >= opFirstLoad && here.op <= opLastStore && n == takes-1 {
				here = here.at(here.offset() + uint64(a.slot))
			} else {
				plain(a)
			}
		}
		out = append(out, here)
		for range leaves {
			operands = append(operands, other)
		}
	}
	return slices.DeleteFunc(out, func(i instruction) bool { return i.op == opNothing })
}

// slotAt reads the address of a stack slot.
func slotAt(code []instruction) (slot int64, ok bool) {
	if len(code) < 5 || !code[0].is(opLocalGet, stackPointer) || code[1].op != opExtendU || code[2].op != opI64Const || code[3].op != opI64Add || code[4].op != opWrap {
		return 0, false
	}
	slot = code[2].signed()
	return slot, slot >= 0 && slot < 1<<30
}

// returnAtOnce takes down the frame and the return address below it in one step.
func returnAtOnce(code []instruction) []instruction {
	set := func(c []instruction) bool { // add what is on the stack, keep it as stack pointer
		return c[0].op == opI32Add && c[1].is(opLocalTee, stackPointer) && c[2].is(opGlobalSet, 0)
	}
	for i := 0; i+12 <= len(code); i++ {
		c := code[i : i+12]
		if c[0].is(opLocalGet, stackPointer) && c[1].op == opI32Const && set(c[2:]) &&
			c[5].is(opLocalGet, stackPointer) && c[6].is(opI32Const, 8) && set(c[7:]) &&
			c[10].op == opI32Const && c[11].op == opReturn {
			code = slices.Replace(code, i+1, i+10, constant(opI32Const, c[1].signed()+8), c[2], c[4])
		}
	}
	return code
}

// ladder is where the jumps of a function lead.
type ladder struct {
	loop  int   // where its loop begins
	rungs []int // by PC_B: where the block begins to whose end it leads
}

// rung is the block that a PC_B leads to the end of.
func (l ladder) rung(block int64) int {
	if block < 0 || block >= int64(len(l.rungs)) {
		return l.rungs[len(l.rungs)-1]
	}
	return l.rungs[block]
}

// jumpForward lets jumps to what lies ahead go there themselves. Only those back
// still go by the foot of the ladder, the one place that reads PC_B.
func jumpForward(code []instruction) []instruction {
	l, ok := findLadder(code)
	if !ok {
		return code
	}
	// depth is the label of the jump that begins at i, if it leads ahead.
	depth := func(i int, open []int) (label int, ok bool) {
		if !jumps(code, i) || !l.leadsBack(code[i+2], open) {
			return 0, false
		}
		at := slices.Index(open, l.rung(code[i].signed()))
		return len(open) - 1 - at, at >= 0
	}
	var out []instruction
	skip := 0
	walk(code, func(i int, open []int) {
		if i < skip {
			return
		}
		if code[i].op == opIf && i+4 < len(code) && code[i+4].op == opEnd {
			if label, ok := depth(i+1, append(slices.Clip(open), i)); ok {
				out = append(out, withUnsigned(opBrIf, uint64(label-1))) // one block fewer around it
				skip = i + 5
				return
			}
		}
		if label, ok := depth(i, open); ok {
			out = append(out, withUnsigned(opBr, uint64(label)))
			skip = i + 3
			return
		}
		out = append(out, code[i])
	})
	return out
}

// jumps reports whether at i PC_B is set and a label gone to.
func jumps(code []instruction, i int) bool {
	return i+2 < len(code) && code[i].op == opI32Const && code[i+1].is(opLocalSet, pcB) && code[i+2].op == opBr
}

// findLadder finds the foot of the ladder. It reports false where the function is
// built otherwise: where PC_B is read elsewhere as well, or the foot reached
// without setting it.
func findLadder(code []instruction) (l ladder, ok bool) {
	reads, others := 0, 0
	walk(code, func(i int, open []int) {
		switch code[i].op {
		case opLocalGet:
			if code[i].is(opLocalGet, pcB) {
				reads++
			}
		case opBrTable:
			if l.rungs != nil || i == 0 || !code[i-1].is(opLocalGet, pcB) {
				others++ // another table may lead anywhere
				return
			}
			l.loop, l.rungs = rungs(code, i, open)
		case opBr:
			if l.leadsBack(code[i], open) && (i < 2 || !jumps(code, i-2)) {
				others++
			}
		case opBrIf:
			if l.leadsBack(code[i], open) {
				others++
			}
		}
	})
	return l, l.loop > 0 && reads == 1 && others == 0
}

// leadsBack reports whether a jump goes to the foot.
func (l ladder) leadsBack(jump instruction, open []int) bool {
	return l.rungs != nil && target(jump, open) == l.loop
}

// target is where the block begins that a jump names, -1 for the function itself.
func target(jump instruction, open []int) int {
	label := jump.unsigned()
	if label >= uint64(len(open)) {
		return -1
	}
	return open[len(open)-1-int(label)]
}

// rungs reads the table at the foot: the innermost loop around it, 0 if there is
// none, and the blocks.
func rungs(code []instruction, at int, open []int) (loop int, blocks []int) {
	for _, i := range open {
		if code[i].op == opLoop {
			loop = i
		}
	}
	r := reader{bytes: code[at].args}
	for range r.unsigned() + 1 {
		b := target(withUnsigned(opBr, r.unsigned()), open)
		if b < 0 || code[b].op != opBlock {
			return 0, nil
		}
		blocks = append(blocks, b)
	}
	return loop, blocks
}

// leaveAlike leaves a function that is being unwound where that is found, instead
// of by a label that has another number at every depth.
func leaveAlike(code []instruction) []instruction {
	n := len(code)
	if n < 3 || code[n-1].op != opEnd || !code[n-2].is(opI32Const, 1) || code[n-3].op != opEnd {
		return code
	}
	last := len(code) // where the block begins that ends before the last constant
	walk(code, func(i int, open []int) {
		if i == n-3 && len(open) > 0 && code[open[len(open)-1]].op == opBlock {
			last = open[len(open)-1]
		}
	})
	var out []instruction
	walk(code, func(i int, open []int) {
		if code[i].op == opBrIf && target(code[i], open) == last {
			out = append(out, instruction{opIf, []byte{0x40}}, constant(opI32Const, 1), instruction{op: opReturn}, instruction{op: opEnd})
			return
		}
		out = append(out, code[i])
	})
	return out
}

// shareNumber holds the number of the function in a local of its own, the first
// after the stack pointer, from which each place to resume at is made: then all
// functions resume by the same instructions.
func (f *function) shareNumber(number int64) {
	const local, shift = stackPointer + 1, 16
	uses := func(i instruction) bool { return i.op == opI64Const && i.signed()>>shift == number }
	n := 0
	for _, i := range f.code {
		if uses(i) {
			n++
		}
	}
	if n < 2 {
		return
	}
	out := []instruction{constant(opI64Const, number<<shift), withUnsigned(opLocalSet, local)}
	for _, i := range f.code {
		switch {
		case uses(i):
			out = append(out, constant(opI64Const, i.signed()&(1<<shift-1)), withUnsigned(opLocalGet, local), instruction{op: opI64Add})
		case i.op >= opLocalGet && i.op <= opLocalTee && i.unsigned() >= local:
			out = append(out, withUnsigned(i.op, i.unsigned()+1))
		default:
			out = append(out, i)
		}
	}
	f.code = out
	f.locals = slices.Insert(f.locals, 1, locals{1, i64})
}

// walk calls do for every instruction with where the blocks around it begin, the
// outermost first; the end of a block is still within it.
func walk(code []instruction, do func(i int, open []int)) {
	var open []int
	for i := range code {
		do(i, open)
		switch code[i].op {
		case opBlock, opLoop, opIf:
			open = append(open, i)
		case opEnd:
			open = open[:max(0, len(open)-1)]
		}
	}
}
