// Package parts is what a harness is made of: bulbs, wire, connectors, diodes
// and fuses, each with its figures and with how well they are known.
//
// The figures live in data files, embedded and parsed once into values that
// never change. A part nobody recorded is not found; it is never guessed.
package parts

import (
	"embed"

	"pintail/api/finding"
	"pintail/api/strictjson"
)

// Known says how a row came into its data file.
type Known string

// How a row is known.
const (
	Seen    Known = "seen"    // read in the source named
	Partly  Known = "partly"  // some of its figures read there, the others from memory
	Memory  Known = "memory"  // recalled, not read
	Assumed Known = "assumed" // a value for the model, no part in particular
)

// Origin is where a row comes from.
type Origin struct {
	Source string
	Known  Known
	// Sure is high, medium or low.
	Sure string
}

// Basis is the origin as a finding states it.
func (o Origin) Basis() finding.Basis {
	kind := finding.Memory
	if o.Known == Seen || o.Known == Partly {
		kind = finding.Standard
	}
	return finding.Basis{Kind: kind, Reference: o.Source, Known: o.Sure}
}

//go:embed data/*.json
var files embed.FS

// origin is an origin as a data file holds it: the source is a place in the
// file's own list.
type origin struct {
	Source int    `json:"source"`
	Known  Known  `json:"known"`
	Sure   string `json:"sure"`
}

func (o origin) of(sources []string) Origin {
	return Origin{Source: sources[o.Source], Known: o.Known, Sure: o.Sure}
}

func read(name string, into any) {
	b, err := files.ReadFile("data/" + name + ".json")
	if err == nil {
		err = strictjson.Unmarshal(b, into)
	}
	if err != nil {
		panic(name + ": " + err.Error()) // the files are compiled in; a test reads them all
	}
}
