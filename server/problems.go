package server

import (
	"context"
	"errors"
	"log/slog"
	"net/http"

	"github.com/labstack/echo/v4"

	"pintail/api/finding"
	"pintail/storage"
)

const problemType = "application/problem+json"

// statuses maps every code of the core to its HTTP status.
var statuses = map[finding.Code]int{
	finding.MalformedJSON:        http.StatusBadRequest,
	finding.InvalidUTF8:          http.StatusBadRequest,
	finding.UnknownMember:        http.StatusBadRequest,
	finding.DuplicateMember:      http.StatusBadRequest,
	finding.WrongType:            http.StatusBadRequest,
	finding.InvalidValue:         http.StatusBadRequest,
	finding.InvalidParameter:     http.StatusBadRequest,
	finding.TooLarge:             http.StatusRequestEntityTooLarge,
	finding.UnknownOperation:     http.StatusNotFound,
	finding.NotFound:             http.StatusNotFound,
	finding.MethodNotAllowed:     http.StatusMethodNotAllowed,
	finding.UnsupportedMediaType: http.StatusUnsupportedMediaType,
	finding.Misdirected:          http.StatusMisdirectedRequest,
	finding.Unauthorized:         http.StatusUnauthorized,
	finding.Forbidden:            http.StatusForbidden,
	finding.Conflict:             http.StatusConflict,
	finding.PreconditionFailed:   http.StatusPreconditionFailed,
	finding.PreconditionRequired: http.StatusPreconditionRequired,
	finding.KeyReused:            http.StatusUnprocessableEntity,
	finding.Timeout:              http.StatusRequestTimeout,
	finding.Unavailable:          http.StatusServiceUnavailable,
	finding.StorageFull:          http.StatusInsufficientStorage,
	finding.Internal:             http.StatusInternalServerError,
}

// answerError is the one place where an error becomes an answer. What did not
// choose to be seen is a neutral problem to the client and a line in the log.
func (s *server) answerError(err error, c echo.Context) {
	problem, ours := asProblem(err)
	if ours {
		s.Log.LogAttrs(c.Request().Context(), slog.LevelError, "fault", slog.String("id", requestID(c)), slog.String("error", err.Error()))
	}
	if c.Response().Committed {
		return // too late to say anything
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	c.Response().Header().Del("ETag")
	if problem.Code() == finding.Unauthorized {
		c.Response().Header().Set("WWW-Authenticate", "Bearer")
	}
	if err := c.Blob(statuses[problem.Code()], problemType, problem.JSON()); err != nil {
		s.Log.LogAttrs(c.Request().Context(), slog.LevelDebug, "answer not sent", slog.String("id", requestID(c)), slog.String("error", err.Error()))
	}
}

// asProblem turns any error into a problem; ours is true where the fault is not
// the client's.
func asProblem(err error) (problem *finding.Error, ours bool) {
	var h *echo.HTTPError
	var s *storage.Error
	switch {
	case errors.As(err, &problem):
		return problem, problem.Code() == finding.Internal
	case errors.Is(err, echo.ErrMethodNotAllowed):
		return finding.NewError(finding.MethodNotAllowed, "", "this address takes another method"), false
	case errors.As(err, &h) && h.Code == http.StatusNotFound:
		return finding.NewError(finding.NotFound, "", "nothing is served at this address"), false
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		return finding.NewError(finding.Unavailable, "", "the answer took too long; try again"), true
	case errors.As(err, &s) && s.Reason == storage.Full:
		return finding.NewError(finding.StorageFull, "", "the server's disk is full and nothing of this request was kept; keep it, and send it again once there is room"), true
	case errors.As(err, &s) && (s.Reason == storage.Locked || s.Reason == storage.Closed):
		return finding.NewError(finding.Unavailable, "", "the store does not answer just now; try again"), true
	}
	return finding.NewError(finding.Internal, "", "something went wrong on our side; the log has the details under the request's id"), true
}
