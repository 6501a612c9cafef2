package server

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// How long a client may take, and how long a stop waits for running requests.
const (
	headerTime = 5 * time.Second
	readTime   = 30 * time.Second
	writeTime  = 60 * time.Second
	idleTime   = 2 * time.Minute
	stopTime   = 10 * time.Second
)

// maxHeader bounds the request line and headers, in bytes.
const maxHeader = 16 << 10

// Serve answers on the listener until ctx ends, then lets running requests
// finish for up to ten seconds. It returns nil after a graceful stop and always
// closes the listener.
func Serve(ctx context.Context, l net.Listener, h http.Handler, log *slog.Logger) error {
	s := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: headerTime,
		ReadTimeout:       readTime,
		WriteTimeout:      writeTime,
		IdleTimeout:       idleTime,
		MaxHeaderBytes:    maxHeader,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	failed := make(chan error, 1)
	go func() { failed <- s.Serve(l) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTime)
	defer cancel()
	err := s.Shutdown(stop)
	if errors.Is(err, context.DeadlineExceeded) {
		log.Warn("requests were cut off by the stop")
		return s.Close()
	}
	return err
}
