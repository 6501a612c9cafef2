package server

import (
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/journal"
	"pintail/api/rules"
	"pintail/api/strictjson"
)

// rowBody is the body of a change of a row.
type rowBody struct {
	Row    *rules.Row `json:"row,omitzero"`
	By     string     `json:"by,omitzero"`
	Reason string     `json:"reason"`
}

// put puts a row of the workspace's own in place: an added one, or one instead of
// a built-in row.
func (r ruleRows) put(c echo.Context) error {
	body, err := readRowBody(c)
	if err != nil {
		return err
	}
	if body.Row == nil {
		return finding.NewError(finding.InvalidValue, "/row", "missing")
	}
	now, err := r.look(c)
	if err != nil {
		return err
	}
	if err := now.allowed(c.Request().Header); err != nil {
		return err
	}
	status := http.StatusOK
	if !now.there {
		status = http.StatusCreated
		c.Response().Header().Set("Location", "/v1/rule-rows/"+now.ID)
	}
	return r.keep(c, status, now, rules.Change{Yours: body.Row, Was: now.builtIn(), By: body.By, Reason: body.Reason})
}

// withdraw takes a row out; its own words are kept for restore.
func (r ruleRows) withdraw(c echo.Context) error {
	now, err := r.changing(c)
	if err != nil {
		return err
	}
	if now.Standing == rules.StandingWithdrawn {
		return finding.NewError(finding.Conflict, "", "the row is withdrawn already")
	}
	change := rules.Change{Withdrawn: true, Was: now.builtIn(), Reason: c.QueryParam("reason"), By: c.QueryParam("by")}
	if now.change != nil {
		change.Yours = now.change.Yours
	}
	return r.keep(c, http.StatusOK, now, change)
}

// restore takes a withdrawal back, or puts the built-in row in the place of the
// workspace's own.
func (r ruleRows) restore(c echo.Context) error {
	body, err := readRowBody(c)
	if err != nil {
		return err
	}
	if body.Row != nil {
		return finding.NewError(finding.UnknownMember, "/row", "what is restored is kept here already")
	}
	now, err := r.changing(c)
	if err != nil {
		return err
	}
	change := rules.Change{By: body.By, Reason: body.Reason}
	switch now.Standing {
	case rules.StandingBuiltIn:
		return finding.NewError(finding.Conflict, "", "the row is as built in; there is nothing to restore")
	case rules.StandingAdded:
		return finding.NewError(finding.Conflict, "", "the row is the workspace's own; withdraw it instead")
	case rules.StandingWithdrawn:
		change.Yours, change.Was = now.change.Yours, now.change.Was
	}
	return r.keep(c, http.StatusOK, now, change)
}

func readRowBody(c echo.Context) (body rowBody, err error) {
	b, err := readBody(c)
	if err != nil {
		return rowBody{}, err
	}
	if err := strictjson.Unmarshal(b, &body); err != nil {
		return rowBody{}, api.Problem(err)
	}
	return body, nil
}

// changing reads a row that must be there, in the version that If-Match names.
func (r ruleRows) changing(c echo.Context) (*rowState, error) {
	now, err := r.look(c)
	switch {
	case err != nil:
		return nil, err
	case !now.there:
		return nil, finding.NewError(finding.NotFound, "", "there is no row of this id")
	}
	return now, now.allowed(c.Request().Header)
}

// allowed reports why the headers do not allow a change, nil if they do. A row is
// changed as a whole, so nobody changes a version that they have not seen.
func (s *rowState) allowed(h http.Header) error {
	match, none := h.Get("If-Match"), h.Get("If-None-Match")
	switch {
	case match != "" && none != "":
		return finding.NewError(finding.InvalidParameter, "", "If-Match and If-None-Match exclude each other")
	case !s.there && match != "":
		return finding.NewError(finding.PreconditionFailed, "", "there is no such version: there is no row of this id")
	case s.there && none != "":
		return finding.NewError(finding.PreconditionFailed, "", "there is a row of this id already")
	case s.there && match == "":
		return finding.NewError(finding.PreconditionRequired, "", "there is a row of this id: send If-Match with the ETag of the version that you changed")
	case s.there && match != s.tag():
		return staleRow()
	}
	return nil
}

func staleRow() error {
	return finding.NewError(finding.PreconditionFailed, "", "the row has changed since, here or in the rows built in; read it again")
}

// keep writes the change and answers the row as it stands then.
func (r ruleRows) keep(c echo.Context, status int, now *rowState, change rules.Change) error {
	change.Row, change.At = now.ID, r.Now().UnixMilli()
	if change.By == "" {
		change.By = callerOf(c).actor
	}
	if now.change != nil {
		change.Seen = []rules.Seen{{By: now.change.By, At: now.change.At}}
	}
	if err := checkChange(now.others, change); err != nil {
		return err
	}
	value, err := strictjson.Marshal([]rules.Change{change})
	if err != nil {
		return err
	}
	w, err := r.write(c, now.ID, []journal.Write{{Path: "/change", Value: value}})
	if err != nil {
		return err
	}
	w.IfVersion, w.IfAbsent = now.Revision, now.Revision == 0
	out, err := callerOf(c).Write(c.Request().Context(), w)
	if err != nil {
		return err
	}
	if out.Stale || out.Present {
		return staleRow()
	}
	if problem := r.refused(out, w.Writes); problem != nil {
		return problem
	}
	after, err := r.look(c)
	if err != nil {
		return err
	}
	if !after.there {
		c.Response().Header().Set("Cache-Control", "no-store")
		return c.NoContent(http.StatusNoContent)
	}
	return r.show(c, status, after)
}

// checkChange reports what is not possible in a change that is to be laid over
// others. Pointers are into the body that brought it.
func checkChange(others []rules.Change, change rules.Change) error {
	problem := rules.RowsInput{RuleChanges: append(others, change)}.Validate()
	if problem == nil {
		return nil
	}
	var e finding.Error
	at := "/rule_changes/" + strconv.Itoa(len(others))
	for _, p := range problem.Problems {
		if pointer, ours := strings.CutPrefix(p.Pointer, at); ours {
			if inside, row := strings.CutPrefix(pointer, "/yours"); row {
				pointer = "/row" + inside
			}
			e.Problems = append(e.Problems, finding.NewProblem(p.Code, pointer, p.Detail))
		}
	}
	if e.Problems == nil {
		return problem
	}
	return &e
}
