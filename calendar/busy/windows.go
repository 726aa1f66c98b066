package busy

import (
	"cmp"
	_ "embed"
	"regexp"
	"strings"
	"sync"
	"time"
)

//go:embed windowszones.tsv
var windowsTable string

// windowsZones has the IANA names of the zones that desktop programs name, by that name in small letters; and their
// towns, by the last part of the IANA name.
var windowsZones = sync.OnceValue(func() (t struct{ byName, byTown map[string]string }) {
	t.byName, t.byTown = map[string]string{}, map[string]string{}
	for line := range strings.Lines(windowsTable) {
		name, id, ok := strings.Cut(strings.TrimSpace(line), "\t")
		if !ok || name[0] == '#' {
			continue
		}
		t.byName[strings.ToLower(name)] = id
		if region, town, ok := strings.Cut(id, "/"); ok && region != "Etc" {
			t.byTown[strings.ToLower(strings.ReplaceAll(town[strings.LastIndex(town, "/")+1:], "_", " "))] = id
		}
	}
	return t
})

var (
	displayForm = form(`^\((?:UTC|GMT)(?:[+-]\d\d?:\d\d)?\) *(.+)$`)
	offsetName  = form(`^\(?(?:UTC|GMT) ?([+-])(\d\d?)(?::?([0-5]\d))?\)?$`)
	copyNumber  = form(` \d+$`)
	inBrackets  = form(` *\([^)]*\)`)
)

// form compiles an expression when it is first used: few runs read a calendar of others, and all of them would wait.
func form(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}

// desktopZone finds a zone by a name that no standard has and programs write: "Eastern Standard Time", that with a
// number behind it, the "(UTC-05:00) Eastern Time (US & Canada)" that they show people, the bare "UTC+01".
func desktopZone(id string) (zone, bool) {
	t := windowsZones()
	id = strings.TrimSpace(id)
	if m := offsetName().FindStringSubmatch(id); m != nil {
		d, err := time.ParseDuration(m[1] + m[2] + "h" + cmp.Or(m[3], "00") + "m")
		return fixedZone(d), err == nil && d.Abs() <= 14*time.Hour
	}
	if last := id[strings.LastIndexByte(id, '/')+1:]; strings.EqualFold(last, "UTC") {
		return iana("UTC") // tzone://Microsoft/Utc
	}
	if known, ok := t.byName[strings.ToLower(copyNumber().ReplaceAllString(id, ""))]; ok {
		return iana(known)
	}
	m := displayForm().FindStringSubmatch(id)
	if m == nil {
		return nil, false
	}
	shown := strings.ToLower(m[1])
	bare := inBrackets().ReplaceAllString(shown, "")
	if known, ok := t.byName[strings.TrimSuffix(bare, " time")+" standard time"]; ok {
		return iana(known)
	}
	for town := range strings.SplitSeq(bare, ",") {
		if known, ok := t.byTown[strings.TrimSpace(town)]; ok {
			return iana(known)
		}
	}
	return nil, false
}
