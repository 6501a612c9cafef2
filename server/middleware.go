package server

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"mime"
	"net"
	"net/http"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"pintail/api/finding"
)

const requestIDHeader = "X-Request-Id"

// identified gives the request an id: the sane one it brings, or a new one.
func (s *server) identified(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		id := c.Request().Header.Get(requestIDHeader)
		if !saneID(id) {
			id = s.NewID()
		}
		c.Response().Header().Set(requestIDHeader, id)
		return next(c)
	}
}

func requestID(c echo.Context) string { return c.Response().Header().Get(requestIDHeader) }

func saneID(id string) bool {
	if id == "" || len(id) > 64 {
		return false
	}
	return strings.Trim(id, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-") == ""
}

// logged writes the access log and counts. The log has no query, header or
// body: they may hold what is nobody's business.
func (s *server) logged(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		start := s.Now()
		if err := next(c); err != nil {
			c.Error(err)
		}
		took := s.Now().Sub(start)
		r, w := c.Request(), c.Response()
		s.measures.count(r.Method, c.Path(), w.Status, took)
		s.Log.LogAttrs(r.Context(), slog.LevelInfo, "request",
			slog.String("id", requestID(c)), slog.String("method", r.Method), slog.String("path", r.URL.Path),
			slog.Int("status", w.Status), slog.Int64("bytes", w.Size), slog.Duration("took", took))
		return nil
	}
}

// securityHeaders go with every answer. The engine is WebAssembly, so it needs
// 'wasm-unsafe-eval'; nothing else unsafe is allowed.
var securityHeaders = map[string]string{
	"Content-Security-Policy": "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self'; " +
		"font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; " +
		"base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "geolocation=(), microphone=(), payment=(), usb=()",
	"Referrer-Policy":              "no-referrer",
	"X-Content-Type-Options":       "nosniff",
	"X-Frame-Options":              "DENY",
}

func secured(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		for name, value := range securityHeaders {
			c.Response().Header().Set(name, value)
		}
		return next(c)
	}
}

// recovered turns a panic into an error; answerError makes of it what it makes
// of every fault of ours.
func (s *server) recovered(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			switch p := recover(); p {
			case nil:
			case http.ErrAbortHandler:
				panic(p) // net/http's own way to drop a connection
			default:
				err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
			}
		}()
		return next(c)
	}
}

// timed bounds what the request may wait for.
func (s *server) timed(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		ctx, cancel := context.WithTimeout(c.Request().Context(), s.RequestTimeout)
		defer cancel()
		c.SetRequest(c.Request().WithContext(ctx))
		return next(c)
	}
}

// appElsewhere gives what no route serves to the app: a file of it, a
// navigation inside it, or nothing.
func (s *server) appElsewhere(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if overruns(c) {
			return s.serveApp(c)
		}
		err := next(c)
		if errors.Is(err, echo.ErrNotFound) {
			return s.serveApp(c)
		}
		return err
	}
}

// overruns reports whether the address goes on after the route, or leaves a step
// of it empty: Echo lets a parameter be empty, and the last one of a route swallow
// what follows, slashes and all.
func overruns(c echo.Context) bool {
	path := echo.GetPath(c.Request())
	return c.Path() != "" && (strings.Contains(path, "//") || strings.Count(c.Path(), "/") != strings.Count(path, "/"))
}

// limited lets at most n bytes of the body through. An operation that gets n
// bytes says itself that they are too many.
func limited(n int64) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			r := c.Request()
			r.Body = struct {
				io.Reader
				io.Closer
			}{io.LimitReader(r.Body, n), r.Body}
			return next(c)
		}
	}
}

// jsonOnly refuses a body that is not declared as JSON. It also keeps a form of
// another site from being taken for a request.
func jsonOnly(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		kind, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
		charset, given := params["charset"]
		switch {
		case err != nil, kind != jsonType, given && !strings.EqualFold(charset, "utf-8"):
			return finding.NewError(finding.UnsupportedMediaType, "", "the Content-Type must be application/json")
		case len(r.Header.Values("Content-Encoding")) > 0:
			return finding.NewError(finding.UnsupportedMediaType, "", "the body must not be compressed")
		}
		return next(c)
	}
}

// ownHost refuses a host that is not ours. Without it, another site could name
// this machine as its own address and have the browser of a visitor read what is
// kept here. An address in figures is nobody's name.
func (s *server) ownHost(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		host := hostName(c.Request().Host)
		if host != "localhost" && net.ParseIP(host) == nil && !slices.ContainsFunc(s.Hosts, func(h string) bool { return strings.EqualFold(h, host) }) {
			return finding.NewError(finding.Misdirected, "", "this server does not answer under this host; start it with --host and its name")
		}
		return next(c)
	}
}

// here reports whether a Host header names the machine itself.
func here(header string) bool {
	host := hostName(header)
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// hostName is a Host header without port and brackets, in lower case.
func hostName(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	return strings.ToLower(strings.TrimSuffix(strings.TrimPrefix(host, "["), "]"))
}

// checked holds path, query and headers against the contract.
func (s *server) checked(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		names, values := c.ParamNames(), c.ParamValues()
		params := make(map[string]string, len(names))
		for i, name := range names {
			params[name] = values[i]
		}
		if err := s.contract.checkParameters(c.Request(), c.Path(), params); err != nil {
			var p *finding.Error
			if errors.As(err, &p) {
				return p
			}
			return fmt.Errorf("%s is not in the contract: %w", c.Path(), err)
		}
		return next(c)
	}
}
