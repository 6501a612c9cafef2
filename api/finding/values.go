package finding

import (
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Values are the parameters of a sentence in the order of their names. In JSON
// they are one object. Several sentences may share them: nobody changes them.
type Values []Value

// Value is one named parameter.
type Value struct {
	Name string
	Param
}

// ValuesOf returns the parameters in the order of their names, nil if none.
func ValuesOf(params Params) Values {
	if params == nil {
		return nil
	}
	v := make(Values, 0, len(params))
	for name, p := range params {
		v = v.insert(name, p)
	}
	return v
}

// namedIn returns those parameters that the sentence names.
func namedIn(template string, params Params) Values {
	n := min(len(params), strings.Count(template, "{"))
	if n == 0 {
		return nil
	}
	v := make(Values, 0, n)
	for {
		_, name, after, ok := cutName(template)
		if !ok {
			return v
		}
		if p, given := params[name]; given && v.find(name) == nil {
			v = v.insert(name, p)
		}
		template = after
	}
}

// insert puts a parameter where its name belongs.
func (v Values) insert(name string, p Param) Values {
	at := len(v)
	v = append(v, Value{})
	for ; at > 0 && v[at-1].Name > name; at-- {
		v[at] = v[at-1]
	}
	v[at] = Value{name, p}
	return v
}

// Get returns the parameter of that name, the zero Param if there is none.
func (v Values) Get(name string) Param {
	if p := v.find(name); p != nil {
		return *p
	}
	return Param{}
}

func (v Values) find(name string) *Param {
	for i := range v {
		if v[i].Name == name {
			return &v[i].Param
		}
	}
	return nil
}

// MarshalJSONTo writes {"name": param}.
func (v Values) MarshalJSONTo(enc *jsontext.Encoder) error {
	if err := enc.WriteToken(jsontext.BeginObject); err != nil {
		return err
	}
	for i := range v {
		if err := enc.WriteToken(jsontext.String(v[i].Name)); err != nil {
			return err
		}
		if err := v[i].Param.MarshalJSONTo(enc); err != nil {
			return err
		}
	}
	return enc.WriteToken(jsontext.EndObject)
}

// UnmarshalJSONFrom reads {"name": param}.
func (v *Values) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	var params Params
	err := json.UnmarshalDecode(dec, &params)
	*v = ValuesOf(params)
	return err
}
