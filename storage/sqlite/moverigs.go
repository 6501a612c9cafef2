package sqlite

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/journal"
	"pintail/storage"
)

// oldRig is a rig as schema 1 kept it.
type oldRig struct {
	id, name string
	// document and trip are JSON objects.
	document, trip   []byte
	created, updated time.Time
}

// moveRigs makes the default workspace and writes the rigs of schema 1 into its
// journal: the rig as rig/<id>, its trip as trip/<id> with the rig's id at /rig.
// Two copies of one file move to the same entries.
func moveRigs(ctx context.Context, tx *sql.Tx) error {
	if _, err := tx.ExecContext(ctx, "INSERT INTO workspace (number, id, name, created_us, era) VALUES (1, ?, '', coalesce((SELECT min(created_us) FROM rig), 0), ?)", storage.Default, rand.Text()); err != nil {
		return err
	}
	var rigs []oldRig
	rows, err := tx.QueryContext(ctx, "SELECT id, name, document, trip, created_us, updated_us FROM rig ORDER BY updated_us, id")
	err = each(rows, err, func(rows *sql.Rows) error {
		var r oldRig
		var created, updated int64
		err := rows.Scan(&r.id, &r.name, &r.document, &r.trip, &created, &updated)
		r.created, r.updated = fromMicro(created), fromMicro(updated)
		rigs = append(rigs, r)
		return err
	})
	m := mover{ctx: ctx, tx: tx}
	for i := 0; i < len(rigs) && err == nil; i++ {
		err = m.rig(rigs[i])
	}
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, "UPDATE workspace SET cursor = ?, wall = ?, counter = ?, now_ms = ? WHERE number = 1", m.cursor, m.clock.Wall, m.clock.Counter, m.clock.Wall)
	return err
}

type mover struct {
	ctx    context.Context
	tx     *sql.Tx
	clock  journal.Clock
	cursor int64
}

func (m *mover) rig(r oldRig) error {
	document, err := with(r.document, "name", r.name)
	if err != nil {
		return cannotMove(r.id, err.Error())
	}
	trip, err := with(r.trip, "rig", r.id)
	if err != nil {
		return cannotMove(r.id, err.Error())
	}
	if err := m.document("rig/"+r.id, document, r); err != nil {
		return err
	}
	return m.document("trip/"+r.id, trip, r)
}

// with returns the object with a member set, unless the text is empty.
func with(object []byte, name, text string) (jsontext.Value, error) {
	members := map[string]jsontext.Value{}
	if err := json.Unmarshal(object, &members); err != nil {
		return nil, err
	}
	if text != "" {
		quoted, err := json.Marshal(text)
		if err != nil {
			return nil, err
		}
		members[name] = quoted
	}
	return json.Marshal(members, json.Deterministic(true))
}

func (m *mover) document(doc string, v jsontext.Value, r oldRig) error {
	writes := journal.Diff(nil, v)
	ids := make([]string, len(writes))
	for i, w := range writes {
		ids[i] = movedID(doc, w.Path, r.updated.UnixMilli())
	}
	entries, last := journal.Entries(doc, writes, ids, storage.ServerDevice, m.clock, r.updated.UnixMilli())
	for i := range entries {
		if err := m.entry(&entries[i], r); err != nil {
			return err
		}
	}
	m.clock = last
	folded, _ := journal.Fold(journal.Set{Entries: entries})
	_, err := m.tx.ExecContext(m.ctx, "INSERT INTO document (workspace, doc, name, version, created_us, updated_us, value) VALUES (1, ?, ?, ?, ?, ?, ?)",
		doc, displayName(folded), m.cursor, micro(r.created), micro(r.updated), string(folded))
	return err
}

func (m *mover) entry(e *journal.Entry, r oldRig) error {
	if _, _, ok := storage.Doc(e.Doc); !ok {
		return cannotMove(r.id, "its id cannot name a document")
	}
	if refusal := e.Check(); refusal != nil {
		return cannotMove(r.id, e.Path+": "+refusal.Detail)
	}
	m.cursor++
	_, err := m.tx.ExecContext(m.ctx, "INSERT INTO entry (workspace, cursor, id, doc, path, value, wall, counter, device, actor, received_us) VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?, 'schema-1', ?)",
		m.cursor, e.ID, e.Doc, e.Path, string(e.Value), e.At.Wall, e.At.Counter, e.Device, micro(r.updated))
	return err
}

func cannotMove(rig, why string) error {
	return &storage.Error{Reason: storage.Invalid, Detail: fmt.Sprintf("the rig %s of the older file cannot be moved into the journal: %s", rig, why)}
}

// movedID is a UUID of version 7 (RFC 9562) with the rig's time, and a digest of
// the place in the stead of chance.
func movedID(doc, path string, ms int64) string {
	digest := sha256.Sum256([]byte(doc + "\x00" + path))
	var b [16]byte
	binary.BigEndian.PutUint64(b[:8], uint64(ms)<<16)
	copy(b[6:], digest[:10])
	b[6] = b[6]&0x0f | 0x70
	b[8] = b[8]&0x3f | 0x80
	h := hex.EncodeToString(b[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}
