// Package server is the HTTP face: THE TABLE's operations, what people keep in
// their workspaces, the contract, the browser app, and what the people who run it
// need.
// routes.go shows all of it. It does no arithmetic of the trade.
package server

import (
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/go-playground/validator/v10"
	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"

	"pintail/storage"
)

// Config is everything a server depends on.
type Config struct {
	// Contract is openapi.yaml: served as it is, and the judge of parameters.
	Contract []byte `validate:"required"`
	// App is the built browser app, index.html at its root.
	App fs.FS `validate:"required"`
	// Store keeps the workspaces. The server does not close it.
	Store storage.Store `validate:"required"`
	// Log gets a line for each request and for each fault on our side.
	Log *slog.Logger `validate:"required"`
	// Metrics gets the counters, and /metrics shows all it holds.
	Metrics *prometheus.Registry `validate:"required"`
	// Now is the clock.
	Now func() time.Time `validate:"required"`
	// NewID gives each request that brings none an id of 1 to 64 of a-z, A-Z,
	// 0-9, ".", "_" and "-".
	NewID func() string `validate:"required"`
	// Hosts are names under which workspaces are answered for, besides localhost
	// and addresses in figures: those of a proxy on this machine. Under them a key
	// is needed even while none exists.
	Hosts []string `validate:"dive,hostname_rfc1123"`
	// RequestTimeout bounds what a request may wait for.
	RequestTimeout time.Duration `validate:"min=1ms,max=5m"`
}

// server is what the handlers share.
type server struct {
	Config
	contract *contract
	app      *app
	measures *measures
	anyKey   atomic.Bool // see locked
}

// New returns the handler of the whole HTTP surface. It fails on a Config that
// is incomplete or a contract that cannot be read.
func New(c Config) (http.Handler, error) {
	e, err := newEcho(c)
	return e, err
}

func newEcho(c Config) (*echo.Echo, error) {
	if err := validator.New(validator.WithRequiredStructEnabled()).Struct(c); err != nil {
		return nil, fmt.Errorf("server: configuration: %w", err)
	}
	contract, err := readContract(c.Contract)
	if err != nil {
		return nil, fmt.Errorf("server: contract: %w", err)
	}
	app, err := readApp(c.App)
	if err != nil {
		return nil, fmt.Errorf("server: app: %w", err)
	}
	measures, err := newMeasures(c.Metrics)
	if err != nil {
		return nil, fmt.Errorf("server: metrics: %w", err)
	}
	s := &server{Config: c, contract: contract, app: app, measures: measures}
	return s.routes(), nil
}
