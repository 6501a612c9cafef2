package coupling

import (
	"strconv"
	"strings"

	"pintail/api/rig"
)

// describe names a car the way its manual's pages are told apart.
func describe(v rig.Variant) string {
	var words []string
	if v.Year != nil {
		words = append(words, strconv.Itoa(*v.Year))
	}
	for _, w := range []string{v.Engine, v.Gearbox, v.Drivetrain} {
		if w = strings.TrimSpace(w); w != "" {
			words = append(words, w)
		}
	}
	return strings.Join(words, ", ")
}
