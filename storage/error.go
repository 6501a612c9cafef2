package storage

// Reason is one of the closed list of why a store could not do its work.
type Reason string

// The reasons.
const (
	NoDirectory Reason = "no_directory" // the directory of the file is not there
	NoFile      Reason = "no_file"      // the file to be read is not there
	ReadOnly    Reason = "read_only"    // the file or its directory may not be written
	Locked      Reason = "locked"       // another program holds the file
	Corrupt     Reason = "corrupt"      // the file is damaged
	Foreign     Reason = "foreign"      // the file belongs to another program
	TooNew      Reason = "too_new"      // a newer version of this program wrote the file
	Unsafe      Reason = "unsafe"       // the file's place cannot keep the promises of Store
	Full        Reason = "full"         // no room left
	Invalid     Reason = "invalid"      // what was given cannot be kept
	Exists      Reason = "exists"       // something is there that would be overwritten
	NoWorkspace Reason = "no_workspace" // there is no workspace with this id
	Closed      Reason = "closed"       // the store was closed
	Failed      Reason = "failed"       // anything else
)

// Error is the one error of a store.
type Error struct {
	Reason Reason
	// Detail is a sentence for the person who runs the server.
	Detail string
	// Err is the cause, nil where there is none.
	Err error
}

func (e *Error) Error() string {
	if e.Err == nil {
		return e.Detail
	}
	return e.Detail + ": " + e.Err.Error()
}

func (e *Error) Unwrap() error { return e.Err }
