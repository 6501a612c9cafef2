package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// serving is a running `pintail serve`.
type serving struct {
	address string
	stop    func() int // ends it and returns its exit code
}

func mustServe(t *testing.T, env func(string) string, args ...string) serving {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	out, stdout := io.Pipe()
	exit := make(chan int, 1)
	var stderr strings.Builder
	go func() {
		exit <- Run(ctx, append([]string{"serve", "--listen", "127.0.0.1:0"}, args...), strings.NewReader(""), stdout, &stderr, env)
		stdout.Close()
	}()
	line, err := bufio.NewReader(out).ReadString('\n')
	address, found := strings.CutPrefix(strings.TrimSpace(line), "Pintail is at ")
	if err != nil || !found {
		cancel()
		<-exit
		t.Fatalf("it says %q, %v\n%s", line, err, &stderr)
	}
	go io.Copy(io.Discard, out) // what else it says
	stop := func() int { cancel(); return <-exit }
	return serving{address: address, stop: stop}
}

func mustGet(t *testing.T, url string, into any) {
	t.Helper()
	res, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(res.Body)
	if err := errors.Join(err, res.Body.Close()); err != nil || res.StatusCode != 200 {
		t.Fatalf("%s: %d %v\n%s", url, res.StatusCode, err, b)
	}
	if into == nil {
		return
	}
	if err := json.Unmarshal(b, into); err != nil {
		t.Fatal(err)
	}
}

func noEnv(string) string { return "" }

