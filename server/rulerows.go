package server

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/rules"
	"pintail/api/strictjson"
	"pintail/api/unit"
	"pintail/storage"
)

// ruleRows answers for the rows of the law as they stand in a workspace: those
// built in, under the changes that its people made. The change of a row is the
// journal document rule/<row id>, as rules.Change says.
type ruleRows struct{ resource }

const ruleKind = "rule"

func newRuleRows(s *server) ruleRows {
	return ruleRows{resource{s, kind{doc: ruleKind, path: "rule-rows", member: "row"}}}
}

// ruleRow is one row as it stands, with the revision of its document: 0 where
// nobody ever changed it.
type ruleRow struct {
	ID          string `json:"id"`
	Revision    int64  `json:"revision"`
	rules.RowAt `json:",inline"`
}

// leftOut is a change that this version cannot use. It stays kept, and the row
// counts as if it were not there.
type leftOut struct {
	ID     string `json:"id"`
	Detail string `json:"detail"`
}

// laid are the changes of a workspace to some of its rows.
type laid struct {
	changes []rules.Change
	byID    map[string]*rules.Change
	version map[string]int64
	leftOut []leftOut
}

// list answers one page of rows.
func (r ruleRows) list(c echo.Context) error {
	limit, err := queryNumber(c, "limit", storage.MaxPage)
	if err != nil {
		return err
	}
	l, in, err := r.asked(c)
	if err != nil {
		return err
	}
	rows := rules.ListRows(in).Rows
	text, changed := strings.ToLower(c.QueryParam("text")), c.QueryParam("changed") == "true"
	rows = slices.DeleteFunc(rows, func(at rules.RowAt) bool {
		return changed && at.Standing == rules.StandingBuiltIn || !speaksOf(&at.Row, text)
	})
	total := len(rows)
	if after := c.QueryParam("after"); after != "" {
		at := slices.IndexFunc(rows, func(at rules.RowAt) bool { return at.Row.ID == after })
		if at < 0 {
			return finding.NewError(finding.InvalidParameter, "", "query parameter after names no row of this list")
		}
		rows = rows[at+1:]
	}
	page := map[string]any{"total": total, "left_out": l.leftOut}
	if len(rows) > int(limit) {
		rows = rows[:limit]
		page["next"] = rows[limit-1].Row.ID
	}
	shown := make([]ruleRow, len(rows))
	for i, at := range rows {
		shown[i] = ruleRow{at.Row.ID, l.version[at.Row.ID], at}
	}
	page["rows"] = shown
	return answerJSON(c, http.StatusOK, page)
}

// speaksOf reports whether the row has the words, which are in small letters.
func speaksOf(r *rules.Row, words string) bool {
	for _, s := range []string{r.ID, r.Requirement, r.Citation, r.Note, r.Doubt} {
		if strings.Contains(strings.ToLower(s), words) {
			return true
		}
	}
	return false
}

// coverage answers how far the law was read, this workspace's own rows included.
func (r ruleRows) coverage(c echo.Context) error {
	_, in, err := r.asked(c)
	if err != nil {
		return err
	}
	report := rules.Cover(rules.CoverageInput{Jurisdiction: in.Jurisdiction, Subject: in.Subject, On: in.On, RuleChanges: in.RuleChanges})
	report.Stamp = finding.Stamp{EngineVersion: api.EngineVersion, FactsVersion: api.FactsVersion}
	return answerJSON(c, http.StatusOK, report)
}

// asked reads which rows the query asks for, and the changes that bear on them.
func (r ruleRows) asked(c echo.Context) (laid, rules.RowsInput, error) {
	in := rules.RowsInput{Jurisdiction: c.QueryParam("jurisdiction"), Subject: rules.Subject(c.QueryParam("subject")), On: r.today()}
	if problem := in.Validate(); problem != nil {
		return laid{}, in, finding.NewError(finding.InvalidParameter, "", "query parameter jurisdiction or subject is not known")
	}
	prefix := ""
	if in.Jurisdiction != "" {
		prefix = in.Jurisdiction + "."
	}
	l, err := r.laid(c.Request().Context(), callerOf(c), prefix)
	in.RuleChanges = l.changes
	return l, in, err
}

func (r ruleRows) today() unit.Date { return unit.Date(r.Now().UTC().Format(time.DateOnly)) }

// get answers one row.
func (r ruleRows) get(c echo.Context) error {
	now, err := r.look(c)
	if err != nil {
		return err
	}
	if !now.there {
		return finding.NewError(finding.NotFound, "", "there is no row of this id")
	}
	if matches(c.Request().Header.Get("If-None-Match"), now.tag()) {
		c.Response().Header().Set("Cache-Control", "no-cache")
		c.Response().Header().Set("ETag", now.tag())
		return c.NoContent(http.StatusNotModified)
	}
	return r.show(c, http.StatusOK, now)
}

