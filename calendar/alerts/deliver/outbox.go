package deliver

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"sync"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/planfile"
	"treewhen/calendar/regular"
	"treewhen/calendar/staging"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// MemoryName is the file beside the feeds in which it is remembered who was told of what.
const MemoryName = "alerts.json"

// Post is what sends alerts: a [Sender].
type Post interface {
	Send(context.Context, *planfile.Recipient, alerts.Message) error
}

// Outbox sends what a box holds, and keeps what it remembers in a file, whole or not at all. It may be used by
// several goroutines.
type Outbox struct {
	path string
	now  func() time.Time

	mu      sync.Mutex
	box     *alerts.Box
	post    Post
	busy    map[string]bool // the addresses that are being sent to
	saved   []byte          // what the file holds
	unsaved error
}

// Open returns an outbox that goes on where the one before it ended, by the file of that path. An error is of the
// file system or a [problem.List].
func Open(path string, now func() time.Time) (*Outbox, error) {
	memory, err := readMemory(path)
	if err != nil {
		return nil, err
	}
	return &Outbox{path: path, now: now, busy: map[string]bool{}, box: alerts.NewBox(calendar.UUID{}, nil, memory)}, nil
}

func readMemory(path string) ([]alerts.Record, error) {
	f, err := regular.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, problem.OfFile(err)
	}
	defer f.Close()
	memory, err := alerts.ReadMemory(f)
	var bad problem.Problem
	if errors.As(err, &bad) {
		bad.File = path
		return nil, problem.List{bad}
	}
	return memory, err
}

// Put gives the outbox what is due: see [alerts.Box.Put].
func (o *Outbox) Put(
	namespace calendar.UUID, to []*planfile.Recipient, post Post, due []alerts.Alert, asOf civil.Date, all bool,
) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.post = post
	o.box.Address(namespace, to)
	o.box.Put(due, o.now(), asOf, all)
}

// Hold lets nothing be sent until the next Put.
func (o *Outbox) Hold() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.box.Address(calendar.UUID{}, nil)
}

// Send sends what is ready, to each address one after the other and to all of them side by side, and returns what
// went wrong, the last of each address. What is told is remembered, in the file as well, before the next is sent. An
// address to which another call is sending is left to that: whoever keeps one waiting keeps no other.
func (o *Outbox) Send(ctx context.Context) error {
	o.mu.Lock()
	var mine []string
	for _, j := range o.box.Ready(o.now()) {
		if to := j.To.Address(); !o.busy[to] {
			o.busy[to] = true
			mine = append(mine, to)
		}
	}
	o.mu.Unlock()
	failed := make([]error, len(mine))
	var wait sync.WaitGroup
	for i, to := range mine {
		wait.Go(func() { failed[i] = o.sendTo(ctx, to) })
	}
	wait.Wait()
	if len(mine) == 0 {
		return nil
	}
	return errors.Join(append(failed, o.Unsaved())...)
}

// sendTo sends to an address what is ready for it.
func (o *Outbox) sendTo(ctx context.Context, to string) (failed error) {
	for ctx.Err() == nil {
		j, post := o.next(to)
		if post == nil {
			break
		}
		err := post.Send(ctx, j.To, j.Message())
		o.note(j, err)
		if err != nil {
			failed = err
		}
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	delete(o.busy, to)
	return failed
}

// next returns what is to be sent next to an address, and what sends it; nil if there is nothing.
func (o *Outbox) next(to string) (alerts.Job, Post) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, j := range o.box.Ready(o.now()) {
		if j.To.Address() == to {
			return j, o.post
		}
	}
	return alerts.Job{}, nil
}

// note remembers what became of a job.
func (o *Outbox) note(j alerts.Job, err error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if err == nil {
		o.box.Told(j, o.now())
	} else {
		o.box.Failed(j, o.now())
	}
	o.save()
}

// Save writes what is remembered to the file.
func (o *Outbox) Save() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.save()
	return o.unsaved
}

func (o *Outbox) save() {
	var b bytes.Buffer
	o.unsaved = o.box.WriteMemory(&b)
	if o.unsaved != nil || bytes.Equal(b.Bytes(), o.saved) {
		return
	}
	// It is nobody else's business; a file that is replaced keeps its mode.
	if f, err := os.OpenFile(o.path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600); err == nil {
		f.Close()
	}
	if o.unsaved = staging.Replace(o.path, b.Bytes()); o.unsaved == nil {
		o.saved = b.Bytes()
	}
}

// Unsaved returns why the file could not be written the last time, nil if it could.
func (o *Outbox) Unsaved() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.unsaved
}

// Print hands what is due and was not printed before to write, all of it, and remembers it once that is done.
func (o *Outbox) Print(
	namespace calendar.UUID, due []alerts.Alert, asOf civil.Date, write func([]alerts.Message) error,
) error {
	for i := range due {
		due[i].Early = true
	}
	// Whoever reads what is printed has no address.
	o.Put(namespace, []*planfile.Recipient{{}}, nil, due, asOf, false)
	if err := o.Save(); err != nil { // whoever cannot remember prints nothing, or prints it twice
		return err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	var list []alerts.Message
	jobs := o.box.Ready(o.now())
	for _, j := range jobs {
		list = append(list, j.Message())
	}
	if err := write(list); err != nil {
		return err
	}
	for _, j := range jobs {
		o.box.Told(j, o.now())
	}
	o.save()
	return o.unsaved
}

// Trouble returns what could not be sent.
func (o *Outbox) Trouble() alerts.Trouble {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.box.Trouble(o.now())
}

// Held returns how many alerts wait for an hour, the end of quiet or another try.
func (o *Outbox) Held() int {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.box.Held(o.now())
}
