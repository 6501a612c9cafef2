package api_test

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/strictjson"
)

// FuzzDecode asks one operation, chosen by the first value, with any bytes. It
// never panics. A refusal names a code of the list and a place in the input. An
// accepted input, decoded and encoded again, gives the same answer.
func FuzzDecode(f *testing.F) {
	for _, h := range hostile {
		if len(h.in) < 10_000 {
			f.Add(byte(1), []byte(h.in))
		}
	}
	f.Fuzz(func(t *testing.T, which byte, in []byte) {
		ops := api.Operations()
		judge(t, ops[int(which)%len(ops)], in)
	})
}

// checks is what a check needs of a test or of a property.
type checks interface {
	Helper()
	Errorf(format string, args ...any)
	Fatal(args ...any)
	Fatalf(format string, args ...any)
}

// judge runs an operation and checks what holds of every input.
func judge(t checks, op api.Operation, in []byte) (accepted bool) {
	t.Helper()
	answer, problem := op.Run(in)
	if problem != nil {
		for _, p := range problem.Problems {
			if !slices.Contains(p.Code.Values(), string(p.Code)) || p.Code == finding.Internal || p.Detail == "" {
				t.Errorf("%s: problem %+v", op.Name, p)
			}
			if !placed(in, p) {
				t.Errorf("%s: %q is no place in the input (%s)\n%.500s", op.Name, p.Pointer, p.Detail, in)
			}
		}
		return false
	}
	again := mustEncode(t, in, op.Input)
	if got, problem := op.Run(again); problem != nil || !bytes.Equal(got, answer) {
		t.Errorf("%s: the same input, written anew, is answered otherwise: %v\n%.500s\n%.500s", op.Name, problem, in, again)
	}
	contractAgrees(t, op, in, answer)
	return true
}

// mustEncode decodes a value of the type and encodes it again.
func mustEncode(t checks, b []byte, typ reflect.Type) []byte {
	t.Helper()
	v := reflect.New(typ)
	if err := strictjson.Unmarshal(b, v.Interface()); err != nil {
		t.Fatalf("%v\n%s", err, b)
	}
	out, err := strictjson.Marshal(v.Elem().Interface())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// placed reports whether a problem's pointer leads to a value of the input, or
// to a member that is missing from one that is there.
func placed(in []byte, p finding.Problem) bool {
	var v any
	if p.Code == finding.DuplicateMember || json.Unmarshal(in, &v) != nil {
		return true // of two members with one name, this reader keeps the last
	}
	tokens := strings.Split(p.Pointer, "/")
	if tokens[0] != "" {
		return false
	}
	for i, token := range tokens[1:] {
		token = strings.ReplaceAll(strings.ReplaceAll(token, "~1", "/"), "~0", "~")
		switch inside := v.(type) {
		case map[string]any:
			next, ok := inside[token]
			if !ok {
				// Invalid UTF-8 in a name reads as the replacement character.
				return i == len(tokens)-2 || p.Code == finding.InvalidUTF8
			}
			v = next
		case []any:
			n, err := strconv.Atoi(token)
			if err != nil || n < 0 || n >= len(inside) {
				return false
			}
			v = inside[n]
		default:
			return false
		}
	}
	return true
}
