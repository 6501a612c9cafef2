// Package pintail holds the contract of the whole: openapi.yaml, as it is served
// and as every face is tested against.
package pintail

import (
	_ "embed"
	"slices"
)

//go:embed openapi.yaml
var contract []byte

// Contract returns openapi.yaml, byte for byte.
func Contract() []byte { return slices.Clone(contract) }
