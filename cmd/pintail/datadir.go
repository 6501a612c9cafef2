package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
)

// defaultFile is the file of the rigs in the user's data directory, which is
// made where it is missing.
func defaultFile(env func(string) string) (string, error) {
	base, err := dataHome(runtime.GOOS, env)
	if err != nil {
		return "", err
	}
	dir := filepath.Join(base, "pintail")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("no place for the rigs: %w; choose one with --data FILE", err)
	}
	return filepath.Join(dir, "pintail.db"), nil
}

// dataHome is where a user's programs keep their data: XDG_DATA_HOME or its
// default by the XDG base directory specification, and what macOS and Windows
// have in its place.
func dataHome(system string, env func(string) string) (string, error) {
	home := env("HOME")
	switch {
	case system == "windows":
		if local := env("LocalAppData"); local != "" {
			return local, nil
		}
	case system == "darwin" && home != "":
		return filepath.Join(home, "Library", "Application Support"), nil
	case filepath.IsAbs(env("XDG_DATA_HOME")):
		return env("XDG_DATA_HOME"), nil
	case home != "":
		return filepath.Join(home, ".local", "share"), nil
	}
	return "", errors.New("this user has no data directory; choose a file with --data FILE")
}
