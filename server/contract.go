package server

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
	"unicode/utf8"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"

	"pintail/api/finding"
)

// contract is openapi.yaml, read.
type contract struct{ doc *openapi3.T }

func readContract(b []byte) (*contract, error) {
	doc, err := openapi3.NewLoader().LoadFromData(b)
	if err != nil {
		return nil, err
	}
	return &contract{doc: doc}, nil
}

// checkParameters holds the request's parameters against what the contract says
// of the route, given as Echo writes it. The error is a *finding.Error when the
// request is at fault.
func (k *contract) checkParameters(r *http.Request, route string, params map[string]string) error {
	path := contractPath(route)
	method := r.Method
	if method == http.MethodHead {
		method = http.MethodGet
	}
	item := k.doc.Paths.Value(path)
	if item == nil || item.GetOperation(method) == nil {
		return errors.New("no such path or method")
	}
	err := openapi3filter.ValidateRequest(r.Context(), &openapi3filter.RequestValidationInput{
		Request:    r,
		PathParams: params,
		Route:      &routers.Route{Spec: k.doc, Path: path, PathItem: item, Method: method, Operation: item.GetOperation(method)},
		// Who may do what is asked elsewhere, before anything is looked at.
		Options: &openapi3filter.Options{ExcludeRequestBody: true, AuthenticationFunc: openapi3filter.NoopAuthenticationFunc},
	})
	var bad *openapi3filter.RequestError
	if errors.As(err, &bad) && bad.Parameter != nil {
		return finding.NewError(finding.InvalidParameter, "", bad.Parameter.In+" parameter "+bad.Parameter.Name+" is not possible")
	}
	if err != nil {
		return err
	}
	return checkText(r.URL.Query())
}

// checkText refuses a query whose bytes are no text: no schema says so, and no
// document could keep them.
func checkText(query url.Values) error {
	for name, values := range query {
		for _, v := range values {
			if !utf8.ValidString(v) {
				return finding.NewError(finding.InvalidParameter, "", "query parameter "+name+" is not UTF-8")
			}
		}
	}
	return nil
}

// contractPath writes a route of Echo as a path of the contract:
// /v1/rigs/:id is /v1/rigs/{id}.
func contractPath(route string) string {
	parts := strings.Split(route, "/")
	for i, p := range parts {
		if name, ok := strings.CutPrefix(p, ":"); ok {
			parts[i] = "{" + name + "}"
		}
	}
	return strings.Join(parts, "/")
}