// rowState is one row at one moment.
type rowState struct {
	ruleRow
	there  bool // it counts, or was withdrawn
	change *rules.Change
	others []rules.Change // those of the same jurisdiction
	era    string
}

// tag is the entity tag. It changes with the document, with the rows built in,
// and with a store put back from a backup.
func (s *rowState) tag() string {
	_, facts, _ := strings.Cut(api.FactsVersion, ".")
	return `"` + strconv.FormatInt(s.Revision, 10) + "-" + shortEra(s.era) + strings.ToUpper(facts) + `"`
}

// builtIn is the row as this version brings it, nil if it brings none.
func (s *rowState) builtIn() *rules.Row {
	if s.there && s.Standing == rules.StandingBuiltIn {
		return &s.Row
	}
	return s.BuiltIn
}

// look reads the row that the address asks for.
func (r ruleRows) look(c echo.Context) (*rowState, error) {
	ctx, who, id := c.Request().Context(), callerOf(c), c.Param("id")
	about, err := who.About(ctx)
	if err != nil {
		return nil, err
	}
	// Before the changes: a tag that is too old is refused, one too new would wipe.
	d, _, err := who.Document(ctx, r.name(id))
	if err != nil {
		return nil, err
	}
	code, _, _ := strings.Cut(id, ".")
	l, err := r.laid(ctx, who, code+".")
	if err != nil {
		return nil, err
	}
	now := &rowState{ruleRow: ruleRow{ID: id, Revision: d.Version}, era: about.Era, change: l.byID[id]}
	now.others = slices.DeleteFunc(slices.Clone(l.changes), func(ch rules.Change) bool { return ch.Row == id })
	if rows := rules.ListRows(rules.RowsInput{ID: id, On: r.today(), RuleChanges: l.changes}).Rows; len(rows) == 1 {
		now.RowAt, now.there = rows[0], true
	}
	return now, nil
}

func (r ruleRows) show(c echo.Context, status int, now *rowState) error {
	c.Response().Header().Set("ETag", now.tag())
	return answerJSON(c, status, now.ruleRow)
}

// laid reads the changes of the rows whose ids begin so.
func (r ruleRows) laid(ctx context.Context, who caller, prefix string) (laid, error) {
	l := laid{byID: map[string]*rules.Change{}, version: map[string]int64{}, leftOut: []leftOut{}}
	var read []rules.Change
	for after := prefix; ; {
		docs, err := who.Values(ctx, ruleKind, after, storage.MaxPage)
		if err != nil {
			return laid{}, err
		}
		for _, d := range docs {
			_, id, _ := storage.Doc(d.Doc)
			if !strings.HasPrefix(id, prefix) {
				docs = nil
				break
			}
			l.version[id], after = d.Version, id
			ch, err := changeOf(id, d.Value)
			if err != nil {
				l.leftOut = append(l.leftOut, leftOut{id, err.Problems[0].Detail})
				continue
			}
			read = append(read, ch)
		}
		if len(docs) == 0 {
			break
		}
	}
	l.take(read)
	return l, nil
}

// take lays those changes that this version can use.
func (l *laid) take(read []rules.Change) {
	all := make(map[string]*rules.Change, len(read))
	for i := range read {
		all[read[i].Row] = &read[i]
	}
	l.changes = make([]rules.Change, 0, len(read))
	for i := range read {
		ch := &read[i]
		with := []rules.Change{*ch}
		if ch.Yours != nil && all[ch.Yours.JoinedWith] != nil {
			with = append(with, *all[ch.Yours.JoinedWith])
		}
		if detail := faultOf(with); detail != "" {
			l.leftOut = append(l.leftOut, leftOut{ch.Row, detail})
			continue
		}
		l.changes = append(l.changes, *ch)
		l.byID[ch.Row] = ch
	}
}

// faultOf says what is not possible in the first of the changes, "" if nothing.
func faultOf(changes []rules.Change) string {
	problem := rules.RowsInput{RuleChanges: changes}.Validate()
	if problem == nil {
		return ""
	}
	for _, p := range problem.Problems {
		if pointer, first := strings.CutPrefix(p.Pointer, "/rule_changes/0"); first {
			return pointer + ": " + p.Detail
		}
	}
	return ""
}

// changeOf is the change that a document holds.
func changeOf(id string, document []byte) (rules.Change, *finding.Error) {
	var members map[string]jsontext.Value
	var list []rules.Change
	if err := strictjson.Unmarshal(document, &members); err != nil {
		return rules.Change{}, api.Problem(err)
	}
	if err := strictjson.Unmarshal(members["change"], &list); err != nil {
		return rules.Change{}, api.Problem(err)
	}
	if len(list) != 1 || list[0].Row != id {
		return rules.Change{}, finding.NewError(finding.InvalidValue, "/change", "want a list of one change, of this row")
	}
	return list[0], nil
}
