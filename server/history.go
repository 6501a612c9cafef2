package server

import (
	"net/http"
	"slices"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/journal"
	"pintail/api/strictjson"
	"pintail/storage"
)

// pastEntry is one line of a history.
type pastEntry struct {
	Entry    journal.Entry    `json:"entry"`
	Standing journal.Standing `json:"standing"`
	Cursor   int64            `json:"cursor"`
	Actor    string           `json:"actor"`
	Received time.Time        `json:"received"`
}

// pastErasure is the record of one erasure.
type pastErasure struct {
	Erasure  journal.Erasure `json:"erasure"`
	Cursor   int64           `json:"cursor"`
	Actor    string          `json:"actor"`
	Received time.Time       `json:"received"`
}

// past is one page of a history.
type past struct {
	Entries  []pastEntry   `json:"entries"`
	Erasures []pastErasure `json:"erasures"`
	Next     string        `json:"next,omitzero"`
}

// history answers every change of a document at and under a path, newest first.
// It is there for a removed document too.
func (r resource) history(c echo.Context) error {
	versions, err := callerOf(c).Versions(c.Request().Context(), r.named(c))
	if err != nil {
		return err
	}
	if len(versions) == 0 {
		return finding.NewError(finding.NotFound, "", "nothing was ever kept under this id")
	}
	limit, err := queryNumber(c, "limit", 200)
	if err != nil {
		return err
	}
	page := past{Entries: []pastEntry{}, Erasures: []pastErasure{}}
	byID := map[string]*storage.Change{}
	for i := range versions {
		v := &versions[i]
		if v.Entry != nil {
			byID[v.Entry.ID] = v
		} else {
			page.Erasures = append(page.Erasures, pastErasure{*v.Erasure, v.Cursor, v.Actor, v.Received})
		}
	}
	changes := journal.History(versions.Set(), c.QueryParam("path"))
	if after := c.QueryParam("after"); after != "" {
		at := slices.IndexFunc(changes, func(h journal.Change) bool { return h.Entry.ID == after })
		if at < 0 {
			return finding.NewError(finding.InvalidParameter, "", "query parameter after names no entry of this history")
		}
		changes = changes[at+1:]
	}
	if len(changes) > int(limit) {
		changes = changes[:limit]
		page.Next = changes[limit-1].Entry.ID
	}
	for _, h := range changes {
		v := byID[h.Entry.ID]
		page.Entries = append(page.Entries, pastEntry{h.Entry, h.Standing, v.Cursor, v.Actor, v.Received})
	}
	return answerJSON(c, http.StatusOK, page)
}

// erase takes what a document holds at and under a path out for good.
func (r resource) erase(c echo.Context) error {
	body, err := readBody(c)
	if err != nil {
		return err
	}
	var wanted struct {
		Path   *string `json:"path"`
		Reason string  `json:"reason"`
	}
	if err := strictjson.Unmarshal(body, &wanted); err != nil {
		return api.Problem(err)
	}
	switch {
	case wanted.Path == nil:
		return finding.NewError(finding.InvalidValue, "/path", `missing; "" is the whole document`)
	case len(wanted.Reason) > maxReason:
		return finding.NewError(finding.InvalidValue, "/reason", "longer than 1000 bytes")
	}
	ctx, who := c.Request().Context(), callerOf(c)
	if _, found, err := who.Document(ctx, r.named(c)); err != nil {
		return err
	} else if !found {
		return finding.NewError(finding.NotFound, "", "nothing was ever kept under this id")
	}
	id, err := uuid.NewV7()
	if err != nil {
		return err
	}
	out, err := who.Erase(ctx, storage.Erase{ID: id.String(), Doc: r.named(c), Path: *wanted.Path, Reason: wanted.Reason, Actor: who.actor, At: r.Now()})
	if err != nil {
		return err
	}
	if out.Refusal != nil {
		return finding.NewError(finding.InvalidValue, out.Refusal.Pointer, out.Refusal.Detail)
	}
	return answerJSON(c, http.StatusOK, struct {
		ID      string `json:"id"`
		Entries int64  `json:"entries"`
		Cursor  int64  `json:"cursor"`
		Clean   bool   `json:"clean"`
	}{id.String(), out.Entries, out.Cursor, out.Clean})
}

// maxReason is the longest reason kept with an erasure, in bytes.
const maxReason = 1000
