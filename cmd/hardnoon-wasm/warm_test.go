package main

import (
	"testing"
	_ "time/tzdata"
)

// A warm-up that fails warms nothing.
func TestWarm(t *testing.T) {
	if err := warm(); err != nil {
		t.Error(err)
	}
}
