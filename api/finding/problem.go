package finding

import (
	"strings"

	"pintail/api/strictjson"
)

// Code is one of the closed list of things that can be wrong with a request.
type Code string

// The codes.
const (
	MalformedJSON    Code = "malformed_json"
	InvalidUTF8      Code = "invalid_utf8"
	UnknownMember    Code = "unknown_member"
	DuplicateMember  Code = "duplicate_member"
	WrongType        Code = "wrong_type"
	InvalidValue     Code = "invalid_value"
	TooLarge         Code = "too_large"
	UnknownOperation Code = "unknown_operation"

	// What only a server meets.
	NotFound             Code = "not_found"
	MethodNotAllowed     Code = "method_not_allowed"
	UnsupportedMediaType Code = "unsupported_media_type"
	InvalidParameter     Code = "invalid_parameter"
	Misdirected          Code = "misdirected"
	Unauthorized         Code = "unauthorized"
	Forbidden            Code = "forbidden"
	Conflict             Code = "conflict"
	PreconditionFailed   Code = "precondition_failed"
	PreconditionRequired Code = "precondition_required"
	KeyReused            Code = "idempotency_key_reused"
	Timeout              Code = "timeout"
	Unavailable          Code = "unavailable"
	StorageFull          Code = "storage_full"

	Internal Code = "internal"
)

// Values lists the codes.
func (Code) Values() []string {
	return []string{"malformed_json", "invalid_utf8", "unknown_member", "duplicate_member", "wrong_type", "invalid_value", "too_large", "unknown_operation",
		"not_found", "method_not_allowed", "unsupported_media_type", "invalid_parameter", "misdirected",
		"unauthorized", "forbidden", "conflict", "precondition_failed", "precondition_required", "idempotency_key_reused", "timeout", "unavailable", "storage_full", "internal"}
}

// Problem is one thing wrong, at one place of the input.
type Problem struct {
	// Pointer is a JSON Pointer (RFC 6901) into the input; "" is the whole.
	Pointer string `json:"pointer"`
	Code    Code   `json:"code"`
	Detail  string `json:"detail"`
}

// longestDetail bounds a problem's words, in characters: they quote the input,
// which may be a megabyte of nonsense.
const longestDetail = 300

// NewProblem returns a Problem; a detail that goes on and on is cut, and bytes
// that are no text are marked.
func NewProblem(code Code, pointer, detail string) Problem {
	pointer, detail = strings.ToValidUTF8(pointer, "\ufffd"), strings.ToValidUTF8(detail, "\ufffd")
	n := 0
	for i := range detail {
		if n++; n > longestDetail {
			detail = detail[:i] + "…"
			break
		}
	}
	return Problem{Pointer: pointer, Code: code, Detail: detail}
}

// Error is the core's one error: what is wrong with a request, place by place.
// Problems is never empty. All three faces show it as the same problem details.
type Error struct {
	Problems []Problem
}

// NewError returns an Error with one problem.
func NewError(code Code, pointer, detail string) *Error {
	return &Error{Problems: []Problem{NewProblem(code, pointer, detail)}}
}

// Code is the code of the first problem; faces derive a status from it.
func (e *Error) Code() Code { return e.Problems[0].Code }

func (e *Error) Error() string {
	var b strings.Builder
	for i, p := range e.Problems {
		if i > 0 {
			b.WriteString("; ")
		}
		if p.Pointer != "" {
			b.WriteString(p.Pointer + ": ")
		}
		b.WriteString(p.Detail)
	}
	return b.String()
}

// ProblemDetails is the body of an error answer: problem details as RFC 9457
// defines them, with the places in the extension member errors.
type ProblemDetails struct {
	// Type is stable: "urn:problem-type:pintail:" and the code.
	Type   string    `json:"type"`
	Title  string    `json:"title"`
	Detail string    `json:"detail"`
	Errors []Problem `json:"errors"`
}

// Details returns the error as problem details.
func (e *Error) Details() ProblemDetails {
	return ProblemDetails{
		Type:   "urn:problem-type:pintail:" + string(e.Code()),
		Title:  e.Code().title(),
		Detail: e.Error(),
		Errors: e.Problems,
	}
}

// JSON is the encoded problem details.
func (e *Error) JSON() []byte {
	b, err := strictjson.Marshal(e.Details())
	if err != nil {
		// Only strings inside, already valid UTF-8.
		panic(err)
	}
	return b
}

func (c Code) title() string {
	switch c {
	case MalformedJSON:
		return "The body is not JSON"
	case InvalidUTF8:
		return "The body is not valid UTF-8"
	case UnknownMember:
		return "The body has a member this operation does not know"
	case DuplicateMember:
		return "The body names a member twice"
	case WrongType:
		return "A value has the wrong type"
	case InvalidValue:
		return "A value is not possible"
	case TooLarge:
		return "The body is too large"
	case UnknownOperation:
		return "There is no such operation"
	case NotFound:
		return "There is nothing here"
	case MethodNotAllowed:
		return "This method is not for this address"
	case UnsupportedMediaType:
		return "The body is not declared as JSON"
	case InvalidParameter:
		return "A parameter or header is not possible"
	case Misdirected:
		return "This server does not answer for that host"
	case Unauthorized:
		return "This needs a key"
	case Forbidden:
		return "This key does not allow that"
	case Conflict:
		return "It does not fit what is there"
	case PreconditionFailed:
		return "What is there is not what the request expects"
	case PreconditionRequired:
		return "The request must say which version it changes"
	case KeyReused:
		return "The Idempotency-Key was used for another request"
	case Timeout:
		return "The request took too long"
	case Unavailable:
		return "The server cannot do this just now"
	case StorageFull:
		return "The server has no room left"
	}
	return "Something went wrong on our side"
}
