package server

import (
	"errors"
	"io"
	"net"
	"net/http"
	"os"

	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
)

const jsonType = "application/json"

// run answers one operation of THE TABLE. The core alone judges the body, so
// that every face gives the same bytes.
func (s *server) run(o api.Operation) echo.HandlerFunc {
	return func(c echo.Context) error {
		in, err := io.ReadAll(c.Request().Body)
		if err != nil {
			return readError(err)
		}
		out, problem := o.Run(in)
		if problem != nil {
			return problem
		}
		c.Response().Header().Set("Cache-Control", "no-store")
		return c.Blob(http.StatusOK, jsonType, out)
	}
}

// readError says why a body did not arrive whole.
func readError(err error) error {
	var n net.Error
	switch {
	case errors.As(err, &n) && n.Timeout(), errors.Is(err, os.ErrDeadlineExceeded):
		return finding.NewError(finding.Timeout, "", "the body did not arrive in time")
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF), errors.Is(err, net.ErrClosed):
		return finding.NewError(finding.MalformedJSON, "", "the body ended before it was complete")
	}
	return finding.NewError(finding.MalformedJSON, "", "the body could not be read")
}
