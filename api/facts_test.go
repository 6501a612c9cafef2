//go:build !js

package api_test

import (
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pintail/api"
)

var update = flag.Bool("update", false, "write what was computed into the files that state it")

// TestFactsVersion holds the second half of api.FactsVersion equal to a digest
// of every file that the core embeds: law rows, tables, sentences. With -update
// it writes the digest, and today's date, into version.go.
func TestFactsVersion(t *testing.T) {
	date, digest, ok := strings.Cut(api.FactsVersion, ".")
	if _, err := time.Parse(time.DateOnly, date); err != nil || !ok {
		t.Errorf("FactsVersion is %q, want a date, a dot and a digest", api.FactsVersion)
	}
	want := factsDigest(t)
	if digest == want {
		return
	}
	if !*update {
		t.Fatalf("the facts changed: FactsVersion is %q, the digest of the embedded files %s; run go test ./api -run FactsVersion -update", api.FactsVersion, want)
	}
	b, err := os.ReadFile("version.go")
	if err != nil {
		t.Fatal(err)
	}
	line := regexp.MustCompile(`const FactsVersion = "[^"]*"`)
	if !line.Match(b) {
		t.Fatal("version.go has no FactsVersion")
	}
	b = line.ReplaceAll(b, fmt.Appendf(nil, `const FactsVersion = "%s.%s"`, time.Now().UTC().Format(time.DateOnly), want))
	if err := os.WriteFile("version.go", b, 0o644); err != nil {
		t.Fatal(err)
	}
}

// factsDigest is the first 8 hexadecimal digits of a SHA-256 over the embedded
// files of the core in the order of their paths: path, size and content of each.
func factsDigest(t *testing.T) string {
	root, err := filepath.Abs(".")
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for _, p := range mustList(t, nil, "./api/...") {
		for _, f := range p.EmbedFiles {
			files = append(files, filepath.Join(p.Dir, f))
		}
	}
	if len(files) == 0 {
		t.Fatal("the core embeds no file")
	}
	slices.Sort(files)
	h := sha256.New()
	for _, f := range files {
		content, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		path, err := filepath.Rel(root, f)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(h, "%s\n%d\n", filepath.ToSlash(path), len(content))
		h.Write(content)
	}
	return hex.EncodeToString(h.Sum(nil))[:8]
}
