package finding

import (
	"embed"
	"sync"

	"pintail/api/strictjson"
)

// The catalogue: one JSON object a room, message id to English sentence with
// parameters in braces. The browser app reads the same files.
//
//go:embed catalogue/en/*.json
var catalogueFiles embed.FS

// english is the whole English catalogue, parsed once.
var english = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	files, err := catalogueFiles.ReadDir("catalogue/en")
	if err != nil {
		panic(err) // the files are compiled in; a test reads them all
	}
	for _, f := range files {
		b, err := catalogueFiles.ReadFile("catalogue/en/" + f.Name())
		if err != nil {
			panic(err)
		}
		var part map[string]string
		if err := strictjson.Unmarshal(b, &part); err != nil {
			panic(f.Name() + ": " + err.Error())
		}
		for id, s := range part {
			all[id] = s
		}
	}
	return all
})

// Catalogue returns a copy of the English catalogue.
func Catalogue() map[string]string {
	c := map[string]string{}
	for id, s := range english() {
		c[id] = s
	}
	return c
}
