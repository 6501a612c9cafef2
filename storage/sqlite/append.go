package sqlite

import (
	"context"
	"database/sql"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/journal"
	"pintail/storage"
)

// Append is part of storage.Workspace.
func (s *space) Append(ctx context.Context, a storage.Append) (storage.Outcome, error) {
	if len(a.Entries) > storage.MaxAppend {
		return storage.Outcome{}, invalid("at most 1000 entries are offered at once")
	}
	return s.answer(ctx, "append", a.Actor, a.At, a.Once, func(r *row, out *storage.Outcome) error {
		judge, err := r.judge(a.Entries)
		if err != nil {
			return err
		}
		for i := range a.Entries {
			result, err := judge.entry(a.Entries[i])
			if err != nil {
				return err
			}
			out.Results = append(out.Results, result)
		}
		return r.keep(judge, a.Actor, a.At, out)
	})
}

// Write is part of storage.Workspace.
func (s *space) Write(ctx context.Context, w storage.Write) (storage.Outcome, error) {
	if len(w.IDs) != len(w.Writes) {
		return storage.Outcome{}, invalid("each write wants one id")
	}
	return s.answer(ctx, "write", w.Actor, w.At, w.Once, func(r *row, out *storage.Outcome) error {
		if may, err := r.may(w, out); err != nil || !may {
			return err
		}
		return r.write(w, out)
	})
}

// may reports whether the document stands as the write wants it.
func (r *row) may(w storage.Write, out *storage.Outcome) (bool, error) {
	d, found, err := findDocument(r.scope, w.Doc)
	out.Version = d.Version
	out.Present = w.IfAbsent && found && d.Value != nil
	out.Stale = !out.Present && w.IfVersion != 0 && w.IfVersion != d.Version
	return !out.Present && !out.Stale, err
}

// write admits the writes and keeps all or none.
func (r *row) write(w storage.Write, out *storage.Outcome) error {
	entries, _ := journal.Entries(w.Doc, w.Writes, w.IDs, storage.ServerDevice, r.clock, r.now)
	judge, err := r.judge(entries)
	if err != nil {
		return err
	}
	judge.own = true
	for i := range entries {
		result, err := judge.entry(entries[i])
		if err != nil {
			return err
		}
		out.Results = append(out.Results, result)
	}
	if !out.Taken() {
		judge.withdraw()
		return nil
	}
	if err := r.keep(judge, w.Actor, w.At, out); err != nil {
		return err
	}
	if len(judge.taken) > 0 {
		out.Version = r.cursor
	}
	return nil
}

// answer runs do unless the request was answered before, and keeps its answer.
func (s *space) answer(ctx context.Context, doing, actor string, at time.Time, once *storage.Once, do func(*row, *storage.Outcome) error) (storage.Outcome, error) {
	var out storage.Outcome
	_, err := s.submit(ctx, doing, func(c *change, r *row) (err error) {
		out = storage.Outcome{}
		r.tick(at)
		if once != nil {
			if out.Repeat, err = findAnswer(r.scope, actor, *once, at); err != nil {
				return err
			}
		}
		if !out.Repeat.Found() {
			err = do(r, &out)
		}
		out.Cursor, out.Era, out.Now, out.Clock = r.cursor, r.era, r.now, r.clock
		if err != nil || once == nil || out.Repeat.Found() {
			return err
		}
		return r.keepAnswer(actor, *once, at, once.Answer(out))
	})
	if err != nil {
		return storage.Outcome{}, err
	}
	return out, nil
}

func invalid(detail string) error { return &storage.Error{Reason: storage.Invalid, Detail: detail} }

// judge admits the entries of one call.
type judge struct {
	r *row
	// own says that the server itself wrote the entries.
	own bool
	// owner is the document of each id that the workspace has already taken.
	owner map[string]string
	docs  []string
	in    map[string]bool // docs, to look them up
	taken []journal.Entry
	// place is where in the results each taken entry stands.
	place []int
	seen  int
}

// judge reads which of the ids were taken before.
func (r *row) judge(entries []journal.Entry) (*judge, error) {
	ids := make([]string, len(entries))
	for i := range entries {
		ids[i] = entries[i].ID
	}
	list, err := json.Marshal(ids, jsontext.AllowInvalidUTF8(true))
	if err != nil {
		return nil, err
	}
	j := &judge{r: r, owner: map[string]string{}, in: map[string]bool{}}
	rows, err := r.rows("SELECT entry.id, doc FROM json_each(?2) CROSS JOIN entry INDEXED BY entry_id ON workspace = ?1 AND entry.id = json_each.value", string(list))
	return j, each(rows, err, func(rows *sql.Rows) error {
		var id, doc string
		err := rows.Scan(&id, &doc)
		j.owner[id] = doc
		return err
	})
}

