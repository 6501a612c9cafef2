//go:build unix

package sqlite_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"pintail/api/journal"
	"pintail/storage"
	"pintail/storage/sqlite"
	"pintail/storage/storetest"
)

// TestMain turns the test program into the process that is to be killed.
func TestMain(m *testing.M) {
	if file := os.Getenv("APPEND_TO"); file != "" {
		appendUntilKilled(file)
		return
	}
	os.Exit(m.Run())
}

// appendUntilKilled appends from several goroutines and says on standard output
// what was acknowledged, each line in one write.
func appendUntilKilled(file string) {
	open := sqlite.Open
	if os.Getenv("CARELESS") != "" {
		open = func(ctx context.Context, file string, _ sqlite.Options) (*sqlite.Store, error) {
			return sqlite.OpenCareless(ctx, file)
		}
	}
	first, writers, each := number("FIRST"), number("WRITERS"), number("EACH")
	s, err := open(context.Background(), file, sqlite.Options{})
	if err != nil {
		fmt.Println("failed", err)
		return
	}
	w := s.In(storage.Default)
	fmt.Println("ready")
	var wg sync.WaitGroup
	for n := range writers {
		wg.Go(func() {
			for i := range each {
				id := first + n*each + i
				out, err := w.Append(context.Background(), storage.Append{At: time.Now(), Actor: "crash", Entries: []journal.Entry{
					storetest.Entry(id, fmt.Sprint("rig/r", n), fmt.Sprint("/x", i%50), fmt.Sprintf(`"%s"`, strings.Repeat("v", i%300)), int64(i)),
				}})
				if err != nil || !out.Taken() {
					fmt.Println("failed", err, out.Results)
					return
				}
				fmt.Printf("ack %d\n", id)
			}
		})
	}
	wg.Wait()
	if err := s.Close(); err != nil {
		fmt.Println("failed", err)
	}
}

func number(name string) int {
	n, err := strconv.Atoi(os.Getenv(name))
	if err != nil {
		panic(name + " " + err.Error())
	}
	return n
}

func appender(tb testing.TB, file string, first, writers, each int, before ...string) *exec.Cmd {
	tb.Helper()
	exe, err := os.Executable()
	if err != nil {
		tb.Fatal(err)
	}
	args := append(before, exe)
	c := exec.Command(args[0], args[1:]...)
	c.Env = append(os.Environ(), "APPEND_TO="+file, fmt.Sprint("FIRST=", first), fmt.Sprint("WRITERS=", writers), fmt.Sprint("EACH=", each))
	return c
}

// TestKill kills a process that appends under load, a hundred times, and finds
// everything that was acknowledged.
func TestKill(t *testing.T) {
	kills := 110
	if testing.Short() {
		kills = 15
	}
	file := filepath.Join(t.TempDir(), "pintail.db")
	acknowledged := map[int]bool{}
	for k := range kills {
		for _, id := range killed(t, file, (k+1)*1_000_000) {
			acknowledged[id] = true
		}
		if k%10 == 9 || k == kills-1 {
			everythingThere(t, file, acknowledged)
		}
	}
	if len(acknowledged) < 10*kills {
		t.Errorf("only %d acknowledged in %d runs: not under load", len(acknowledged), kills)
	}
	t.Logf("%d kills, %d entries acknowledged", kills, len(acknowledged))
}

// killed runs the appender until it has acknowledged some entries, kills it, and
// returns what it acknowledged.
func killed(t *testing.T, file string, first int) (acknowledged []int) {
	t.Helper()
	c := appender(t, file, first, 6, 100_000)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	enough := 1 + rand.IntN(80)
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		var id int
		switch text := lines.Text(); {
		case text == "ready":
		default:
			if _, err := fmt.Sscanf(text, "ack %d", &id); err != nil {
				t.Fatalf("the process says %q", text)
			}
			acknowledged = append(acknowledged, id)
		}
		if len(acknowledged) == enough {
			// Not at an acknowledgement, but anywhere in the next commits.
			time.AfterFunc(time.Duration(rand.IntN(3000))*time.Microsecond, func() { _ = c.Process.Signal(syscall.SIGKILL) })
		}
	}
	_ = c.Wait()
	if s, ok := c.ProcessState.Sys().(syscall.WaitStatus); !ok || s.Signal() != syscall.SIGKILL {
		t.Fatalf("the process ended by itself: %v", c.ProcessState)
	}
	return acknowledged
}

