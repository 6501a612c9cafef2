// Package pwa holds the browser app as go generate built it.
package pwa

import (
	"embed"
	"io/fs"
)

//go:generate node build.mjs

// dist has at least the placeholder .gitkeep, so that a clone in which nothing
// was built still compiles.
//
//go:embed all:dist
var dist embed.FS

// App returns the files of the built app, index.html at the root, each
// compressible one also compressed beside it with ".br" at the end of its name.
// It has no index.html when the app was not built.
func App() fs.FS {
	app, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // "dist" is a valid path
	}
	return app
}
