package calendar_test

import (
	"bytes"
	"testing"

	"treewhen/calendar"
)

func previous(t testing.TB, data []byte) *calendar.Previous {
	t.Helper()
	p, err := calendar.ReadPrevious(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("our own feed was refused: %v\n%s", err, data)
	}
	return p
}
