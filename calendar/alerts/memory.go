package alerts

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// Record is what is remembered of an alert and a recipient. It holds no address and nothing that was said.
type Record struct {
	Alert   string     `json:"alert"`             // see [Alert]
	To      string     `json:"to"`                // the recipient, by a name made from the address
	Until   civil.Date `json:"until"`             // the last day on which it is of use
	Told    *time.Time `json:"told,omitempty"`    // when it was
	Tries   int        `json:"tries,omitempty"`   // that failed
	Failing *time.Time `json:"failing,omitempty"` // since when
	Next    *time.Time `json:"next,omitempty"`    // when it is tried again
	Missed  *time.Time `json:"missed,omitempty"`  // when it was given up
}

// over reports whether nothing is to be done any more; of nothing, it is not.
func (r *Record) over() bool { return r != nil && (r.Told != nil || r.Missed != nil) }

func (r *Record) miss(now time.Time) { r.Missed, r.Next = moment(now), nil }

// memory is the file.
type memory struct {
	Version int      `json:"version"`
	Alerts  []Record `json:"alerts"`
}

const memoryVersion = 1

// MaxMemory is how large a memory may be, in bytes: some two hundred thousand records.
const MaxMemory = 32 << 20

// ReadMemory reads what [Box.WriteMemory] has written; nothing is an empty memory. Its error is a [problem.Problem]
// whose File is to be filled in.
func ReadMemory(r io.Reader) ([]Record, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxMemory+1))
	if err != nil {
		return nil, err
	}
	if len(data) == 0 {
		return nil, nil
	}
	wrong := func(format string, args ...any) ([]Record, error) {
		return nil, problem.Problem{Text: fmt.Sprintf(format, args...),
			Hint: "move the file away to begin afresh; what is due then, and was told before, is told once more"}
	}
	var m memory
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&m); err != nil || len(data) > MaxMemory || m.Version != memoryVersion || decoder.More() {
		return wrong("found something else, want what treewhen remembers of alerts, version %d", memoryVersion)
	}
	for i, rec := range m.Alerts {
		for _, id := range []string{rec.Alert, rec.To} {
			if u, err := calendar.ParseUUID(id); err != nil || u.String() != id {
				return wrong("found a record, the %d. of them, without identifiers, want two UUIDs", i+1)
			}
		}
	}
	return m.Alerts, nil
}

// WriteMemory writes what is remembered, in an order that is always the same.
func (b *Box) WriteMemory(w io.Writer) error {
	m := memory{Version: memoryVersion, Alerts: []Record{}}
	for _, r := range b.records {
		m.Alerts = append(m.Alerts, *r)
	}
	slices.SortFunc(m.Alerts, func(a, b Record) int {
		return cmp.Or(cmp.Compare(a.Alert, b.Alert), cmp.Compare(a.To, b.To))
	})
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(m)
}
