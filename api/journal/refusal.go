package journal

// Reason is why an entry was not taken.
type Reason string

// The reasons.
const (
	BadEntry    Reason = "bad_entry"      // a member is missing or not possible
	NotALeaf    Reason = "not_a_leaf"     // an object written as a whole
	ArrayIndex  Reason = "array_index"    // the path points into an array
	BelowScalar Reason = "below_scalar"   // the path lies under a leaf
	ClockAhead  Reason = "clock_ahead"    // the entry's clock is ahead of ours by more than the bound
	OtherBody   Reason = "other_body"     // another entry with this id was accepted before
	Purged      Reason = "already_erased" // the place was erased on request after this edit
)

// Values lists the reasons.
func (Reason) Values() []string {
	return []string{"bad_entry", "not_a_leaf", "array_index", "below_scalar", "clock_ahead", "other_body", "already_erased"}
}

// Refusal is an answer, not an error: why an entry was not taken, so that the
// phone that wrote it can mend or re-issue it.
type Refusal struct {
	Reason Reason `json:"reason"`
	// Pointer is a JSON Pointer into the entry.
	Pointer string `json:"pointer"`
	Detail  string `json:"detail"`
}

func refuse(r Reason, pointer, detail string) *Refusal {
	return &Refusal{Reason: r, Pointer: pointer, Detail: detail}
}
