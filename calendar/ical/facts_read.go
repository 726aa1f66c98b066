package ical

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// readFacts reads the value of [factsProperty].
func readFacts(value string) (*facts, error) {
	own, essence, _ := strings.Cut(value, "||")
	version, own, _ := strings.Cut(own, "|")
	n, err := strconv.ParseUint(version, 10, 16)
	f := &facts{version: int(n), chance: noChance}
	if err != nil || n == 0 {
		return f, fmt.Errorf("found %.40q, want a version such as 1", version)
	}
	for part := range strings.SplitSeq(own, "|") {
		name, v, _ := strings.Cut(part, "=")
		if !f.read(name, v) {
			return f, fmt.Errorf("found %.40q, want a fact such as best=20270314", part)
		}
	}
	if essence != "" {
		for part := range strings.SplitSeq(essence, "|") {
			name, v, _ := strings.Cut(part, "=")
			f.essence = append(f.essence, fact{name, v})
		}
	}
	return f, f.check()
}

// read reads a fact that every event has, and reports whether its value has the form that it must have.
func (f *facts) read(name, v string) (ok bool) {
	ok = true // what another version tells beside these is let be
	var day civil.Date
	var err error
	switch name {
	case "best":
		day, ok = readDay(v)
		f.best = civil.Some(day)
	case "from":
		f.of.First, ok = readDay(v)
	case "to":
		f.of.Last, ok = readDay(v)
	case "state":
		f.state = v
	case "settled":
		f.settled = v == written(true)
	case "chance":
		f.chance, ok = readHundredths(v)
	case "basis":
		f.basis = v
	case "hours":
		f.hours = v
	case "as-of":
		day, ok = readDay(v)
		f.asOf = civil.Some(day)
	case "moved":
		f.moved, ok = readMoved(v)
	case "rings":
		f.promises.kinds, ok = readNames(v)
	case "rang":
		f.promises.rang, ok = readNames(v)
	case "rings-for":
		u, wrong := calendar.ParseUUID(v)
		f.ringsFor, ok = v, wrong == nil && u.String() == v
	case "name":
		f.name, err = strconv.Atoi(v)
	case "said":
		for i := range f.said {
			mark, rest, _ := strings.Cut(v, ".")
			m, wrong := strconv.ParseUint(mark, 16, 32)
			f.said[i], v, err = uint32(m), rest, errors.Join(err, wrong)
		}
	}
	return ok && err == nil
}

// readMoved reads how an event moved: the day, the first and the last day that it was on before, and the best of them
// if that is known.
func readMoved(s string) (*calendar.Moved, bool) {
	var days []civil.Date
	for part := range strings.SplitSeq(s, "-") {
		d, ok := readDay(part)
		if !ok || len(days) == 4 {
			return nil, false
		}
		days = append(days, d)
	}
	if len(days) < 3 {
		return nil, false
	}
	m := &calendar.Moved{On: days[0], Was: civil.Span{First: days[1], Last: days[2]}}
	if len(days) == 4 {
		m.WasBest = civil.Some(days[3])
	}
	return m, true
}

// readNames reads names that are joined by plus signs, each once.
func readNames(s string) ([]string, bool) {
	list := strings.Split(s, "+")
	for i, name := range list {
		if name == "" || strings.Trim(name, slugSigns) != "" || slices.Contains(list[:i], name) {
			return nil, false
		}
	}
	return list, true
}

// readDay reads a date as [written] writes one.
func readDay(s string) (civil.Date, bool) {
	if len(s) != len("20060102") || strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	d := civil.Of(n/10000, time.Month(n/100%100), n%100)
	year, month, day := d.Date()
	return d, err == nil && n >= 10000 && year == n/10000 && int(month) == n/100%100 && day == n%100
}

// readHundredths reads a chance as [written] writes one.
func readHundredths(s string) (int, bool) {
	digits, ok := strings.CutSuffix(s, "%")
	n, err := strconv.ParseUint(digits, 10, 8)
	return int(n), ok && err == nil && n <= 100
}