func TestServeDemo(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	s := mustServe(t, noEnv, "--demo")
	var list struct{ Rigs []struct{ ID, Name string } }
	mustGet(t, s.address+"/v1/rigs", &list)
	if len(list.Rigs) != 3 {
		t.Errorf("rigs %v", list.Rigs)
	}
	for _, r := range list.Rigs {
		var kept struct{ Rig, Trip map[string]any }
		mustGet(t, s.address+"/v1/rigs/"+r.ID, &kept)
		if len(kept.Rig) == 0 || len(kept.Trip) == 0 {
			t.Errorf("%s: %v", r.ID, kept)
		}
	}
	mustHaveRecords(t, s.address)
	mustGet(t, s.address+"/", nil)
	mustGet(t, s.address+"/readyz", nil)
	if exit := s.stop(); exit != exitOK {
		t.Errorf("exit code %d", exit)
	}
	if left, err := os.ReadDir(os.Getenv("TMPDIR")); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// mustHaveRecords looks at the ready rig's day: hooked up whole and unhooked again
// by the lists that the core makes today, and its lamps tested.
func mustHaveRecords(t *testing.T, address string) {
	t.Helper()
	for _, id := range []string{"ready-hook-up", "ready-unhook"} {
		var kept struct {
			WalkRound struct {
				List     string
				Rig      string
				RigText  string `json:"rig_text"`
				Place    string
				Started  int64
				Finished int64
				Ticks    map[string]any
				Changes  map[string]any
				HookedUp map[string]any `json:"hooked_up"`
			} `json:"walk_round"`
		}
		mustGet(t, address+"/v1/walk-rounds/"+id, &kept)
		w := kept.WalkRound
		run := map[string]any{"started": w.Started, "finished": w.Finished, "place": w.Place, "ticks": w.Ticks}
		in := map[string]any{"list": w.List, "rig": json.RawMessage(w.RigText), "run": run}
		if w.Changes != nil {
			in["changes"] = w.Changes
		}
		b, err := json.Marshal(in)
		if err != nil {
			t.Fatal(err)
		}
		var report struct {
			Verdict string
			Record  struct{ Whole bool }
		}
		if err := json.Unmarshal([]byte(mustRunOn(t, string(b), "run", "walkround/run")), &report); err != nil {
			t.Fatal(err)
		}
		if w.Rig != "ready" || !report.Record.Whole || report.Verdict != "ok" || (w.HookedUp == nil) == (w.List == "hook_up") || time.Since(time.UnixMilli(w.Finished)) < 12*time.Hour {
			t.Errorf("%s: whole %v, %s, hooked up %v", id, report.Record.Whole, report.Verdict, w.HookedUp)
		}
	}
	var test struct {
		Record struct {
			Rig, Kind, Result string
			HangsOn           []struct{ Field string } `json:"hangs_on"`
		} `json:"test_record"`
	}
	mustGet(t, address+"/v1/test-records/ready-lamps", &test)
	if test.Record.Rig != "ready" || test.Record.Kind != "light_test" || test.Record.Result != "passed" || len(test.Record.HangsOn) == 0 {
		t.Errorf("%+v", test)
	}
}

// TestServeWithKeys: with a key the server listens for others too and asks each
// for one; a key that is revoked while it runs is good no more.
func TestServeWithKeys(t *testing.T) {
	file := filepath.Join(t.TempDir(), "pintail.db")
	token := mustRun(t, "key", "add", "--role", "editor", "--name", "front desk", "--data", file)
	s := mustServe(t, noEnv, "--data", file, "--listen", "0.0.0.0:0")
	_, port, err := net.SplitHostPort(strings.TrimPrefix(s.address, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	ask := func(key string) int {
		r, err := http.NewRequest("GET", "http://127.0.0.1:"+port+"/v1/rigs", nil)
		if err != nil {
			t.Fatal(err)
		}
		if key != "" {
			r.Header.Set("Authorization", "Bearer "+key)
		}
		res, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		if err := res.Body.Close(); err != nil {
			t.Error(err)
		}
		return res.StatusCode
	}
	id, _, _ := strings.Cut(token, ".")
	if list := mustRun(t, "key", "list", "--data", file); !strings.Contains(list, id) || !strings.Contains(list, "front desk") || strings.Contains(list, token) {
		t.Errorf("list: %s", list)
	}
	if none, wrong, good := ask(""), ask(id+"."+strings.Repeat("x", 43)), ask(token); none != 401 || wrong != 401 || good != 200 {
		t.Errorf("no key %d, wrong secret %d, the key %d", none, wrong, good)
	}
	mustRun(t, "key", "revoke", id, "--data", file)
	if revoked := ask(token); revoked != 401 {
		t.Errorf("revoked: %d", revoked)
	}
	if exit := s.stop(); exit != exitOK {
		t.Errorf("exit code %d", exit)
	}
}

// TestBackupOfRunningServer: what was answered before the backup began is in it.
func TestBackupOfRunningServer(t *testing.T) {
	dir := t.TempDir()
	file, copied, restored := filepath.Join(dir, "a.db"), filepath.Join(dir, "b.db"), filepath.Join(dir, "c.db")
	s := mustServe(t, noEnv, "--data", file)
	res, err := http.Post(s.address+"/v1/rigs", "application/json", strings.NewReader(`{"id":"a","rig":{"name":"Kept"}}`))
	if err != nil || res.StatusCode != 201 {
		t.Fatalf("%v %v", res, err)
	}
	if err := res.Body.Close(); err != nil {
		t.Error(err)
	}
	mustRun(t, "backup", copied, "--data", file)
	if exit := s.stop(); exit != exitOK {
		t.Errorf("exit code %d", exit)
	}
	mustRun(t, "restore", copied, "--data", restored)
	mustRun(t, "check", "--data", restored)
	s = mustServe(t, noEnv, "--data", restored)
	defer s.stop()
	var kept struct{ Name string }
	if mustGet(t, s.address+"/v1/rigs/a", &kept); kept.Name != "Kept" {
		t.Errorf("%+v", kept)
	}
}

// mustRun runs a command and returns what it prints, without the line end.
func mustRun(t *testing.T, args ...string) string {
	t.Helper()
	return mustRunOn(t, "", args...)
}

// mustRunOn is mustRun with something on standard input.
func mustRunOn(t *testing.T, stdin string, args ...string) string {
	t.Helper()
	var stdout, stderr strings.Builder
	if exit := Run(t.Context(), args, strings.NewReader(stdin), &stdout, &stderr, noEnv); exit != exitOK {
		t.Fatalf("pintail %v: exit code %d\n%s", args, exit, &stderr)
	}
	return strings.TrimSpace(stdout.String())
}

// TestServeDefaultFile: without --data the rigs are in the user's data
// directory, and found again.
func TestServeDefaultFile(t *testing.T) {
	home := t.TempDir()
	env := func(name string) string {
		return map[string]string{"XDG_DATA_HOME": filepath.Join(home, "data"), "LocalAppData": filepath.Join(home, "data"), "HOME": home}[name]
	}
	for range 2 {
		s := mustServe(t, env)
		var list struct{ Rigs []any }
		mustGet(t, s.address+"/v1/rigs", &list)
		if list.Rigs == nil || len(list.Rigs) != 0 {
			t.Errorf("rigs %v", list.Rigs)
		}
		if exit := s.stop(); exit != exitOK {
			t.Errorf("exit code %d", exit)
		}
	}
	found, err := filepath.Glob(filepath.Join(home, "*", "pintail", "pintail.db"))
	if err != nil || len(found) != 1 {
		t.Errorf("file %v, %v", found, err)
	}
}

func TestServeTaken(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	var stderr strings.Builder
	exit := Run(t.Context(), []string{"serve", "--demo", "--listen", l.Addr().String()}, strings.NewReader(""), io.Discard, &stderr, noEnv)
	if exit != exitFault || !strings.Contains(stderr.String(), "is taken by another program") || !strings.Contains(stderr.String(), "--listen HOST:PORT") {
		t.Errorf("exit code %d: %s", exit, &stderr)
	}
}

func TestDataHome(t *testing.T) {
	for name, test := range map[string]struct {
		system string
		env    map[string]string
		want   string
	}{
		"XDG":         {"linux", map[string]string{"HOME": "/home/o", "XDG_DATA_HOME": "/data"}, "/data"},
		"XDGDefault":  {"linux", map[string]string{"HOME": "/home/o"}, "/home/o/.local/share"},
		"XDGRelative": {"linux", map[string]string{"HOME": "/home/o", "XDG_DATA_HOME": "data"}, "/home/o/.local/share"}, // the specification has it ignored
		"Mac":         {"darwin", map[string]string{"HOME": "/Users/o"}, "/Users/o/Library/Application Support"},
		"Windows":     {"windows", map[string]string{"LocalAppData": `C:\o`}, `C:\o`},
		"Nothing":     {"linux", nil, ""},
		"NothingWin":  {"windows", map[string]string{"HOME": "/home/o"}, ""},
	} {
		got, err := dataHome(test.system, func(k string) string { return test.env[k] })
		if filepath.ToSlash(got) != test.want || (err == nil) != (test.want != "") {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
}
