// Package strictjson is the one way JSON enters and leaves the core: no unknown
// or duplicate names, exact case, valid UTF-8, no null, nothing after the value;
// maps come out in the order of their keys, so an answer has one byte form.
package strictjson

import (
	"bytes"
	"errors"
	"io"
	"reflect"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Kind says what kind of fault a Fault is.
type Kind int

// The kinds of fault.
const (
	Malformed Kind = iota
	InvalidUTF8
	UnknownName
	DuplicateName
	WrongType
	InvalidValue
)

// Fault is why a value was refused, and where.
type Fault struct {
	Kind Kind
	// Pointer is a JSON Pointer to the value at fault; "" is the whole.
	Pointer string
	Detail  string
}

func (f *Fault) Error() string {
	if f.Pointer == "" {
		return f.Detail
	}
	return f.Pointer + ": " + f.Detail
}

// Marshal encodes v.
func Marshal(v any) ([]byte, error) {
	return json.Marshal(v, json.Deterministic(true))
}

// Unmarshal decodes the one value in b into v, or returns a *Fault.
func Unmarshal(b []byte, v any) error {
	return unmarshal(b, v, refuseNull)
}

// UnmarshalEntered is Unmarshal for what a person entered: it refuses an empty
// text as well, because that too would silently mean that nothing was entered.
func UnmarshalEntered(b []byte, v any) error {
	return unmarshal(b, v, refuseNothing)
}

func unmarshal(b []byte, v any, refuse func([]byte) error) error {
	if err := refuse(b); err != nil {
		return err
	}
	if err := json.Unmarshal(b, v, json.RejectUnknownMembers(true)); err != nil {
		return fault(err)
	}
	return nil
}

// refuseNull refuses null, which would silently become a zero value: an absent
// member is the one way to say that nothing was entered.
func refuseNull(b []byte) error { return walk(b, nil) }

func refuseNothing(b []byte) error {
	return walk(b, func(dec *jsontext.Decoder, t jsontext.Token) error {
		if t.Kind() != jsontext.KindString || t.String() != "" {
			return nil
		}
		if in, n := dec.StackIndex(dec.StackDepth()); in == jsontext.KindBeginObject && n%2 == 1 {
			return nil // a member's name
		}
		return &Fault{Kind: InvalidValue, Pointer: place(dec.StackPointer()), Detail: "an empty text is not a value here; leave the member out"}
	})
}

// walk reads the tokens once, refuses null, and asks each about the others.
func walk(b []byte, each func(*jsontext.Decoder, jsontext.Token) error) error {
	dec := jsontext.NewDecoder(bytes.NewReader(b))
	for {
		t, err := dec.ReadToken()
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return fault(err)
		case t.Kind() == jsontext.KindNull:
			return &Fault{Kind: WrongType, Pointer: place(dec.StackPointer()), Detail: "null is not a value here; leave the member out"}
		}
		if each == nil {
			continue
		}
		if err := each(dec, t); err != nil {
			return err
		}
	}
}

func fault(err error) *Fault {
	if s := (*jsontext.SyntacticError)(nil); errors.As(err, &s) {
		f := &Fault{Kind: Malformed, Pointer: place(s.JSONPointer), Detail: "not JSON: " + strings.TrimPrefix(cause(s.Err), "jsontext: ")}
		switch {
		case errors.Is(s.Err, jsontext.ErrDuplicateName):
			f.Kind, f.Detail = DuplicateName, "this member stands twice"
		case s.Err != nil && strings.Contains(s.Err.Error(), "UTF-8"):
			f.Kind, f.Detail = InvalidUTF8, "not valid UTF-8"
		case errors.Is(err, io.ErrUnexpectedEOF):
			f.Detail = "not JSON: the text ends too early"
		}
		return f
	}
	s := (*json.SemanticError)(nil)
	if !errors.As(err, &s) {
		return &Fault{Kind: Malformed, Detail: err.Error()}
	}
	f := &Fault{Kind: WrongType, Pointer: place(s.JSONPointer)}
	switch {
	case errors.Is(s.Err, json.ErrUnknownName):
		f.Kind, f.Detail = UnknownName, "unknown member"
	case s.Err != nil && fromUnmarshaler(s.GoType):
		f.Kind, f.Detail = InvalidValue, s.Err.Error()
	default:
		f.Detail = "want " + wanted(s.GoType)
		if s.JSONKind != 0 {
			f.Detail += ", got " + got(s.JSONKind)
		}
	}
	return f
}

// longestPointer bounds the pointer of a fault, in bytes: a hostile input nests
// deep and names things at length.
const longestPointer = 1000

// place is the pointer, or that of the nearest value around it which is short
// enough.
func place(p jsontext.Pointer) string {
	for len(p) > longestPointer {
		p = p.Parent()
	}
	return string(p)
}

// fromUnmarshaler reports whether the type reads itself: then its own words say
// what is wrong with the value.
func fromUnmarshaler(t reflect.Type) bool {
	return t != nil && reflect.PointerTo(t).Implements(reflect.TypeFor[json.UnmarshalerFrom]())
}

// cause is the innermost message, without the library's wrapping.
func cause(err error) string {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			if err == nil {
				return "unexpected text"
			}
			return err.Error()
		}
		err = inner
	}
}

// wanted names a Go type as a writer of JSON knows it.
func wanted(t reflect.Type) string {
	if t == nil {
		return "another value"
	}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "a string"
	case reflect.Slice, reflect.Array:
		return "an array"
	case reflect.Struct, reflect.Map:
		return "an object"
	case reflect.Float32, reflect.Float64:
		return "a number"
	}
	return "a whole number"
}

func got(k jsontext.Kind) string {
	switch k {
	case jsontext.KindTrue, jsontext.KindFalse:
		return "true or false"
	case jsontext.KindString:
		return "a string"
	case jsontext.KindNumber:
		return "a number"
	case jsontext.KindBeginObject:
		return "an object"
	}
	return "an array"
}
