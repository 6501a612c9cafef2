package storage

import (
	"errors"
	"time"
	"unicode/utf8"
)

// maxName is the longest name of a key or a workspace, in bytes.
const maxName = 1 << 10

// Role is what a key allows.
type Role string

// The roles.
const (
	Admin  Role = "admin"
	Editor Role = "editor"
	Reader Role = "reader"
)

// Values lists the roles.
func (Role) Values() []string { return []string{"admin", "editor", "reader"} }

// NewKey is a key to a workspace. The secret itself is never kept.
type NewKey struct {
	// ID is 1 to 64 of a-z, A-Z, 0-9, _ and -. It is not secret.
	ID string
	// Name says whose key it is, for the list of keys.
	Name string
	Role Role
	// Hash is the SHA-256 of the secret.
	Hash [32]byte
}

// Key is a key as kept.
type Key struct {
	NewKey
	Workspace string
	Created   time.Time
	// Revoked is zero while the key is good.
	Revoked time.Time
}

// Valid returns nil when the key can be kept.
func (k NewKey) Valid() error {
	switch {
	case !plainID(k.ID):
		return errors.New("an id is 1 to 64 of a-z, A-Z, 0-9, _ and -")
	case len(k.Name) > maxName || !utf8.ValidString(k.Name):
		return errors.New("a name is at most 1024 bytes of UTF-8")
	case k.Role != Admin && k.Role != Editor && k.Role != Reader:
		return errors.New("a role is admin, editor or reader")
	case k.Hash == [32]byte{}:
		return errors.New("a key has a hash")
	}
	return nil
}

// ValidWorkspace returns nil when a workspace of this id and name can be kept.
func ValidWorkspace(id, name string) error {
	switch {
	case !plainID(id):
		return errors.New("an id is 1 to 64 of a-z, A-Z, 0-9, _ and -")
	case len(name) > maxName || !utf8.ValidString(name):
		return errors.New("a name is at most 1024 bytes of UTF-8")
	}
	return nil
}
