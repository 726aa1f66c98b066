package alerts

import (
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology/civil"
)

// Box holds alerts on their way to their recipients. It is not for use by several goroutines at once.
type Box struct {
	to      []addressee
	records map[key]*Record
	due     []Alert
}

// addressee is a recipient under the name that the memory has for it.
type addressee struct {
	*planfile.Recipient
	tag string
}

type key struct{ alert, to string }

// Job is an alert for a recipient, to be sent now.
type Job struct {
	*Alert
	To  *planfile.Recipient
	key key
}

// NewBox returns a box with what is remembered, for the recipients of a plan of that namespace. The memory knows a
// recipient by a name made from the address, so that one whose address changes is told again of what is still of use.
func NewBox(namespace calendar.UUID, to []*planfile.Recipient, memory []Record) *Box {
	b := &Box{records: map[key]*Record{}}
	for _, r := range memory {
		b.records[key{r.Alert, r.To}] = &r
	}
	b.Address(namespace, to)
	return b
}

// Address puts other recipients in place of those there are.
func (b *Box) Address(namespace calendar.UUID, to []*planfile.Recipient) {
	b.to = nil
	for _, r := range to {
		b.to = append(b.to, addressee{r, calendar.NameUUID(namespace, "alerts to "+r.Address()).String()})
	}
}

// Put puts what is due now in place of what was due. What was on its way and is due no more has lapsed: it is counted
// as missed if its days are over, and else forgotten, since it is no longer so. With some of the plan's entries left
// out, all says false, and only days that are over count.
func (b *Box) Put(due []Alert, now time.Time, asOf civil.Date, all bool) {
	b.due = due
	for k, r := range b.records {
		i := slices.IndexFunc(due, func(a Alert) bool { return a.ID == k.alert })
		switch {
		case r.Told != nil:
		case i >= 0:
			if due[i].Until > r.Until { // it is of use for longer than it was
				r.Missed = nil
			}
		case r.Missed != nil:
		case asOf > r.Until:
			r.miss(now)
		case all:
			delete(b.records, k)
		}
	}
	b.forget(now)
}

// Ready returns what is to be sent at a moment: what is due by then, nobody's hours of quiet forbid, was not told,
// and is not waiting to be tried again. What was still on its way on its last day of use is given up.
func (b *Box) Ready(now time.Time) (jobs []Job) {
	taken := map[key]bool{} // an address may stand in the plan twice, for several things
	b.each(func(j Job) {
		r := b.records[j.key]
		switch {
		case taken[j.key], r.over():
		case !j.Early && now.Before(j.At()):
		case civil.FromTime(now.In(j.zone())) > j.Until:
			if r != nil {
				r.miss(now)
			}
		case r != nil && r.Next != nil && now.Before(*r.Next):
		default:
			if !quiet(j.To.Quiet, now, j.zone()) {
				jobs = append(jobs, j)
				taken[j.key] = true
			}
		}
	})
	return jobs
}

// Held returns what is due on the day, but not to be sent before a moment yet to come: an hour of the day, the end of
// quiet, or the next try.
func (b *Box) Held(now time.Time) int {
	open := map[key]bool{}
	b.each(func(j Job) {
		if !b.records[j.key].over() {
			open[j.key] = true
		}
	})
	return len(open) - len(b.Ready(now))
}

// each goes through all alerts for all their recipients. One that says less than another that its recipient was told
// of the same entry is left out.
func (b *Box) each(do func(Job)) {
	for _, to := range b.to {
		for i := range b.due {
			a := &b.due[i]
			if !wants(to.Recipient, a) || b.toldMore(a, to) {
				continue
			}
			do(Job{Alert: a, To: to.Recipient, key: key{a.ID, to.tag}})
		}
	}
}

func (b *Box) toldMore(a *Alert, to addressee) bool {
	more := a.Reminder().Unless
	if more == "" {
		return false
	}
	id, err := calendar.AlertUID(a.Entry.UID, more)
	r := b.records[key{id, to.tag}]
	return err == nil && r != nil && r.Told != nil
}

// Told remembers that a recipient was told.
func (b *Box) Told(j Job, now time.Time) {
	r := b.record(j)
	r.Told, r.Next, r.Failing, r.Tries = moment(now), nil, nil, 0
}

// How long it takes until what failed is tried again: a minute, twice as long after each try, an hour at most.
const (
	firstPause = time.Minute
	mostPause  = time.Hour
)

// Failed remembers that a recipient could not be told, and when to try again.
func (b *Box) Failed(j Job, now time.Time) {
	r := b.record(j)
	pause := min(firstPause<<min(r.Tries, 6), mostPause)
	r.Tries++
	if r.Failing == nil {
		r.Failing = moment(now)
	}
	r.Next = moment(now.Add(pause))
}

func (b *Box) record(j Job) *Record {
	r := b.records[j.key]
	if r == nil {
		r = &Record{Alert: j.key.alert, To: j.key.to}
		b.records[j.key] = r
	}
	r.Until = j.Until
	return r
}

// moment is a time as the memory has it: in UTC, to the second.
func moment(t time.Time) *time.Time { return new(t.UTC().Truncate(time.Second)) }

// How long the memory keeps what is over.
const (
	toldFor   = 400 * 24 * time.Hour // longer than any event stays in a feed that may ring
	missedFor = 7 * 24 * time.Hour   // so long a monitor is told
)

func (b *Box) forget(now time.Time) {
	for k, r := range b.records {
		if r.Told != nil && now.Sub(*r.Told) > toldFor || r.Missed != nil && now.Sub(*r.Missed) > toldFor {
			delete(b.records, k)
		}
	}
}

// Trouble is what a monitor is told of alerts. It names nobody.
type Trouble struct {
	Failing int        `json:"failing"`         // could not be sent as yet, and are tried again
	Missed  int        `json:"missed"`          // of the last seven days: could not be sent while they were of use
	Since   *time.Time `json:"since,omitempty"` // when the first of them failed
}

// Any reports whether there is any.
func (t Trouble) Any() bool { return t.Failing+t.Missed > 0 }

// Trouble returns what could not be sent.
func (b *Box) Trouble(now time.Time) (t Trouble) {
	for _, r := range b.records {
		switch {
		case r.Told != nil:
			continue
		case r.Missed == nil:
			t.Failing++
		case now.Sub(*r.Missed) > missedFor:
			continue
		default:
			t.Missed++
		}
		if r.Failing != nil && (t.Since == nil || r.Failing.Before(*t.Since)) {
			t.Since = r.Failing
		}
	}
	return t
}
