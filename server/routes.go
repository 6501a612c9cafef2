package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"pintail/api"
)

// Body limits, in bytes.
const (
	// operationLimit lets one byte more through than an operation takes, so that
	// the operation itself says that it is too much, as on every face.
	operationLimit = api.MaxInput + 1
	noBody         = 0
)

// routes is the whole HTTP surface.
func (s *server) routes() *echo.Echo {
	e := echo.New()
	e.HTTPErrorHandler = s.answerError
	// Outermost first. Everything inside recovered gives an error instead of a
	// panic, and logged sees the answer as it was sent.
	e.Use(s.identified, s.logged, secured, s.recovered, s.timed, s.appElsewhere)
	// HEAD is answered as GET; net/http leaves the body out.
	get := func(path string, h echo.HandlerFunc, m ...echo.MiddlewareFunc) {
		e.Match([]string{http.MethodGet, http.MethodHead}, path, h, append([]echo.MiddlewareFunc{limited(noBody)}, m...)...)
	}

	for _, o := range api.Operations() {
		e.POST("/v1/"+o.Name, s.run(o), limited(operationLimit), jsonOnly)
	}

	get("/v1/rigs", s.listRigs, s.ownHost, s.checked)
	get("/v1/rigs/:id", s.getRig, s.ownHost, s.checked)

	get("/healthz", s.alive)
	get("/readyz", s.ready)
	get("/openapi.yaml", s.serveContract)
	get("/metrics", s.serveMetrics)

	return e
}
