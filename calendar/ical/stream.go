package ical

import (
	"io"
	"slices"
	"time"

	ics "github.com/arran4/golang-ical"
)

// write writes a feed that was never published.
func (f Feed) write(w io.Writer) error {
	if err := f.check(); err != nil {
		return err
	}
	entries := stand(f.Days, f.Entries)
	speaks := f.voice()
	events := make([]publishedEvent, len(entries))
	byUID := make(map[string]standing, len(entries))
	for i := range entries {
		f.plan(&entries[i], nil)
		entry := entries[i]
		e, err := speaks.event(entry)
		if err != nil {
			return err
		}
		byUID[e.uid] = entry
		// What order and zones go by.
		events[i].event = event{uid: e.uid, window: e.window, hours: e.hours, zone: e.zone, alarms: e.alarms}
	}
	slices.SortFunc(events, comparePublished)
	stamp := midnight(f.AsOf)
	components := make([]ics.Component, len(events))
	for i, e := range events {
		components[i] = lateComponent{byUID[e.uid], speaks, stamp}
	}
	out := &errorWriter{w: w}
	if err := f.serialize(out, events, components, stamp); err != nil {
		return err
	}
	return out.err
}

// lateComponent is an event that is made when it is written.
type lateComponent struct {
	entry  standing
	speaks voice
	stamp  time.Time
}

func (c lateComponent) UnknownPropertiesIANAProperties() []ics.IANAProperty { return nil }
func (c lateComponent) SubComponents() []ics.Component                      { return nil }
func (c lateComponent) SerializeTo(w io.Writer, _ *ics.SerializationConfiguration) error {
	e, err := c.speaks.event(c.entry)
	if err != nil {
		return err
	}
	e.stamp = c.stamp
	raw, err := e.render()
	if err != nil {
		return err
	}
	_, err = w.Write(raw)
	return err
}

// errorWriter remembers the first error, which the library would not always notice.
type errorWriter struct {
	w   io.Writer
	err error
}

func (w *errorWriter) Write(b []byte) (int, error) {
	if w.err != nil {
		return 0, w.err
	}
	n, err := w.w.Write(b)
	w.err = err
	return n, err
}
