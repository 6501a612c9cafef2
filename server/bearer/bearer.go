// Package bearer is the form of a key as people carry it, "<id>.<secret>", and
// what a server keeps of it.
package bearer

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"strings"
)

// secretBytes is how many random bytes a secret has: 256 bits.
const secretBytes = 32

// New makes a key. Only its token holds the secret; id and hash are kept.
func New() (token, id string, hash [32]byte) {
	var secret [secretBytes]byte
	rand.Read(secret[:]) // never fails: it ends the program instead
	id = strings.ToLower(rand.Text()[:12])
	text := base64.RawURLEncoding.EncodeToString(secret[:])
	return id + "." + text, id, sha256.Sum256([]byte(text))
}

// Parse reads the value of an Authorization header (RFC 6750). The hash is the
// SHA-256 of the secret as it is written; ok is false where the header is no
// bearer token of the form of a key.
func Parse(header string) (id string, hash [32]byte, ok bool) {
	scheme, token, _ := strings.Cut(header, " ")
	id, secret, found := strings.Cut(token, ".")
	if !strings.EqualFold(scheme, "Bearer") || !found || id == "" || len(id) > 64 || len(secret) != base64.RawURLEncoding.EncodedLen(secretBytes) {
		return "", hash, false
	}
	return id, sha256.Sum256([]byte(secret)), true
}
