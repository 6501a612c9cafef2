package server

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/labstack/echo/v4"

	"pintail/api/finding"
	"pintail/api/strictjson"
	"pintail/storage"
)

// line is one document of a list.
type line struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Revision int64  `json:"revision"`
}

// list answers one page of the documents of a kind.
func (r resource) list(c echo.Context) error {
	limit, err := queryNumber(c, "limit", storage.MaxPage)
	if err != nil {
		return err
	}
	ctx, who := c.Request().Context(), callerOf(c)
	docs, err := who.Documents(ctx, r.doc, c.QueryParam("after"), int(limit))
	if err != nil {
		return err
	}
	lines := make([]line, len(docs))
	for i, d := range docs {
		_, id, _ := storage.Doc(d.Doc)
		lines[i] = line{id, d.Name, d.Version}
		if r.doc == rigKind {
			trip, _, err := who.Document(ctx, tripKind+"/"+id)
			if err != nil {
				return err
			}
			lines[i].Revision = max(d.Version, trip.Version)
		}
	}
	page := map[string]any{r.kind.list: lines}
	if len(lines) == int(limit) {
		page["next"] = lines[len(lines)-1].ID
	}
	return answerJSON(c, http.StatusOK, page)
}

// get answers one document.
func (r resource) get(c echo.Context) error {
	now, err := r.look(c)
	if err != nil {
		return err
	}
	if matches(c.Request().Header.Get("If-None-Match"), now.tag()) {
		c.Response().Header().Set("Cache-Control", "no-cache")
		c.Response().Header().Set("ETag", now.tag())
		return c.NoContent(http.StatusNotModified)
	}
	return r.show(c, now)
}

// state is a document as it stood at one moment.
type state struct {
	storage.Document
	// trip is a rig's usual trip.
	trip storage.Document
	era  string
}

// revision is the number of the newest change of anything that the answer shows.
func (s state) revision() int64 { return max(s.Version, s.trip.Version) }

// tag is the entity tag: the revision, and the era in which it counts.
func (s state) tag() string {
	return `"` + strconv.FormatInt(s.revision(), 10) + "-" + shortEra(s.era) + `"`
}

// shortEra is enough of an era to tell a store from one restored in its place.
func shortEra(era string) string { return era[:min(len(era), 8)] }

// look reads the document that the address asks for, or says that it is not
// there.
func (r resource) look(c echo.Context) (state, error) {
	now, found, err := r.read(c.Request().Context(), callerOf(c), c.Param("id"))
	if err == nil && (!found || now.Value == nil) {
		err = finding.NewError(finding.NotFound, "", "nothing is kept under this id")
	}
	return now, err
}

// read reads a document; found is true also of one that was removed.
func (r resource) read(ctx context.Context, who caller, id string) (now state, found bool, err error) {
	about, err := who.About(ctx)
	if err != nil {
		return state{}, false, err
	}
	now.era = about.Era
	for {
		if now.Document, found, err = who.Document(ctx, r.name(id)); err != nil || !found || r.doc != rigKind {
			return now, found, err
		}
		if now.trip, _, err = who.Document(ctx, tripKind+"/"+id); err != nil {
			return state{}, false, err
		}
		// Rig and trip are of one moment if the rig did not change meanwhile.
		again, _, err := who.Document(ctx, r.name(id))
		if err != nil || again.Version == now.Version {
			return now, true, err
		}
	}
}

// show answers a document with its tag.
func (r resource) show(c echo.Context, now state) error {
	_, id, _ := storage.Doc(now.Doc)
	envelope := map[string]any{"id": id, "name": now.Name, "revision": now.revision(), r.member: jsontext.Value(now.Value)}
	if r.doc == rigKind {
		trip, err := usualTrip(now.trip.Value)
		if err != nil {
			return err
		}
		envelope["trip"] = trip
	}
	c.Response().Header().Set("ETag", now.tag())
	return answerJSON(c, http.StatusOK, envelope)
}

// usualTrip is a trip document as an operation takes it: without the id of its
// rig. A rig that has none gets an empty one.
func usualTrip(document []byte) (map[string]jsontext.Value, error) {
	trip := map[string]jsontext.Value{}
	if document == nil {
		return trip, nil
	}
	err := strictjson.Unmarshal(document, &trip)
	delete(trip, rigKind)
	return trip, err
}

// matches reports whether an If-None-Match header names the tag. It compares
// weakly, as RFC 9110 section 13.1.2 wants.
func matches(header, tag string) bool {
	for candidate := range strings.SplitSeq(header, ",") {
		candidate = strings.TrimSpace(candidate)
		if candidate == "*" || strings.TrimPrefix(candidate, "W/") == tag {
			return true
		}
	}
	return false
}

// queryNumber is a number of the query, which the contract has bounded.
func queryNumber(c echo.Context, name string, absent int64) (int64, error) {
	text := c.QueryParam(name)
	if text == "" {
		return absent, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return 0, finding.NewError(finding.InvalidParameter, "", "query parameter "+name+" is not possible")
	}
	return n, nil
}

func answerJSON(c echo.Context, status int, v any) error {
	b, err := strictjson.Marshal(v)
	if err != nil {
		return err
	}
	c.Response().Header().Set("Cache-Control", "no-cache")
	return c.Blob(status, jsonType, b)
}
