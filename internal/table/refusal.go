package table

import (
	"fmt"

	"saltline/internal/diag"
)

// A Refusal says why a file, or a part of it, is not read at all. Nothing of
// a refused file is used: half a record is worse than none.
type Refusal struct {
	Pos    diag.Pos // the file, and the sheet and the cell where they are known
	Check  string   // stable name in lower-case words with hyphens
	Found  string   // what the file is
	Wanted string   // what would have been read
	Hint   string   // what to do about it, an imperative
}

// Error spells the refusal as "place: found X, but wanted Y".
func (r *Refusal) Error() string {
	return fmt.Sprintf("%s: found %s, but wanted %s", r.Pos, r.Found, r.Wanted)
}

// Diagnostic is the refusal as a finding, for printing among others.
func (r *Refusal) Diagnostic() diag.Diagnostic {
	return diag.Diagnostic{
		Pos:   r.Pos,
		Level: diag.Failure,
		Check: r.Check,
		Msg:   fmt.Sprintf("found %s, but wanted %s", r.Found, r.Wanted),
		Hint:  r.Hint,
	}
}
