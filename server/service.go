package server

import (
	"log/slog"
	"net/http"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"pintail/api/finding"
)

const textType = "text/plain; charset=utf-8"

// alive answers while the process runs.
func (s *server) alive(c echo.Context) error { return s.ok(c) }

// ready answers while the store can be asked and takes writes.
func (s *server) ready(c echo.Context) error {
	err := s.Store.Ready(c.Request().Context())
	if err == nil {
		return s.ok(c)
	}
	// Whatever ails the store: not ready is the answer, the cause is for the log.
	s.Log.LogAttrs(c.Request().Context(), slog.LevelError, "not ready", slog.String("id", requestID(c)), slog.String("error", err.Error()))
	return finding.NewError(finding.Unavailable, "", "the store does not take writes just now; the log says why")
}

func (s *server) ok(c echo.Context) error {
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.Blob(http.StatusOK, textType, []byte("ok\n"))
}

func (s *server) serveContract(c echo.Context) error {
	c.Response().Header().Set("Cache-Control", "no-cache")
	return c.Blob(http.StatusOK, "application/yaml", s.Contract)
}

func (s *server) serveMetrics(c echo.Context) error {
	r := c.Request().Clone(c.Request().Context())
	// The contract knows the text format only.
	r.Header.Set("Accept", "text/plain")
	c.Response().Header().Set("Cache-Control", "no-store")
	promhttp.HandlerFor(s.Metrics, promhttp.HandlerOpts{DisableCompression: true}).ServeHTTP(c.Response(), r)
	return nil
}
