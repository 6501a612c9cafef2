package server

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
)

// measures are the counters of the HTTP surface. Labels are routes, never paths:
// a client cannot make them grow.
type measures struct {
	requests  *prometheus.CounterVec
	durations *prometheus.HistogramVec
}

func newMeasures(r prometheus.Registerer) (*measures, error) {
	m := &measures{
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "pintail_http_requests_total", Help: "Requests answered, by method, route and status.",
		}, []string{"method", "route", "status"}),
		durations: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "pintail_http_request_duration_seconds", Help: "Time to answer, by route.",
			Buckets: []float64{0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1, 5},
		}, []string{"route"}),
	}
	return m, errors.Join(r.Register(m.requests), r.Register(m.durations))
}

// count counts one answer. What no route serves is the app's.
func (m *measures) count(method, route string, status int, took time.Duration) {
	if route == "" {
		route = "app"
	}
	if !slices.Contains([]string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodDelete, http.MethodPatch, http.MethodOptions}, method) {
		method = "other"
	}
	m.requests.WithLabelValues(method, route, strconv.Itoa(status)).Inc()
	m.durations.WithLabelValues(route).Observe(took.Seconds())
}
