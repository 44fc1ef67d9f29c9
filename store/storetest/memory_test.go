package storetest

import (
	"testing"
	_ "time/tzdata"

	"hardnoon/session"
)

func TestMemory(t *testing.T) {
	Run(t, func(*testing.T) session.Store { return &Memory{} })
}