func everythingThere(t *testing.T, file string, acknowledged map[int]bool) {
	t.Helper()
	mustBeClean(t, file)
	s := mustOpen(t, file)
	defer s.Close()
	there := map[string]bool{}
	for after := int64(0); ; {
		page, err := s.In(storage.Default).Since(t.Context(), after, storage.MaxPage)
		if err != nil {
			t.Fatal(err)
		}
		if len(page.Changes) == 0 {
			break
		}
		for _, c := range page.Changes {
			there[c.Entry.ID] = true
		}
		after = page.Cursor
	}
	for id := range acknowledged {
		if !there[storetest.ID(id)] {
			t.Fatalf("entry %d was acknowledged and is gone", id)
		}
	}
}

// TestSyncBeforeAcknowledgement watches the system calls: between the writes that
// acknowledge two appends, the log must have been synced. With synchronous=OFF
// the same watch must find acknowledgements without.
func TestSyncBeforeAcknowledgement(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("needs strace")
	}
	const appends = 30
	watch := func(t *testing.T, writers int, careless string) (acknowledged, early, syncs int) {
		dir := t.TempDir()
		log := filepath.Join(dir, "calls")
		c := appender(t, filepath.Join(dir, "pintail.db"), 0, writers, appends, strace, "-f", "-y", "-s", "64", "-e", "trace=write,fsync,fdatasync", "-o", log)
		c.Env = append(c.Env, "CARELESS="+careless)
		out, err := c.CombinedOutput()
		if err != nil || bytes.Contains(out, []byte("failed")) {
			t.Skipf("strace does not work here: %v\n%s", err, out)
		}
		calls, err := os.ReadFile(log)
		if err != nil {
			t.Fatal(err)
		}
		return countSyncs(string(calls))
	}
	t.Run("Full", func(t *testing.T) {
		if acknowledged, early, syncs := watch(t, 1, ""); acknowledged != appends || early != 0 {
			t.Errorf("%d of %d acknowledgements came before the sync (%d syncs)", early, acknowledged, syncs)
		}
	})
	t.Run("OffIsNoticed", func(t *testing.T) {
		if acknowledged, early, _ := watch(t, 1, "yes"); acknowledged != appends || early < appends-5 {
			t.Errorf("with synchronous=OFF only %d of %d acknowledgements were found early: the test sees nothing", early, acknowledged)
		}
	})
	t.Run("GroupsShareASync", func(t *testing.T) {
		acknowledged, _, syncs := watch(t, 8, "")
		if acknowledged != 8*appends || syncs > acknowledged*2/3 {
			t.Errorf("%d syncs for %d acknowledgements", syncs, acknowledged)
		}
		t.Logf("%d syncs for %d acknowledgements", syncs, acknowledged)
	})
}

var (
	syncDone = regexp.MustCompile(`f(data)?sync\(\d+<[^>]*-wal>\)\s+= 0|f(data)?sync resumed>\)\s+= 0`)
	ack      = regexp.MustCompile(`write\(1<[^>]*>, "ack `)
)

// countSyncs reads a trace: how many acknowledgements there are, how many of them
// had no finished sync of the log since the one before, and how many syncs.
func countSyncs(calls string) (acknowledged, early, syncs int) {
	synced := false
	for line := range strings.SplitSeq(calls, "\n") {
		switch {
		case syncDone.MatchString(line):
			synced = true
			syncs++
		case ack.MatchString(line):
			acknowledged++
			if !synced {
				early++
			}
			synced = false
		}
	}
	return acknowledged, early, syncs
}
