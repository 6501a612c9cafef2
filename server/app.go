package server

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
)

// app is the browser app's files, read once.
type app struct{ files map[string]file }

// file is one file of the app.
type file struct {
	kind         string
	plain        encoded
	brotli       encoded
	cacheControl string
}

// encoded is one encoding of a file, with an entity tag of its own.
type encoded struct {
	bytes []byte
	tag   string
}

const shell = "index.html"

// notBuilt stands in for an app that go generate has not built.
const notBuilt = `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Pintail</title>
<h1>The app is not built</h1>
<p>This server was compiled without the browser app. In the source tree, build it and start again:</p>
<pre>go generate ./... &amp;&amp; go run ./cmd/pintail serve</pre>
<p>The HTTP API works without it; its contract is at <a href="/openapi.yaml">/openapi.yaml</a>.</p>
`

func readApp(from fs.FS) (*app, error) {
	a := &app{files: map[string]file{}}
	err := fs.WalkDir(from, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(d.Name(), ".") {
			return err
		}
		b, err := fs.ReadFile(from, name)
		if err != nil {
			return err
		}
		if base, compressed := strings.CutSuffix(name, ".br"); compressed {
			f := a.files[base]
			f.brotli = encode(b)
			a.files[base] = f
			return nil
		}
		f := a.files[name]
		f.kind, f.plain, f.cacheControl = mediaType(name), encode(b), cacheControl(name)
		a.files[name] = f
		return nil
	})
	if _, built := a.files[shell]; !built {
		a.files = map[string]file{shell: {kind: mediaType(shell), plain: encode([]byte(notBuilt)), cacheControl: "no-store"}}
	}
	return a, err
}

func encode(b []byte) encoded {
	sum := sha256.Sum256(b)
	return encoded{bytes: b, tag: `"` + hex.EncodeToString(sum[:12]) + `"`}
}

// cacheControl decides how long a browser may keep a file without asking. A name
// that carries a digest of its content never changes; everything else, above all
// the shell, the service worker and the manifest, is asked for each time.
func cacheControl(name string) string {
	if dir, base := path.Split(name); dir == "assets/" && hashed(base) {
		return "public, max-age=31536000, immutable"
	}
	return "no-cache"
}

// hashed reports whether a name ends in a digest of 8 characters, as the
// bundler writes them: engine-BkZ3x_9a.wasm.
func hashed(base string) bool {
	stem := strings.TrimSuffix(base, path.Ext(base))
	if len(stem) < 10 || stem[len(stem)-9] != '-' {
		return false
	}
	return saneID(stem[len(stem)-8:])
}

// mediaType is fixed here: the machine's own table differs from place to place,
// and a bare container has none.
func mediaType(name string) string {
	switch path.Ext(name) {
	case ".html":
		return "text/html; charset=utf-8"
	case ".js", ".mjs":
		return "text/javascript; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".wasm":
		return "application/wasm"
	case ".json":
		return jsonType
	case ".webmanifest":
		return "application/manifest+json"
	case ".svg":
		return "image/svg+xml"
	case ".png":
		return "image/png"
	case ".ico":
		return "image/x-icon"
	case ".woff2":
		return "font/woff2"
	case ".txt":
		return textType
	}
	return "application/octet-stream"
}

// serveApp answers what no route does: a file of the app, its shell for a
// navigation inside it, or that there is nothing.
func (s *server) serveApp(c echo.Context) error {
	r := c.Request()
	f, found := s.app.find(r)
	switch {
	case !found:
		return nothingHere(r)
	case !reads(r):
		c.Response().Header().Set("Allow", "GET, HEAD")
		return finding.NewError(finding.MethodNotAllowed, "", "this address takes another method")
	}
	f.serve(c.Response(), r)
	return nil
}

// nothingHere says that there is nothing; of an operation that does not exist
// in the words of every face.
func nothingHere(r *http.Request) error {
	if name, under := strings.CutPrefix(r.URL.Path, "/v1/"); under && r.Method == http.MethodPost {
		if _, problem := api.Run(name, nil); problem != nil && problem.Code() == finding.UnknownOperation {
			return problem
		}
	}
	return finding.NewError(finding.NotFound, "", "nothing is served at this address")
}

func reads(r *http.Request) bool { return r.Method == http.MethodGet || r.Method == http.MethodHead }

func (a *app) find(r *http.Request) (file, bool) {
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "" {
		name = shell
	}
	if f, found := a.files[name]; found && f.plain.bytes != nil {
		return f, true
	}
	if navigation(r) {
		return a.files[shell], true
	}
	return file{}, false
}

// navigation reports whether a person goes to a place inside the app: an address
// that names neither the API nor a file, asked for as a page.
func navigation(r *http.Request) bool {
	p := r.URL.Path
	if !reads(r) || p == "/v1" || strings.HasPrefix(p, "/v1/") || strings.Contains(path.Base(p), ".") {
		return false
	}
	if mode := r.Header.Get("Sec-Fetch-Mode"); mode != "" {
		return mode == "navigate"
	}
	return strings.Contains(r.Header.Get("Accept"), "text/html")
}

func (f file) serve(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", f.cacheControl)
	body := f.plain
	if f.brotli.bytes != nil {
		h.Add("Vary", "Accept-Encoding")
		if acceptsBrotli(r.Header.Get("Accept-Encoding")) {
			body = f.brotli
			h.Set("Content-Encoding", "br")
			// ServeContent leaves the length out when there is an encoding.
			h.Set("Content-Length", strconv.Itoa(len(body.bytes)))
			// A part of a compressed file helps nobody.
			r = withoutRange(r)
		}
	}
	h.Set("ETag", body.tag)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body.bytes))
}

func withoutRange(r *http.Request) *http.Request {
	if r.Header.Get("Range") == "" {
		return r
	}
	r = r.Clone(r.Context())
	r.Header.Del("Range")
	return r
}

// acceptsBrotli reads Accept-Encoding (RFC 9110 section 12.5.3): br by name, or
// by the star unless br is named and refused.
func acceptsBrotli(header string) bool {
	star := false
	for part := range strings.SplitSeq(header, ",") {
		coding, weight, _ := strings.Cut(part, ";")
		wanted := !zeroWeight(weight)
		switch strings.ToLower(strings.TrimSpace(coding)) {
		case "br":
			return wanted
		case "*":
			star = wanted
		}
	}
	return star
}

func zeroWeight(weight string) bool {
	name, value, _ := strings.Cut(weight, "=")
	if !strings.EqualFold(strings.TrimSpace(name), "q") {
		return false
	}
	q, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
	return err == nil && q == 0
}
