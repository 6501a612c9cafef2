package api

import (
	"cmp"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"pintail/api/finding"
	"pintail/api/journal"
	"pintail/api/strictjson"
)

// MaxJournal is the largest input of a call of the journal, in bytes: the whole
// history of one document.
const MaxJournal = 64 << 20

// Edit is one call of the journal as a face without Go makes it: JSON in, JSON
// out.
type Edit struct {
	Name string
	run  func([]byte) ([]byte, *finding.Error)
}

// Edits are the calls of the journal:
//
//	fold     {set}                                         -> {document}, absent where there is none
//	diff     {from, to}                                    -> {writes}; an absent document is none
//	entries  {doc, set, writes, ids, device, last, now}    -> {entries, clock}; refused as a whole
//	lay      {documents: [{doc, set, writes, ids}], device, last, now} -> {documents: [{entries, document}], clock}: entries and
//	         fold of many documents at once; refused as a whole
//	merge    {a, b}                                        -> {set}
//	history  {set, path}                                   -> {changes}, newest first
func Edits() []Edit {
	return []Edit{
		edit("fold", fold),
		edit("diff", diff),
		edit("entries", entries),
		edit("lay", lay),
		edit("merge", merge),
		edit("history", history),
	}
}

// RunEdit runs the named call of the journal.
func RunEdit(name string, in []byte) ([]byte, *finding.Error) {
	for _, e := range Edits() {
		if e.Name == name {
			return e.run(in)
		}
	}
	return nil, finding.NewError(finding.UnknownOperation, "", "no call of the journal is named "+strings.ToValidUTF8(name, "�"))
}

func edit[I, O any](name string, run func(I) (O, *finding.Error)) Edit {
	return Edit{Name: name, run: func(b []byte) ([]byte, *finding.Error) {
		var in I
		if len(b) > MaxJournal {
			return nil, finding.NewError(finding.TooLarge, "", "the journal is larger than 64 MiB")
		}
		// Not Decode: a stored document may hold an empty text.
		if err := strictjson.Unmarshal(b, &in); err != nil {
			return nil, Problem(err)
		}
		out, refused := run(in)
		if refused != nil {
			return nil, refused
		}
		answer, err := strictjson.Marshal(out)
		if err != nil {
			return nil, finding.NewError(finding.Internal, "", "the answer could not be written")
		}
		return answer, nil
	}}
}

type folding struct {
	Set journal.Set `json:"set"`
}

type folded struct {
	Document jsontext.Value `json:"document,omitzero"`
}

func fold(in folding) (folded, *finding.Error) {
	if err := checkSet("/set", in.Set); err != nil {
		return folded{}, err
	}
	document, _ := journal.Fold(in.Set)
	return folded{document}, nil
}

type versions struct {
	From jsontext.Value `json:"from,omitzero"`
	To   jsontext.Value `json:"to,omitzero"`
}

type written struct {
	Writes []journal.Write `json:"writes"`
}

func diff(in versions) (written, *finding.Error) {
	if err := cmp.Or(checkDocument("/from", in.From), checkDocument("/to", in.To)); err != nil {
		return written{}, err
	}
	writes := journal.Diff(in.From, in.To)
	if writes == nil {
		writes = []journal.Write{}
	}
	return written{writes}, nil
}

type writing struct {
	Doc    string          `json:"doc"`
	Set    journal.Set     `json:"set,omitzero"`
	Writes []journal.Write `json:"writes"`
	IDs    []string        `json:"ids"`
	Device string          `json:"device"`
	Last   journal.Clock   `json:"last"`
	Now    int64           `json:"now"`
}

type issued struct {
	Entries []journal.Entry `json:"entries"`
	Clock   journal.Clock   `json:"clock"`
}

// entries stamps writes later than everything the document holds, so that an
// edit always shows on the device that made it.
func entries(in writing) (issued, *finding.Error) {
	if len(in.IDs) != len(in.Writes) {
		return issued{}, finding.NewError(finding.InvalidValue, "/ids", "want one for each write")
	}
	if err := checkSet("/set", in.Set); err != nil {
		return issued{}, err
	}
	last := in.Last
	for i := range in.Set.Entries {
		last = last.Seen(in.Set.Entries[i].At)
	}
	made, clock := journal.Entries(in.Doc, in.Writes, in.IDs, in.Device, last, in.Now)
	register := journal.NewRegister(in.Set)
	for i, e := range made {
		if _, refusal := register.Admit(e, e.At.Wall); refusal != nil {
			return issued{}, finding.NewError(finding.InvalidValue, "/writes/"+strconv.Itoa(i)+refusal.Pointer, refusal.Detail)
		}
	}
	return issued{made, clock}, nil
}

type laying struct {
	Documents []writing     `json:"documents"`
	Device    string        `json:"device"`
	Last      journal.Clock `json:"last"`
	Now       int64         `json:"now"`
}

type laidDown struct {
	Documents []laidDocument `json:"documents"`
	Clock     journal.Clock  `json:"clock"`
}

type laidDocument struct {
	Entries  []journal.Entry `json:"entries"`
	Document jsontext.Value  `json:"document,omitzero"`
}

// lay writes many documents at once, one after the other on the device's clock.
func lay(in laying) (laidDown, *finding.Error) {
	out := laidDown{Documents: []laidDocument{}, Clock: in.Last}
	for i, w := range in.Documents {
		w.Device, w.Last, w.Now = in.Device, out.Clock, in.Now
		made, err := entries(w)
		if err != nil {
			for k := range err.Problems {
				err.Problems[k].Pointer = "/documents/" + strconv.Itoa(i) + err.Problems[k].Pointer
			}
			return laidDown{}, err
		}
		document, _ := journal.Fold(journal.Set{Entries: append(w.Set.Entries, made.Entries...), Erasures: w.Set.Erasures})
		out.Documents = append(out.Documents, laidDocument{made.Entries, document})
		out.Clock = made.Clock
	}
	return out, nil
}

type meeting struct {
	A journal.Set `json:"a"`
	B journal.Set `json:"b"`
}

type met struct {
	Set journal.Set `json:"set"`
}

func merge(in meeting) (met, *finding.Error) {
	if err := checkSet("/a", in.A); err != nil {
		return met{}, err
	}
	if err := checkSet("/b", in.B); err != nil {
		return met{}, err
	}
	return met{journal.Merge(in.A, in.B)}, nil
}

type asking struct {
	Set  journal.Set `json:"set"`
	Path string      `json:"path"`
}

type told struct {
	Changes []journal.Change `json:"changes"`
}

func history(in asking) (told, *finding.Error) {
	if err := checkSet("/set", in.Set); err != nil {
		return told{}, err
	}
	return told{journal.History(in.Set, in.Path)}, nil
}

func checkDocument(pointer string, document jsontext.Value) *finding.Error {
	if document != nil && document.Kind() != jsontext.KindBeginObject {
		return finding.NewError(finding.WrongType, pointer, "a document is an object")
	}
	return nil
}

// checkSet refuses a set that holds an entry which can stand in no journal.
func checkSet(pointer string, s journal.Set) *finding.Error {
	for i := range s.Entries {
		if r := s.Entries[i].Check(); r != nil {
			return finding.NewError(finding.InvalidValue, pointer+"/entries/"+strconv.Itoa(i)+r.Pointer, r.Detail)
		}
	}
	return nil
}
