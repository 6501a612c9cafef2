package unit

import "time"

// Date is a calendar day written YYYY-MM-DD, without a time zone. The empty
// Date is absent. Valid dates compare as strings.
type Date string

// Valid reports whether d is a real day of the years 1900 to 2199.
func (d Date) Valid() bool {
	t, err := time.Parse(time.DateOnly, string(d))
	return err == nil && t.Year() >= 1900 && t.Year() < 2200
}
