// Package api is the core's façade: THE TABLE of stateless operations, and the
// one way to run them. The server mounts each at POST /v1/<name>, the browser's
// engine exposes the same table, and `pintail run <name>` runs it on standard
// input; so all three give the same bytes for the same bytes.
//
// The core is pure: no input or output, no clock, no randomness, and no package
// state that an answer could depend on (package pictures keeps what a trace of the
// same harness would compute again).
package api

import (
	"errors"
	"reflect"
	"strconv"
	"strings"

	"pintail/api/battery"
	"pintail/api/brakes"
	"pintail/api/breakaway"
	"pintail/api/coupling"
	"pintail/api/finding"
	"pintail/api/lamps"
	"pintail/api/lamps/lighttest"
	"pintail/api/lamps/plan"
	"pintail/api/lamps/record"
	"pintail/api/lamps/survey"
	"pintail/api/lamps/trace"
	"pintail/api/readiness"
	"pintail/api/rules"
	"pintail/api/strictjson"
	"pintail/api/trouble"
	"pintail/api/walkround"
)

// MaxInput is the largest input of an operation, in bytes; MaxBulk that of one
// that takes all rows of a workspace.
const (
	MaxInput = 1 << 20
	MaxBulk  = 32 << 20 // a file of rules.MaxFile with its line ends escaped, and as many changes
)

// Operation is one row of THE TABLE.
type Operation struct {
	// Name is the path under /v1/, for example "coupling/check".
	Name string
	// Input and Output are the Go types of the two schemas of the contract.
	Input, Output reflect.Type
	// MaxInput is the largest input, in bytes.
	MaxInput int
	check    func([]byte) *finding.Error
	run      func([]byte) ([]byte, *finding.Error)
}

// Check decodes and validates the input and computes nothing.
func (o Operation) Check(in []byte) *finding.Error { return o.check(in) }

// Run decodes and validates the input, computes, and encodes the answer.
func (o Operation) Run(in []byte) ([]byte, *finding.Error) { return o.run(in) }

// Operations is THE TABLE.
func Operations() []Operation {
	return []Operation{
		define("readiness", readiness.Evaluate),
		define("readiness/impact", readiness.Impact),
		define("coupling/check", coupling.Check),
		define("lamps/check", lamps.Check),
		define("lamps/plan", plan.Make),
		define("lamps/netlist", lamps.Netlist),
		define("lamps/test", lighttest.Make),
		define("lamps/trace", trace.Make),
		define("lamps/coverage", lighttest.Cover),
		define("lamps/record", record.Make),
		define("lamps/survey", survey.Make),
		define("brakes/check", brakes.Check),
		define("brakes/choice", brakes.Choose),
		define("brakes/stopping", brakes.Stopping),
		define("brakes/grade", brakes.Grade),
		define("breakaway/hold", breakaway.Hold),
		define("battery/check", battery.Check),
		define("battery/day", battery.Day),
		define("walkround/list", walkround.Make),
		define("walkround/run", walkround.Stands),
		define("walkround/hooked_up", walkround.StillHolds),
		define("trouble/list", trouble.List),
		define("rules/evaluate", rules.Evaluate),
		define("rules/jurisdictions", rules.Jurisdictions),
		defineBulk("rules/rows", rules.ListRows),
		defineBulk("rules/coverage", rules.Cover),
		defineBulk("rules/import", rules.Import),
		defineBulk("rules/export", rules.Export),
	}
}

// Run runs the named operation.
func Run(name string, in []byte) ([]byte, *finding.Error) {
	for _, o := range Operations() {
		if o.Name == name {
			return o.Run(in)
		}
	}
	return nil, finding.NewError(finding.UnknownOperation, "", "no operation is named "+strings.ToValidUTF8(name, "�"))
}

// validator is what every input is: it says what in it is not possible.
type validator interface{ Validate() *finding.Error }

// stamped is what every answer is: it carries the versions that gave it.
type stamped[O any] interface {
	*O
	SetStamp(finding.Stamp)
}

func define[I validator, O any, P stamped[O]](name string, compute func(I) O) Operation {
	return defineUpTo[I, O, P](MaxInput, name, compute)
}

func defineBulk[I validator, O any, P stamped[O]](name string, compute func(I) O) Operation {
	return defineUpTo[I, O, P](MaxBulk, name, compute)
}

func defineUpTo[I validator, O any, P stamped[O]](most int, name string, compute func(I) O) Operation {
	read := func(b []byte) (in I, err *finding.Error) {
		if err = decodeUpTo(most, b, &in); err != nil {
			return in, err
		}
		return in, in.Validate()
	}
	return Operation{
		Name:     name,
		Input:    reflect.TypeFor[I](),
		Output:   reflect.TypeFor[O](),
		MaxInput: most,
		check: func(b []byte) *finding.Error {
			_, err := read(b)
			return err
		},
		run: func(b []byte) ([]byte, *finding.Error) {
			in, err := read(b)
			if err != nil {
				return nil, err
			}
			out := compute(in)
			P(&out).SetStamp(stamp())
			answer, fault := strictjson.Marshal(out)
			if fault != nil {
				return nil, finding.NewError(finding.Internal, "", "the answer could not be written")
			}
			return answer, nil
		},
	}
}

// Decode reads one strict JSON value of at most MaxInput bytes. Null and empty
// texts are refused: an absent member is the one way to say not known.
func Decode(b []byte, v any) *finding.Error { return decodeUpTo(MaxInput, b, v) }

func decodeUpTo(most int, b []byte, v any) *finding.Error {
	if len(b) > most {
		return finding.NewError(finding.TooLarge, "", "the body is larger than "+strconv.Itoa(most>>20)+" MiB")
	}
	if err := strictjson.UnmarshalEntered(b, v); err != nil {
		return Problem(err)
	}
	return nil
}

// Problem is an error of the strict decoder as a face shows it.
func Problem(err error) *finding.Error {
	var f *strictjson.Fault
	if !errors.As(err, &f) {
		return finding.NewError(finding.MalformedJSON, "", err.Error())
	}
	return finding.NewError(faultCode(f.Kind), f.Pointer, f.Detail)
}

func faultCode(k strictjson.Kind) finding.Code {
	switch k {
	case strictjson.InvalidUTF8:
		return finding.InvalidUTF8
	case strictjson.UnknownName:
		return finding.UnknownMember
	case strictjson.DuplicateName:
		return finding.DuplicateMember
	case strictjson.WrongType:
		return finding.WrongType
	case strictjson.InvalidValue:
		return finding.InvalidValue
	}
	return finding.MalformedJSON
}
