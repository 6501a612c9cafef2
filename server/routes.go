package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/rules"
	"pintail/storage"
)

// Body limits, in bytes.
const (
	noBody = 0
	// maxBody is the largest document, and maxPage the largest page of entries.
	maxBody = 1 << 20
	maxPage = 4 << 20
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
		// One byte more than the operation takes, so that the operation itself says
		// that it is too much, as on every face.
		e.POST("/v1/"+o.Name, s.run(o), limited(int64(o.MaxInput)+1), jsonOnly)
	}

	// Whoever asks for what is kept passes these first.
	guard := func(least storage.Role) []echo.MiddlewareFunc {
		return []echo.MiddlewareFunc{s.ownHost, s.may(least), s.checked}
	}
	takes := func(body int64, least storage.Role) []echo.MiddlewareFunc {
		return append([]echo.MiddlewareFunc{limited(body + 1)}, append(guard(least), jsonOnly)...)
	}
	for _, k := range kinds {
		r, all, one := resource{s, k}, "/v1/"+k.path, "/v1/"+k.path+"/:id"
		get(all, r.list, guard(storage.Reader)...)
		e.POST(all, r.post, takes(maxBody, storage.Editor)...)
		get(one, r.get, guard(storage.Reader)...)
		e.PUT(one, r.put, takes(maxBody, storage.Editor)...)
		e.DELETE(one, r.remove, append(guard(storage.Editor), limited(noBody))...)
		get(one+"/history", r.history, guard(storage.Reader)...)
		e.POST(one+"/erase", r.erase, takes(maxBody, storage.Admin)...)
	}
	law := newRuleRows(s)
	get("/v1/rule-rows", law.list, guard(storage.Reader)...)
	get("/v1/rule-rows/:id", law.get, guard(storage.Reader)...)
	e.PUT("/v1/rule-rows/:id", law.put, takes(maxBody, storage.Editor)...)
	e.DELETE("/v1/rule-rows/:id", law.withdraw, append(guard(storage.Editor), limited(noBody))...)
	e.POST("/v1/rule-rows/:id/restore", law.restore, takes(maxBody, storage.Editor)...)
	get("/v1/rule-rows/:id/history", law.history, guard(storage.Reader)...)
	e.POST("/v1/rule-rows/:id/erase", law.erase, takes(maxBody, storage.Admin)...)
	get("/v1/rule-export", law.give, guard(storage.Reader)...)
	e.POST("/v1/rule-import", law.take, append(append([]echo.MiddlewareFunc{limited(rules.MaxFile + 1)}, guard(storage.Editor)...), rowsFile)...)
	get("/v1/rule-coverage", law.coverage, guard(storage.Reader)...)
	get("/v1/entries", s.giveEntries, guard(storage.Reader)...)
	e.POST("/v1/entries", s.takeEntries, takes(maxPage, storage.Editor)...)

	get("/healthz", s.alive)
	get("/readyz", s.ready)
	get("/openapi.yaml", s.serveContract)
	get("/metrics", s.serveMetrics)

	return e
}
