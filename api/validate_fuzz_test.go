package api_test

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/rules"
	"pintail/api/strictjson"
	"pintail/api/unit"
)

// FuzzValidate makes inputs of the right shape with figures of every size.
// Validate never panics; take away every value it refuses and the rest is
// accepted, and answered without a fault, a NaN or an infinity.
func FuzzValidate(f *testing.F) {
	f.Fuzz(rapid.MakeFuzz(anyInput))
}

func TestAnyInput(t *testing.T) {
	rapid.Check(t, anyInput)
}

func anyInput(t *rapid.T) {
	op := rapid.SampledFrom(api.Operations()).Draw(t, "operation")
	in := reflect.New(op.Input).Elem()
	draw(t, in, op.Name)
	b, err := strictjson.Marshal(in.Interface())
	if err != nil {
		t.Fatal(err)
	}
	for range 40 {
		_, problem := op.Run(b)
		if problem == nil {
			judge(t, op, b)
			return
		}
		b = without(t, b, problem)
	}
	t.Fatalf("%s: refused again and again\n%s", op.Name, b)
}

// draw fills a value: each optional thing is there or not.
func draw(t *rapid.T, v reflect.Value, at string) {
	if q, ok := quantity(t, v, at); ok {
		v.Set(q)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		required := strings.HasSuffix(at, "/rig") || strings.HasSuffix(at, "/kit") || strings.HasSuffix(at, "/trip") ||
			strings.HasSuffix(at, "/run") || strings.HasSuffix(at, "/record") || at == "walkround/hooked_up/hooked_up"
		if required || rapid.IntRange(0, 3).Draw(t, at+"?") > 0 {
			v.Set(reflect.New(v.Type().Elem()))
			draw(t, v.Elem(), at)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name, options, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			if options == "omitzero" && v.Field(i).Kind() != reflect.Pointer && rapid.IntRange(0, 3).Draw(t, at+"/"+name+"?") == 0 {
				continue
			}
			draw(t, v.Field(i), at+"/"+name)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for _, key := range rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Za-z0-9_-]{1,8}`), 0, 4, rapid.ID).Draw(t, at) {
			e := reflect.New(v.Type().Elem()).Elem()
			draw(t, e, at+"/"+key)
			v.SetMapIndex(reflect.ValueOf(key), e)
		}
	case reflect.Slice:
		n := rapid.IntRange(1, 6).Draw(t, at)
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			draw(t, v.Index(i), at+"/*")
		}
	case reflect.String:
		v.SetString(text(t, v, at))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, at))
	case reflect.Int64: // a moment; TestBounds tries what is not one
		v.SetInt(rapid.Int64Range(1, 7_258_118_400_000).Draw(t, at))
	case reflect.Int:
		v.SetInt(int64(rapid.OneOf(rapid.IntRange(0, 4), rapid.IntRange(-10, 3000)).Draw(t, at)))
	case reflect.Float64:
		v.SetFloat(rapid.OneOf(rapid.Float64Range(0, 20), rapid.Float64Range(-1e3, 1e7)).Draw(t, at))
	default:
		t.Fatalf("%s: no way to make a %s", at, v.Type())
	}
}

func text(t *rapid.T, v reflect.Value, at string) string {
	if words, ok := v.Interface().(interface{ Values() []string }); ok {
		return rapid.SampledFrom(words.Values()).Draw(t, at)
	}
	switch {
	case v.Type() == reflect.TypeFor[unit.Date]():
		return rapid.SampledFrom([]string{"1900-01-01", "2023-02-29", "2026-10-03", "2199-12-31"}).Draw(t, at)
	case strings.HasSuffix(at, "/record/at"), strings.HasSuffix(at, "/test_records/*/at"):
		return rapid.SampledFrom([]string{"1970-01-01T00:00:00Z", "2026-10-03T23:59:59-11:00", "2199-12-31T12:00:00.5+14:00"}).Draw(t, at)
	case strings.Contains(at, "/route/"):
		return rapid.SampledFrom(rules.Jurisdictions(rules.JurisdictionsInput{}).Jurisdictions).Draw(t, at).Code
	}
	return rapid.StringN(1, 12, -1).Draw(t, at)
}

// sizes lie at and around the limits that laws, classes and bounds set.
var sizes = []float64{
	-500_000, -1, 0, 0.001, 0.25, 1, 5, 11.999, 15, 15.001, 55, 84, 399.999, 400, 1_360, 1_500, 1_999.999, 2_000,
	2_998.287, 2_999, 3_000, 3_000.001, 3_500, 4_300, 5_000, 10_000, 20_000, 26_000, 26_001, 150_000, 499_999.999, 500_000,
}

func quantity(t *rapid.T, v reflect.Value, at string) (reflect.Value, bool) {
	value := func() float64 {
		return rapid.OneOf(rapid.SampledFrom(sizes), rapid.Custom(func(t *rapid.T) float64 {
			return float64(rapid.Int64Range(-1_000, 40_000_000).Draw(t, "thousandths")) / 1000
		})).Draw(t, at)
	}
	switch v.Interface().(type) {
	case rules.Change:
		return reflect.ValueOf(ruleChange(t, at)), true
	case unit.Mass:
		return made(t, unit.NewMass, value(), unit.Mass{}.Units(), at), true
	case unit.Length:
		return made(t, unit.NewLength, value(), unit.Length{}.Units(), at), true
	case unit.Speed:
		return made(t, unit.NewSpeed, value(), unit.Speed{}.Units(), at), true
	case unit.Temperature:
		return made(t, unit.NewTemperature, value(), unit.Temperature{}.Units(), at), true
	}
	return reflect.Value{}, false
}

// ruleChange is a change that can be: its members are possible only together,
// and a problem inside a list cannot be taken away by itself.
func ruleChange(t *rapid.T, at string) rules.Change {
	row := rapid.SampledFrom(builtInRows()).Draw(t, at).Row
	c := rules.Change{Row: row.ID, By: "desk", At: 1_790_000_000_000, Reason: "as read", Withdrawn: rapid.Bool().Draw(t, at+"/withdrawn")}
	if rapid.Bool().Draw(t, at+"/yours?") {
		if row.When != nil && rapid.Bool().Draw(t, at+"/always") {
			row.When = nil
		}
		c.Yours = &row
	}
	return c
}

// builtInRows are the rows that stand alone: a change of a row that another is
// joined with may make a change of that other one impossible beside it.
var builtInRows = sync.OnceValue(func() []rules.RowAt {
	all := rules.ListRows(rules.RowsInput{}).Rows
	joined := map[string]bool{}
	for _, r := range all {
		joined[r.Row.JoinedWith] = true
	}
	return slices.DeleteFunc(all, func(r rules.RowAt) bool { return r.Row.JoinedWith != "" || joined[r.Row.ID] })
})

func made[Q any](t *rapid.T, make func(float64, string) (Q, error), value float64, units []string, at string) reflect.Value {
	q, err := make(value, rapid.SampledFrom(units).Draw(t, at+" unit"))
	if err != nil {
		t.Fatal(err)
	}
	return reflect.ValueOf(q)
}

// without takes what a problem points at out of the input.
func without(t *rapid.T, b []byte, problem *finding.Error) []byte {
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	for _, p := range problem.Problems {
		if p.Code != finding.InvalidValue {
			t.Fatalf("%s\n%s", problem, b)
		}
		tokens := strings.Split(p.Pointer, "/")[1:]
		if !remove(v, tokens) && len(tokens) > 1 {
			remove(v, tokens[:len(tokens)-1]) // a member was missing; then its owner goes
		}
	}
	out, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func remove(v any, tokens []string) bool {
	for i, token := range tokens[:len(tokens)-1] {
		inside, ok := v.(map[string]any)
		if !ok {
			return false
		}
		if _, list := inside[token].([]any); list {
			tokens = tokens[:i+1] // what is wrong inside a list takes the list along
			break
		}
		v = inside[token]
	}
	inside, ok := v.(map[string]any)
	if !ok {
		return false
	}
	last := tokens[len(tokens)-1]
	_, stands := inside[last]
	delete(inside, last)
	return stands
}
