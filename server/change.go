package server

import (
	"context"
	"crypto/sha256"
	"io"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/journal"
	"pintail/api/strictjson"
	"pintail/storage"
)

// kept is how long the answer to a request with an Idempotency-Key is kept.
const kept = 24 * time.Hour

// post keeps a new document.
func (r resource) post(c echo.Context) error {
	body, err := readBody(c)
	if err != nil {
		return err
	}
	id, document, err := r.decode(body, true)
	if err != nil {
		return err
	}
	w, err := r.write(c, id, journal.Diff(nil, document))
	if err != nil {
		return err
	}
	w.IfAbsent = true
	answer := r.created(id, document, w.Writes)
	w.Once = once(c, body, w.At, answer)
	out, err := callerOf(c).Write(c.Request().Context(), w)
	switch {
	case err != nil:
		return err
	case out.Repeat.Other:
		return finding.NewError(finding.KeyReused, "", "this Idempotency-Key was sent with another request; use a new one")
	case out.Repeat.Answer != nil:
		return r.answer(c, *out.Repeat.Answer, out.Era)
	}
	return r.answer(c, answer(out), out.Era)
}

// created makes the answer to a request for a new document from what became of
// it.
func (r resource) created(id string, document jsontext.Value, writes []journal.Write) func(storage.Outcome) storage.Answer {
	return func(out storage.Outcome) storage.Answer {
		problem := r.refused(out, writes)
		if out.Present {
			problem = finding.NewError(finding.Conflict, "/id", "something is kept under this id already")
		}
		if problem != nil {
			return storage.Answer{Status: statuses[problem.Code()], Body: problem.JSON()}
		}
		b, err := strictjson.Marshal(line{id, displayName(document), out.Version})
		if err != nil {
			panic(err) // two texts and a number, valid UTF-8
		}
		return storage.Answer{Status: http.StatusCreated, Body: b}
	}
}

// answer sends an answer that was made, or kept, for a new document.
func (r resource) answer(c echo.Context, a storage.Answer, era string) error {
	h := c.Response().Header()
	if a.Status != http.StatusCreated {
		h.Set("Cache-Control", "no-store")
		return c.Blob(a.Status, problemType, a.Body)
	}
	var made line
	if err := strictjson.Unmarshal(a.Body, &made); err != nil {
		return err
	}
	h.Set("Cache-Control", "no-cache")
	h.Set("Location", "/v1/"+r.path+"/"+made.ID)
	h.Set("ETag", state{Document: storage.Document{Version: made.Revision}, era: era}.tag())
	return c.Blob(a.Status, jsonType, a.Body)
}

// once makes a request that brings an Idempotency-Key happen once, nil if it
// brings none.
func once(c echo.Context, body []byte, at time.Time, answer func(storage.Outcome) storage.Answer) *storage.Once {
	key := c.Request().Header.Get("Idempotency-Key")
	if key == "" {
		return nil
	}
	return &storage.Once{
		Key: key, Fingerprint: sha256.Sum256([]byte(c.Request().Method + " " + c.Path() + "\n" + string(body))),
		Expires: at.Add(kept), Answer: answer,
	}
}

// put makes a document what the body says. Against a version that is there it
// writes only what the body changes, so what others wrote meanwhile stays.
func (r resource) put(c echo.Context) error {
	body, err := readBody(c)
	if err != nil {
		return err
	}
	_, document, err := r.decode(body, false)
	if err != nil {
		return err
	}
	h := c.Request().Header
	switch {
	case h.Get("If-Match") == "":
		return r.make(c, document)
	case h.Get("If-None-Match") != "":
		return finding.NewError(finding.InvalidParameter, "", "If-Match and If-None-Match exclude each other")
	}
	return r.change(c, document)
}

// make keeps a document that must not be there yet.
func (r resource) make(c echo.Context, document jsontext.Value) error {
	w, err := r.write(c, c.Param("id"), journal.Diff(nil, document))
	if err != nil {
		return err
	}
	w.IfAbsent = true
	out, err := callerOf(c).Write(c.Request().Context(), w)
	switch {
	case err != nil:
		return err
	case out.Present && c.Request().Header.Get("If-None-Match") != "":
		return finding.NewError(finding.PreconditionFailed, "", "something is kept under this id already")
	case out.Present:
		return finding.NewError(finding.PreconditionRequired, "", "something is kept under this id: send If-Match with the ETag of the version that you changed")
	}
	if problem := r.refused(out, w.Writes); problem != nil {
		return problem
	}
	return r.answer(c, r.created(c.Param("id"), document, w.Writes)(out), out.Era)
}

// change writes what the body changes of the version that If-Match names.
func (r resource) change(c echo.Context, document jsontext.Value) error {
	ctx, who := c.Request().Context(), callerOf(c)
	now, found, err := r.read(ctx, who, c.Param("id"))
	if err != nil {
		return err
	}
	if !found || now.Value == nil {
		return finding.NewError(finding.PreconditionFailed, "", "there is no such version: nothing is kept under this id")
	}
	base, err := r.base(ctx, who, c.Param("id"), now.era, c.Request().Header.Get("If-Match"))
	if err != nil {
		return err
	}
	if writes := journal.Diff(base, document); len(writes) > 0 {
		if err := r.apply(c, who, writes); err != nil {
			return err
		}
	}
	if now, err = r.look(c); err != nil {
		return err
	}
	return r.show(c, now)
}

func (r resource) apply(c echo.Context, who caller, writes []journal.Write) error {
	w, err := r.write(c, c.Param("id"), writes)
	if err != nil {
		return err
	}
	out, err := who.Write(c.Request().Context(), w)
	if err != nil {
		return err
	}
	if problem := r.refused(out, writes); problem != nil {
		return problem
	}
	return nil
}

