package rig

// Terrain is the land a rig is driven in.
type Terrain string

// The kinds of land.
const (
	Level     Terrain = "level"
	Hills     Terrain = "hills"
	Mountains Terrain = "mountains"
)

// Values lists the kinds.
func (Terrain) Values() []string { return []string{"level", "hills", "mountains"} }
