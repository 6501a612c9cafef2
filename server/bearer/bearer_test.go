package bearer_test

import (
	"crypto/sha256"
	"encoding/base64"
	"strings"
	"testing"

	"pintail/server/bearer"
)

// TestNew: a key that was made is read back, holds 256 bits, and no two are one.
func TestNew(t *testing.T) {
	seen := map[string]bool{}
	for range 1000 {
		token, id, hash := bearer.New()
		gotID, gotHash, ok := bearer.Parse("Bearer " + token)
		if !ok || gotID != id || gotHash != hash {
			t.Fatalf("%q: %q %x %v, want %q %x", token, gotID, gotHash, ok, id, hash)
		}
		_, secret, _ := strings.Cut(token, ".")
		raw, err := base64.RawURLEncoding.DecodeString(secret)
		if err != nil || len(raw) != 32 || hash != sha256.Sum256([]byte(secret)) {
			t.Fatalf("secret %q: %d bytes, %v", secret, len(raw), err)
		}
		if seen[id] || seen[secret] {
			t.Fatalf("%q was made before", token)
		}
		seen[id], seen[secret] = true, true
	}
}

func TestParse(t *testing.T) {
	secret := strings.Repeat("s", 43)
	for header, want := range map[string]bool{
		"Bearer a." + secret: true, "bearer a." + secret: true, // RFC 9110 section 11.1: a scheme is case-insensitive
		"": false, "Bearer": false, "Bearer a": false, "Bearer ." + secret: false, "Basic a." + secret: false, "a." + secret: false,
		"Bearer a." + secret[1:]: false, "Bearer a." + secret + "s": false, "Bearer " + strings.Repeat("a", 65) + "." + secret: false,
	} {
		if _, _, ok := bearer.Parse(header); ok != want {
			t.Errorf("%q: %v, want %v", header, ok, want)
		}
	}
}
