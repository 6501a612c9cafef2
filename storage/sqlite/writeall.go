package sqlite

import (
	"context"

	"pintail/api/journal"
	"pintail/storage"
)

// WriteAll is part of storage.Workspace.
func (s *space) WriteAll(ctx context.Context, writes []storage.Write) ([]storage.Outcome, error) {
	if err := checkAll(writes); err != nil || len(writes) == 0 {
		return nil, err
	}
	var outs []storage.Outcome
	_, err := s.submit(ctx, "write all", func(_ *change, r *row) (err error) {
		r.tick(writes[0].At)
		outs, err = r.writeAll(writes)
		for i := range outs {
			outs[i].Cursor, outs[i].Era, outs[i].Now, outs[i].Clock = r.cursor, r.era, r.now, r.clock
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return outs, nil
}

func checkAll(writes []storage.Write) error {
	if len(writes) > storage.MaxWriteAll {
		return invalid("at most 20000 documents are written at once")
	}
	seen := make(map[string]bool, len(writes))
	for i := range writes {
		w := &writes[i]
		switch {
		case len(w.IDs) != len(w.Writes):
			return invalid("each write wants one id")
		case w.Once != nil:
			return invalid("documents written together have no request of their own")
		case seen[w.Doc]:
			return invalid("a document stands twice among those written together")
		}
		seen[w.Doc] = true
	}
	return nil
}

// writeAll admits the writes of all documents and keeps all or none.
func (r *row) writeAll(writes []storage.Write) ([]storage.Outcome, error) {
	outs := make([]storage.Outcome, len(writes))
	allowed := true
	for i := range writes {
		may, err := r.may(writes[i], &outs[i])
		if err != nil {
			return nil, err
		}
		allowed = allowed && may
	}
	if !allowed {
		return outs, nil
	}
	var entries []journal.Entry
	clock := r.clock
	for i := range writes {
		w := &writes[i]
		var made []journal.Entry
		made, clock = journal.Entries(w.Doc, w.Writes, w.IDs, storage.ServerDevice, clock, r.now)
		entries = append(entries, made...)
	}
	judge, err := r.judge(entries)
	if err != nil {
		return nil, err
	}
	judge.own = true
	var all storage.Outcome
	for i := range entries {
		result, err := judge.entry(entries[i])
		if err != nil {
			return nil, err
		}
		all.Results = append(all.Results, result)
	}
	if all.Taken() {
		err = r.keep(judge, writes[0].Actor, writes[0].At, &all)
	} else {
		judge.withdraw()
	}
	at := 0
	for i := range outs {
		outs[i].Results = all.Results[at : at+len(writes[i].Writes)]
		at += len(writes[i].Writes)
		for _, result := range outs[i].Results {
			outs[i].Version = max(outs[i].Version, result.Cursor)
		}
	}
	return outs, err
}
