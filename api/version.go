package api

import "pintail/api/finding"

// EngineVersion changes with every release of the core.
const EngineVersion = "0.1.0"

// FactsVersion changes whenever a data file of the core changes; a test holds
// the second half equal to a digest of those files.
const FactsVersion = "2026-11-29.038af0dc"

func stamp() finding.Stamp {
	return finding.Stamp{EngineVersion: EngineVersion, FactsVersion: FactsVersion}
}
