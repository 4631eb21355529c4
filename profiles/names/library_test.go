package names_test

import (
	"testing"

	"swellbox/profiles"
	"swellbox/profiles/names"
)

// library is that of the built-in profiles.
func library(t testing.TB) *profiles.Library {
	t.Helper()
	l, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return l
}

var builtIn *names.Register

// register is what the built-in profiles are called.
func register(t testing.TB) *names.Register {
	t.Helper()
	if builtIn == nil {
		builtIn = library(t).Called()
	}
	return builtIn
}
