package server

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"pintail/api/finding"
	"pintail/storage"
)

// rigEntry is one line of the list.
type rigEntry struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Revision int64  `json:"revision"`
}

// keptRig is a rig as the contract shows it: the documents as they are kept.
type keptRig struct {
	rigEntry
	Rig  json.RawMessage `json:"rig"`
	Trip json.RawMessage `json:"trip"`
}

func (s *server) listRigs(c echo.Context) error {
	all, err := s.Store.Rigs(c.Request().Context())
	if err != nil {
		return err
	}
	entries := make([]rigEntry, len(all))
	for i, r := range all {
		entries[i] = rigEntry(r)
	}
	c.Response().Header().Set("Cache-Control", "no-cache")
	return writeJSON(c, struct {
		Rigs []rigEntry `json:"rigs"`
	}{entries})
}

func (s *server) getRig(c echo.Context) error {
	id := c.Param("id")
	r, found, err := s.Store.Rig(c.Request().Context(), id)
	if err != nil {
		return err
	}
	if !found {
		return finding.NewError(finding.NotFound, "", "no rig is kept under this id")
	}
	tag := rigTag(r)
	h := c.Response().Header()
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", tag)
	if matches(c.Request().Header.Get("If-None-Match"), tag) {
		return c.NoContent(http.StatusNotModified)
	}
	return writeJSON(c, keptRig{rigEntry{r.ID, r.Name, r.Revision}, r.Document, r.Trip})
}

// rigTag is the entity tag of a rig. The digest tells rigs of different stores
// apart that share id and revision, such as two runs of the demo.
func rigTag(r storage.Rig) string {
	h := sha256.New()
	for _, part := range [][]byte{[]byte(r.Name), r.Document, r.Trip} {
		h.Write(strconv.AppendInt(nil, int64(len(part)), 10))
		h.Write([]byte{':'})
		h.Write(part)
	}
	return `"` + strconv.FormatInt(r.Revision, 10) + "-" + hex.EncodeToString(h.Sum(nil)[:8]) + `"`
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

func writeJSON(c echo.Context, v any) error {
	b, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, jsonType, b)
}