// entry judges the next entry.
func (j *judge) entry(e journal.Entry) (storage.Result, error) {
	at := j.seen
	j.seen++
	if refusal := j.refuse(&e); refusal != nil {
		return storage.Result{Admitted: journal.Refused, Refusal: refusal}, nil
	}
	register, err := j.r.register(e.Doc)
	if err != nil {
		return storage.Result{}, err
	}
	admitted, refusal := register.Admit(e, j.r.now)
	if admitted == journal.Taken {
		j.owner[e.ID] = e.Doc
		j.taken, j.place = append(j.taken, e), append(j.place, at)
		if !j.in[e.Doc] {
			j.docs, j.in[e.Doc] = append(j.docs, e.Doc), true
		}
	}
	return storage.Result{Admitted: admitted, Refusal: refusal}, nil
}

// refuse says what a store refuses besides what a journal does.
func (j *judge) refuse(e *journal.Entry) *journal.Refusal {
	if r := e.Check(); r != nil {
		return r
	}
	if _, _, ok := storage.Doc(e.Doc); !ok {
		return &journal.Refusal{Reason: journal.BadEntry, Pointer: "/doc", Detail: "want <kind>/<id>: 1 to 16 of a-z and _, then 1 to 64 of a-z, A-Z, 0-9, _ and -, not digits only"}
	}
	if !j.own && e.Device == storage.ServerDevice {
		return &journal.Refusal{Reason: journal.BadEntry, Pointer: "/device", Detail: "this name is the server's own"}
	}
	if doc, taken := j.owner[e.ID]; taken && doc != e.Doc {
		return &journal.Refusal{Reason: journal.OtherBody, Pointer: "/id", Detail: "an entry with this id and another body was taken before; write it again under a new id"}
	}
	return nil
}

// withdraw forgets what was admitted: it will not be kept.
func (j *judge) withdraw() {
	for _, doc := range j.docs {
		j.r.c.w.registers.drop(docKey{j.r.workspace, doc})
	}
	j.taken, j.docs = nil, nil
}

// register returns the journal of a document, from the file if need be.
func (r *row) register(doc string) (*journal.Register, error) {
	k := docKey{r.workspace, doc}
	if g := r.c.w.registers.docs[k]; g != nil {
		return g, nil
	}
	v, err := versions(r.scope, doc)
	if err != nil {
		return nil, err
	}
	g := journal.NewRegister(v.Set())
	r.c.w.registers.keep(k, g)
	return g, nil
}

// keep writes what was taken, and what the documents have become.
func (r *row) keep(j *judge, actor string, at time.Time, out *storage.Outcome) error {
	newest := map[string]int64{}
	for i := range j.taken {
		e := &j.taken[i]
		cursor := r.next()
		if err := r.insertEntry(e, cursor, actor, at); err != nil {
			return err
		}
		out.Results[j.place[i]].Cursor = cursor
		newest[e.Doc] = cursor
		r.clock = r.clock.Seen(e.At)
	}
	r.taken += len(j.taken)
	for _, doc := range j.docs {
		if err := r.fold(doc, newest[doc], at); err != nil {
			return err
		}
	}
	return nil
}

func (r *row) insertEntry(e *journal.Entry, cursor int64, actor string, at time.Time) error {
	var value any
	if !e.Removed {
		value = string(e.Value)
	}
	_, err := r.exec("INSERT INTO entry (workspace, cursor, id, doc, path, value, wall, counter, device, actor, received_us) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
		cursor, e.ID, e.Doc, e.Path, value, e.At.Wall, e.At.Counter, e.Device, actor, micro(at))
	return err
}

// fold writes what the entries of a document make of it.
func (r *row) fold(doc string, version int64, at time.Time) error {
	g, err := r.register(doc)
	if err != nil {
		return err
	}
	var value any
	folded, there := g.Fold()
	if there {
		value = string(folded)
	}
	_, err = r.exec(`INSERT INTO document (workspace, doc, name, version, created_us, updated_us, value) VALUES (?1, ?2, ?3, ?4, ?5, ?5, ?6)
		ON CONFLICT (workspace, doc) DO UPDATE SET name = excluded.name, version = excluded.version, updated_us = excluded.updated_us, value = excluded.value`,
		doc, displayName(folded), version, micro(at), value)
	return err
}

// displayName is the document's own member name, where that is a string.
func displayName(folded jsontext.Value) string {
	var named struct {
		Name jsontext.Value `json:"name"`
	}
	var name string
	if json.Unmarshal(folded, &named) != nil || named.Name.Kind() != jsontext.KindString || json.Unmarshal(named.Name, &name) != nil {
		return ""
	}
	return name
}