// base is the document as it stood at the version that an If-Match names.
func (r resource) base(ctx context.Context, who caller, id, era, tag string) (jsontext.Value, error) {
	missing := finding.NewError(finding.PreconditionFailed, "", "there is no such version; read the document again")
	n, ok := versionIn(tag, era)
	if !ok {
		return nil, missing
	}
	versions, err := who.Versions(ctx, r.name(id))
	if err != nil {
		return nil, err
	}
	set, found := versions.At(n)
	if !found && r.doc == rigKind {
		// A rig's revision may be that of the trip shown with it.
		trips, err := who.Versions(ctx, tripKind+"/"+id)
		if err != nil {
			return nil, err
		}
		_, found = trips.At(n)
	}
	base, there := journal.Fold(set)
	if !found || !there {
		return nil, missing
	}
	return base, nil
}

// versionIn is the version that an entity tag names, if it is of the era.
func versionIn(tag, era string) (int64, bool) {
	number, of, _ := strings.Cut(strings.Trim(tag, `"`), "-")
	n, err := strconv.ParseInt(number, 10, 64)
	return n, err == nil && of == shortEra(era)
}

// remove removes the version that If-Match names, if it is still the newest:
// nobody removes what they have not seen.
func (r resource) remove(c echo.Context) error {
	now, err := r.look(c)
	if err != nil {
		return err
	}
	tag := c.Request().Header.Get("If-Match")
	switch tag {
	case "":
		return finding.NewError(finding.PreconditionRequired, "", "send If-Match with the ETag of what is to be removed")
	case now.tag():
	default:
		return stale()
	}
	w, err := r.write(c, c.Param("id"), []journal.Write{{Path: "", Removed: true}})
	if err != nil {
		return err
	}
	w.IfVersion = now.Version
	out, err := callerOf(c).Write(c.Request().Context(), w)
	switch {
	case err != nil:
		return err
	case out.Stale:
		return stale()
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.NoContent(http.StatusNoContent)
}

func stale() error {
	return finding.NewError(finding.PreconditionFailed, "", "it has changed since; read it again before removing it")
}

// write is a change of a document on behalf of the caller.
func (r resource) write(c echo.Context, id string, writes []journal.Write) (storage.Write, error) {
	ids := make([]string, len(writes))
	for i := range ids {
		made, err := uuid.NewV7()
		if err != nil {
			return storage.Write{}, err
		}
		ids[i] = made.String()
	}
	return storage.Write{Doc: r.name(id), Writes: writes, IDs: ids, Actor: callerOf(c).actor, At: r.Now()}, nil
}

// maxProblems is how many places at fault one answer names.
const maxProblems = 50

// refused says which writes the journal refused, nil if none. A pointer is one
// into the body of the request.
func (r resource) refused(out storage.Outcome, writes []journal.Write) *finding.Error {
	var e finding.Error
	for i, result := range out.Results {
		if result.Refusal == nil || len(e.Problems) == maxProblems {
			continue
		}
		code := finding.InvalidValue
		if result.Refusal.Reason == journal.BelowScalar {
			code = finding.Conflict
		}
		e.Problems = append(e.Problems, finding.NewProblem(code, "/"+r.member+writes[i].Path, result.Refusal.Detail))
	}
	if e.Problems == nil {
		return nil
	}
	return &e
}

// decode reads the body of a post or put: the document under the kind's own
// member and, in a post, the id if the client chose one.
func (r resource) decode(body []byte, post bool) (id string, document jsontext.Value, err error) {
	members := map[string]jsontext.Value{}
	if err := strictjson.Unmarshal(body, &members); err != nil {
		return "", nil, api.Problem(err)
	}
	for _, name := range slices.Sorted(maps.Keys(members)) {
		if name != r.member && !(post && name == "id") {
			return "", nil, finding.NewError(finding.UnknownMember, string(jsontext.Pointer("").AppendToken(name)), "unknown member")
		}
	}
	document, given := members[r.member]
	switch {
	case !given:
		return "", nil, finding.NewError(finding.InvalidValue, "/"+r.member, "missing")
	case document.Kind() != jsontext.KindBeginObject:
		return "", nil, finding.NewError(finding.WrongType, "/"+r.member, "want an object")
	}
	if post {
		id, err = r.newID(members["id"])
	}
	return id, document, err
}

// newID is the id that the client chose, or one made for it.
func (r resource) newID(chosen jsontext.Value) (string, error) {
	if chosen == nil {
		made, err := uuid.NewV7()
		return made.String(), err
	}
	var id string
	if err := strictjson.Unmarshal(chosen, &id); err != nil {
		return "", finding.NewError(finding.WrongType, "/id", "want a string")
	}
	if _, _, ok := storage.Doc(r.name(id)); !ok {
		return "", finding.NewError(finding.InvalidValue, "/id", "an id is 1 to 64 of a-z, A-Z, 0-9, _ and -, and not digits only")
	}
	return id, nil
}

// displayName is the document's own member name, where that is a string.
func displayName(document jsontext.Value) (name string) {
	members := map[string]jsontext.Value{}
	if strictjson.Unmarshal(document, &members) != nil || strictjson.Unmarshal(members["name"], &name) != nil {
		return ""
	}
	return name
}

// readBody reads a body of at most maxBody bytes.
func readBody(c echo.Context) ([]byte, error) { return readUpTo(c, maxBody, "1 MiB") }

func readUpTo(c echo.Context, most int, words string) ([]byte, error) {
	b, err := io.ReadAll(c.Request().Body)
	if err != nil {
		return nil, readError(err)
	}
	if len(b) > most {
		return nil, finding.NewError(finding.TooLarge, "", "the body is larger than "+words)
	}
	return b, nil
}
