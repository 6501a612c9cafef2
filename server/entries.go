package server

import (
	"net/http"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/journal"
	"pintail/api/strictjson"
	"pintail/storage"
)

// maxEntries is how many entries are offered at once.
const maxEntries = 500

// outcome is what became of one entry. One that was refused says why.
type outcome struct {
	Outcome journal.Admitted `json:"outcome"`
	Cursor  int64            `json:"cursor,omitzero"`
	Reason  journal.Reason   `json:"reason,omitzero"`
	// Pointer is one into the entry.
	Pointer *string `json:"pointer,omitzero"`
	Detail  string  `json:"detail,omitzero"`
}

// takeEntries takes a page of edits, each by itself, so that one that cannot be
// taken never holds up the others.
func (s *server) takeEntries(c echo.Context) error {
	body, err := readUpTo(c, maxPage, "4 MiB")
	if err != nil {
		return err
	}
	raw, err := decodePage(body)
	if err != nil {
		return err
	}
	who := callerOf(c)
	outcomes := make([]outcome, len(raw))
	var entries []journal.Entry
	var place []int
	for i, v := range raw {
		var e journal.Entry
		if err := strictjson.Unmarshal(v, &e); err != nil {
			p := api.Problem(err).Problems[0]
			outcomes[i] = refusal(&journal.Refusal{Reason: journal.BadEntry, Pointer: p.Pointer, Detail: p.Detail})
			continue
		}
		entries, place = append(entries, e), append(place, i)
	}
	out, err := who.Append(c.Request().Context(), storage.Append{Entries: entries, Actor: who.actor, At: s.Now()})
	if err != nil {
		return err
	}
	for i, result := range out.Results {
		outcomes[place[i]] = outcome{Outcome: result.Admitted, Cursor: result.Cursor}
		if result.Refusal != nil {
			outcomes[place[i]] = refusal(result.Refusal)
		}
	}
	return answerJSON(c, http.StatusOK, struct {
		Outcomes []outcome     `json:"outcomes"`
		Cursor   int64         `json:"cursor"`
		Era      string        `json:"era"`
		NowMS    int64         `json:"now_ms"`
		Clock    journal.Clock `json:"clock"`
	}{outcomes, out.Cursor, out.Era, out.Now, out.Clock})
}

func refusal(r *journal.Refusal) outcome {
	return outcome{Outcome: journal.Refused, Reason: r.Reason, Pointer: &r.Pointer, Detail: r.Detail}
}

// decodePage splits a page into its entries and leaves each to be judged alone.
func decodePage(body []byte) ([]jsontext.Value, error) {
	var page struct {
		Entries []jsontext.Value `json:"entries"`
	}
	if json.Unmarshal(body, &page, json.RejectUnknownMembers(true)) != nil {
		// The strict decoder refuses all that this one does, and says where.
		return nil, api.Problem(strictjson.Unmarshal(body, &page))
	}
	switch {
	case page.Entries == nil:
		return nil, finding.NewError(finding.InvalidValue, "/entries", "missing")
	case len(page.Entries) > maxEntries:
		return nil, finding.NewError(finding.InvalidValue, "/entries", "at most 500 entries are taken at once")
	}
	return page.Entries, nil
}

// change is one change of a workspace.
type change struct {
	Cursor   int64            `json:"cursor"`
	Entry    *journal.Entry   `json:"entry,omitzero"`
	Erasure  *journal.Erasure `json:"erasure,omitzero"`
	Actor    string           `json:"actor"`
	Received time.Time        `json:"received"`
}

// giveEntries answers the changes after a cursor.
func (s *server) giveEntries(c echo.Context) error {
	after, err := queryNumber(c, "after", 0)
	if err != nil {
		return err
	}
	limit, err := queryNumber(c, "limit", maxEntries)
	if err != nil {
		return err
	}
	page, err := callerOf(c).Since(c.Request().Context(), after, int(limit))
	if err != nil {
		return err
	}
	changes := make([]change, len(page.Changes))
	for i, x := range page.Changes {
		changes[i] = change(x)
	}
	return answerJSON(c, http.StatusOK, struct {
		Changes []change `json:"changes"`
		Cursor  int64    `json:"cursor"`
		Newest  int64    `json:"newest"`
		Era     string   `json:"era"`
		NowMS   int64    `json:"now_ms"`
	}{changes, page.Cursor, page.Newest, page.Era, s.Now().UnixMilli()})
}
