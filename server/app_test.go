package server

import (
	"net/http"
	"strings"
	"testing"
	"testing/fstest"
)

const (
	asked     = "no-cache"
	immutable = "public, max-age=31536000, immutable"
)

func TestApp(t *testing.T) {
	l := newLab(t, false)
	page := map[string]string{"Accept": "text/html,*/*;q=0.8"}
	for name, s := range map[string]scenario{
		"Shell":           {request{path: "/"}, 200, []string{"<title>app"}, nil, map[string]string{"Cache-Control": asked, "Content-Type": "text/html; charset=utf-8", "Vary": "Accept-Encoding", "Content-Encoding": ""}},
		"ShellBrotli":     {request{path: "/", headers: map[string]string{"Accept-Encoding": "gzip, deflate, br"}}, 200, []string{"BROTLI index"}, nil, map[string]string{"Cache-Control": asked, "Content-Encoding": "br", "Content-Length": "12", "Content-Type": "text/html; charset=utf-8", "Vary": "Accept-Encoding"}},
		"Head":            {request{method: "HEAD", path: "/", headers: map[string]string{"Accept-Encoding": "br"}}, 200, nil, nil, map[string]string{"Content-Length": "12"}},
		"BrotliRefused":   {request{path: "/", headers: map[string]string{"Accept-Encoding": "gzip, br;q=0"}}, 200, []string{"<title>app"}, nil, map[string]string{"Content-Encoding": ""}},
		"BrotliNotMade":   {request{path: "/icon-192.png", headers: map[string]string{"Accept-Encoding": "br"}}, 200, nil, nil, map[string]string{"Content-Encoding": "", "Vary": "", "Content-Type": "image/png"}},
		"BrotliWhole":     {request{path: "/", headers: map[string]string{"Accept-Encoding": "br", "Range": "bytes=0-3"}}, 200, []string{"BROTLI index"}, nil, nil},
		"Range":           {request{path: "/", headers: map[string]string{"Range": "bytes=0-4"}}, 206, []string{"<!doc"}, []string{"type"}, nil},
		"Worker":          {request{path: "/sw.js"}, 200, []string{"worker"}, nil, map[string]string{"Cache-Control": asked, "Content-Type": "text/javascript; charset=utf-8"}},
		"Manifest":        {request{path: "/manifest.webmanifest"}, 200, nil, nil, map[string]string{"Cache-Control": asked, "Content-Type": "application/manifest+json"}},
		"Hashed":          {request{path: "/assets/index-BkZ3x_9a.js"}, 200, nil, nil, map[string]string{"Cache-Control": immutable}},
		"Engine":          {request{path: "/assets/engine-Abcd1234.wasm"}, 200, nil, nil, map[string]string{"Cache-Control": immutable, "Content-Type": "application/wasm"}},
		"NotHashed":       {request{path: "/assets/logo.svg"}, 200, nil, nil, map[string]string{"Cache-Control": asked, "Content-Type": "image/svg+xml"}},
		"Room":            {request{path: "/rig/kept", headers: page}, 200, []string{"<title>app"}, nil, map[string]string{"Cache-Control": asked}},
		"RoomFetched":     {request{path: "/rig/kept", headers: map[string]string{"Accept": "text/html", "Sec-Fetch-Mode": "cors"}}, 404, nil, []string{"<title>"}, nil},
		"RoomNavigated":   {request{path: "/rig/kept", headers: map[string]string{"Sec-Fetch-Mode": "navigate"}}, 200, []string{"<title>app"}, nil, nil},
		"NoFile":          {request{path: "/assets/gone-12345678.js", headers: page}, 404, nil, []string{"<title>"}, map[string]string{"Cache-Control": "no-store"}},
		"NotAPage":        {request{path: "/rig/kept"}, 404, nil, nil, nil},
		"Post":            {request{"POST", "/", "{}", asJSON}, 405, nil, nil, map[string]string{"Allow": "GET, HEAD"}},
		"PostNowhere":     {request{"POST", "/nothing", "{}", asJSON}, 404, nil, nil, nil},
		"CompressedName":  {request{path: "/index.html.br"}, 404, nil, nil, nil},
		"Hidden":          {request{path: "/.gitkeep"}, 404, nil, nil, nil},
		"Upwards":         {request{path: "/assets/../../etc/passwd"}, 404, nil, []string{"root:"}, nil},
		"UpwardsEscaped":  {request{path: "/..%2f..%2fetc%2fpasswd"}, 404, nil, []string{"root:"}, nil},
		"Directory":       {request{path: "/assets/"}, 404, nil, []string{"engine"}, nil},
		"DoubleSlashHost": {request{path: "//elsewhere.example/..", headers: page}, 404, nil, nil, map[string]string{"Location": ""}},
	} {
		t.Run(name, func(t *testing.T) { s.run(t, l) })
	}
}

// TestAppNotChanged: each encoding has a tag of its own, and 304 needs it.
func TestAppNotChanged(t *testing.T) {
	l := newLab(t, false)
	plain := l.do(t, request{path: "/sw.js"}).Header().Get("ETag")
	brotli := l.do(t, request{path: "/sw.js", headers: map[string]string{"Accept-Encoding": "br"}}).Header().Get("ETag")
	if plain == "" || brotli == "" || plain == brotli {
		t.Fatalf("tags %q and %q", plain, brotli)
	}
	for tag, want := range map[string]int{plain: http.StatusNotModified, "W/" + plain: http.StatusNotModified, brotli: http.StatusOK, `"x"`: http.StatusOK} {
		if got := l.do(t, request{path: "/sw.js", headers: map[string]string{"If-None-Match": tag}}).Code; got != want {
			t.Errorf("%s: %d, want %d", tag, got, want)
		}
	}
}

func TestAppNotBuilt(t *testing.T) {
	l := newLab(t, false, withApp(fstest.MapFS{".gitkeep": {}, "half.js": {Data: []byte("x")}}))
	rec := l.do(t, request{path: "/"})
	if rec.Code != 200 || !strings.Contains(rec.Body.String(), "go generate ./...") || rec.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("%d %v\n%s", rec.Code, rec.Header(), rec.Body)
	}
	if rec := l.do(t, request{path: "/half.js"}); rec.Code != 404 {
		t.Errorf("half an app is served: %d", rec.Code)
	}
}

func TestAcceptsBrotli(t *testing.T) {
	for header, want := range map[string]bool{
		"": false, "gzip": false, "br": true, "BR": true, "gzip,br": true, "br;q=0.5": true, "br;q=0": false, "br; q=0.000": false,
		"*": true, "*;q=0": false, "br;q=0, *": false, "*, br;q=0": false, "brotli": false,
	} {
		if got := acceptsBrotli(header); got != want {
			t.Errorf("%q: %v", header, got)
		}
	}
}
