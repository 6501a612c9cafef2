//go:build js && wasm

// Command engine is the browser's engine: THE TABLE on js/wasm. It sets one
// global object, pintailEngine, and then waits for calls:
//
//	versions() string                            JSON: engine_version, facts_version, max_input, operations
//	words() string                               JSON: the English catalogue, message id to sentence
//	run(operation string, input Uint8Array)      {ok: boolean, body: string}
//	edit(call string, input Uint8Array)          the same, for a call of the journal (api.Edits)
//
// Bytes go in, not a JavaScript string, because a string cannot hold invalid
// UTF-8: the core must be the one to refuse it. The body is the JSON text of
// the answer, or of the problem details, the same bytes that the server and
// `pintail run` give.
package main

import (
	"syscall/js"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/strictjson"
)

func main() {
	js.Global().Set("pintailEngine", map[string]any{
		"versions": js.FuncOf(func(js.Value, []js.Value) any { return versions() }),
		"words":    js.FuncOf(func(js.Value, []js.Value) any { return text(finding.Catalogue()) }),
		"run":      js.FuncOf(func(_ js.Value, args []js.Value) any { return run(api.Run, args, api.MaxBulk) }),
		"edit":     js.FuncOf(func(_ js.Value, args []js.Value) any { return run(api.RunEdit, args, api.MaxJournal) }),
	})
	select {}
}

func versions() string {
	v := struct {
		finding.Stamp `json:",inline"`
		MaxInput      int      `json:"max_input"`
		Operations    []string `json:"operations"`
	}{
		Stamp:    finding.Stamp{EngineVersion: api.EngineVersion, FactsVersion: api.FactsVersion},
		MaxInput: api.MaxInput,
	}
	for _, o := range api.Operations() {
		v.Operations = append(v.Operations, o.Name)
	}
	return text(v)
}

func text(v any) string {
	b, err := strictjson.Marshal(v)
	if err != nil {
		panic(err) // plain strings and a number
	}
	return string(b)
}

// run answers one call. A panic of the core becomes the neutral internal
// problem, so that one bad call does not end the engine.
func run(call func(string, []byte) ([]byte, *finding.Error), args []js.Value, limit int) (answer map[string]any) {
	defer func() {
		if recover() != nil {
			answer = refused(finding.NewError(finding.Internal, "", "the engine failed on this input"))
		}
	}()
	body, err := call(args[0].String(), input(args[1], limit))
	if err != nil {
		return refused(err)
	}
	return map[string]any{"ok": true, "body": string(body)}
}

func refused(err *finding.Error) map[string]any {
	return map[string]any{"ok": false, "body": string(err.JSON())}
}

// input copies the bytes over, at most one more than the core accepts: enough
// for it to see that they are too many.
func input(v js.Value, limit int) []byte {
	b := make([]byte, min(v.Get("byteLength").Int(), limit+1))
	js.CopyBytesToGo(b, v)
	return b
}
