package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestImage builds the image without a container engine: it reads the
// Dockerfile, runs its steps as commands in a copy of the source tree, and
// starts the result as the image would be started, with nothing but the files of
// the last stage around it and an empty environment.
func TestImage(t *testing.T) {
	if testing.Short() {
		t.Skip("builds everything anew")
	}
	if _, err := exec.LookPath("npm"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("CI=true and no npm")
		}
		t.Skip("no npm to build the app with")
	}
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	b := imageBuild{t: t, context: root, ignore: mustIgnore(t, root), stages: map[string]*stage{}}
	for _, in := range mustDockerfile(t, filepath.Join(root, "Dockerfile")) {
		b.step(in)
	}
	last := b.current
	if last.from != "scratch" {
		t.Errorf("the last stage is from %s, want scratch", last.from)
	}
	uid, err := strconv.ParseUint(strings.Split(last.user, ":")[0], 10, 32)
	if err != nil || uid == 0 {
		t.Fatalf("USER %q, want a number that is not root's", last.user)
	}
	answers(t, last, uint32(uid))
}

// answers starts the image and asks whether it is alive.
func answers(t *testing.T, image *stage, uid uint32) {
	t.Helper()
	args := append(append(image.entrypoint, image.cmd...), "--listen", "127.0.0.1:0")
	c := exec.Command(args[0], args[1:]...)
	c.Env = []string{}
	c.Dir = "/"
	if os.Getuid() == 0 {
		c.SysProcAttr = &syscall.SysProcAttr{Chroot: image.root, Credential: &syscall.Credential{Uid: uid, Gid: uid}}
	} else {
		c = exec.Command(filepath.Join(image.root, args[0]), image.inside(args[1:])...)
		c.Env = []string{}
	}
	stdout, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var stderr strings.Builder
	c.Stderr = &stderr
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	line, _ := bufio.NewReader(stdout).ReadString('\n')
	address, found := strings.CutPrefix(strings.TrimSpace(line), "Pintail is at ")
	if found {
		client := http.Client{Timeout: 10 * time.Second}
		res, err := client.Get(address + "/healthz")
		if err != nil || res.StatusCode != http.StatusOK {
			t.Errorf("healthz: %v %v", res, err)
		}
		res, err = client.Get(address + "/")
		if err != nil {
			t.Fatal(err)
		}
		page, err := io.ReadAll(res.Body)
		if err := errors.Join(err, res.Body.Close()); err != nil || strings.Contains(string(page), "not built") {
			t.Errorf("the image has no app: %v\n%s", err, page)
		}
	}
	if err := errors.Join(c.Process.Signal(syscall.SIGTERM), c.Wait()); err != nil || !found {
		t.Errorf("it says %q and ends with %v\n%s", line, err, &stderr)
	}
}

// instruction is one line of a Dockerfile.
type instruction struct{ name, rest string }

func mustDockerfile(t *testing.T, file string) []instruction {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var all []instruction
	for line := range strings.Lines(strings.ReplaceAll(string(b), "\\\n", " ")) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		name, rest, _ := strings.Cut(line, " ")
		all = append(all, instruction{name, strings.TrimSpace(rest)})
	}
	return all
}

// stage is one stage of the build: a directory that stands for its root.
type stage struct {
	from, root, dir, user string
	env                   []string
	entrypoint, cmd       []string
}

// in is a path of the stage as a path of this machine.
func (s *stage) in(p string) string {
	if !path.IsAbs(p) {
		p = path.Join(s.dir, p)
	}
	return filepath.Join(s.root, filepath.FromSlash(p))
}

// inside turns absolute paths among args into those of this machine.
func (s *stage) inside(args []string) []string {
	var all []string
	for _, a := range args {
		if path.IsAbs(a) {
			a = s.in(a)
		}
		all = append(all, a)
	}
	return all
}

type imageBuild struct {
	t       *testing.T
	context string
	ignore  []string
	stages  map[string]*stage
	current *stage
}

var flagPattern = regexp.MustCompile(`^--([a-z]+)=(\S+)\s+`)

