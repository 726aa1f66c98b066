package ical

import (
	"bufio"
	"io"
	"slices"

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
	stamp := f.AsOf.Time()
	components := make([]ics.Component, len(events))
	for i := range events {
		uid := events[i].uid
		components[i] = component(func() ([]byte, error) { // made when it is written
			e, err := speaks.event(byUID[uid])
			if err != nil {
				return nil, err
			}
			e.stamp = stamp
			return e.render()
		})
	}
	out := bufio.NewWriter(w) // keeps the first error, which the library would not always notice
	if err := f.serialize(out, events, components, stamp); err != nil {
		return err
	}
	return out.Flush()
}

// component writes a component of a calendar by ourselves.
type component func() ([]byte, error)

// ready is a component that is written already.
func ready(raw []byte) component { return func() ([]byte, error) { return raw, nil } }

func (component) UnknownPropertiesIANAProperties() []ics.IANAProperty { return nil }
func (component) SubComponents() []ics.Component                      { return nil }
func (c component) SerializeTo(w io.Writer, _ *ics.SerializationConfiguration) error {
	raw, err := c()
	if err != nil {
		return err
	}
	_, err = w.Write(raw)
	return err
}