func (b *imageBuild) step(in instruction) {
	b.t.Helper()
	flags := map[string]string{}
	rest := in.rest
	for m := flagPattern.FindStringSubmatch(rest); m != nil; m = flagPattern.FindStringSubmatch(rest) {
		flags[m[1]] = m[2]
		rest = rest[len(m[0]):]
	}
	switch in.name {
	case "FROM":
		b.from(rest)
	case "ENV":
		b.current.env = append(b.current.env, os.ExpandEnv(rest))
	case "WORKDIR":
		b.current.dir = rest
		b.must(os.MkdirAll(b.current.in("."), 0o755), in)
	case "COPY":
		b.copy(in, flags, strings.Fields(rest))
	case "RUN":
		c := exec.Command("sh", "-c", rest)
		c.Dir = b.current.in(".")
		c.Env = append(os.Environ(), b.current.env...)
		out, err := c.CombinedOutput()
		b.must(err, in, string(out))
	case "USER":
		b.current.user = rest
	case "ENTRYPOINT":
		b.must(json.Unmarshal([]byte(rest), &b.current.entrypoint), in)
	case "CMD":
		b.must(json.Unmarshal([]byte(rest), &b.current.cmd), in)
	case "VOLUME":
		if _, err := os.Stat(b.current.in(rest)); err != nil {
			b.t.Fatalf("VOLUME %s: %v; the user could not write it", rest, err)
		}
	default:
		b.t.Fatalf("Dockerfile: this test does not know %s", in.name)
	}
}

func (b *imageBuild) must(err error, in instruction, more ...string) {
	b.t.Helper()
	if err != nil {
		b.t.Fatalf("%s %s: %v\n%s", in.name, in.rest, err, strings.Join(more, "\n"))
	}
}

func (b *imageBuild) from(rest string) {
	image, name, _ := strings.Cut(rest, " AS ")
	root := b.t.TempDir()
	b.must(os.Chmod(root, 0o755), instruction{"FROM", rest})
	b.current = &stage{from: image, root: root, dir: "/"}
	b.stages[name] = b.current
}

func (b *imageBuild) copy(in instruction, flags map[string]string, args []string) {
	b.t.Helper()
	if len(args) != 2 {
		b.t.Fatalf("COPY %s: this test knows one source", in.rest)
	}
	to := b.current.in(args[1])
	if flags["from"] == "" {
		b.must(copyTree(filepath.Join(b.context, args[0]), to, b.ignored), in)
		return
	}
	source, ours := b.stages[flags["from"]]
	if !ours {
		return // another image: what it holds is installed on this machine
	}
	b.must(copyTree(source.in(args[0]), to, func(string) bool { return false }), in)
	if owner := flags["chown"]; owner != "" && os.Getuid() == 0 {
		uid, err := strconv.Atoi(strings.Split(owner, ":")[0])
		b.must(err, in)
		b.must(filepath.WalkDir(to, func(p string, _ fs.DirEntry, err error) error { return errors.Join(err, os.Lchown(p, uid, uid)) }), in)
	}
}

// copyTree copies files, directories and their modes.
func copyTree(from, to string, ignored func(string) bool) error {
	return filepath.WalkDir(from, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(from, p)
		if err != nil {
			return err
		}
		if ignored(filepath.ToSlash(rel)) {
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		info, err := d.Info()
		switch {
		case err != nil:
			return err
		case d.IsDir():
			return errors.Join(os.MkdirAll(filepath.Join(to, rel), 0o755), os.Chmod(filepath.Join(to, rel), info.Mode()))
		case !info.Mode().IsRegular():
			return fmt.Errorf("%s is not a file", p)
		}
		b, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, rel), b, info.Mode().Perm())
	})
}

func mustIgnore(t *testing.T, root string) []string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, ".dockerignore"))
	if err != nil {
		t.Fatal(err)
	}
	return strings.Fields(string(b))
}

// ignored applies .dockerignore: the last pattern that fits decides.
func (b *imageBuild) ignored(rel string) bool {
	out := false
	for _, pattern := range b.ignore {
		pattern, kept := strings.CutPrefix(pattern, "!")
		if fits, err := path.Match(pattern, rel); err == nil && fits {
			out = !kept
		}
	}
	return out
}
