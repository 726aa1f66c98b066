package calendar

import (
	"crypto/sha1"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// UUID is a universally unique identifier, RFC 9562.
type UUID [16]byte

// ParseUUID reads the text form of RFC 9562 section 4, 8-4-4-4-12 hexadecimal digits of either case, and nothing else:
// no braces, no urn: prefix.
func ParseUUID(s string) (UUID, error) {
	hyphens := len(s) == 36 && s[8] == '-' && s[13] == '-' && s[18] == '-' && s[23] == '-'
	bytes, err := hex.DecodeString(strings.ReplaceAll(s, "-", ""))
	if !hyphens || err != nil || len(bytes) != len(UUID{}) {
		return UUID{}, fmt.Errorf("found %q, want a UUID such as 6f9619ff-8b86-4d11-b42d-00c04fc964ff", s)
	}
	return UUID(bytes), nil
}

// String returns the text form in lower case, as RFC 9562 section 4 writes it.
func (u UUID) String() string {
	h := hex.EncodeToString(u[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

// NameUUID returns the name-based UUID of version 5 for name in namespace, RFC 9562 section 5.5: SHA-1 over both, the
// version and the variant put over it. SHA-1 is what the standard prescribes; nothing here rests on its strength.
func NameUUID(namespace [16]byte, name string) UUID {
	sum := sha1.Sum(append(namespace[:], name...))
	u := UUID(sum[:16])
	u[6] = u[6]&0x0f | 0x50 // version 5, section 4.2
	u[8] = u[8]&0x3f | 0x80 // the variant of RFC 9562, section 4.1
	return u
}

// UID returns the identifier of an entry: the same for the same namespace, site, activity, species (in any order), task
// and season for good, whatever its dates. The namespace is the plan's feed_id, a UUID of the user's own: site and
// species are easily guessed, so with a well-known namespace anyone could test whether a UID is a certain place's
// (RFC 7986 section 5.3 wants no place, host or user to be read from it). More tells apart what all of that does not,
// such as the second of two trips.
func UID(
	namespace [16]byte, site string, activity Activity, species []string, task Task, season int, more ...string,
) string {
	sorted := slices.Compact(slices.Sorted(slices.Values(species)))
	name := join("entry", site, string(activity), join(sorted...), string(task), strconv.Itoa(season), join(more...))
	return NameUUID(namespace, name).String()
}

// CalendarUID returns the identifier of the feed of a site, or of one activity at a site; activity is "" for all.
func CalendarUID(namespace [16]byte, site string, activity Activity) string {
	return NameUUID(namespace, join("calendar", site, string(activity))).String()
}

// AlarmUID returns the identifier of the n-th alarm of an event, RFC 9074 section 4. It counts alarms and does not look
// into them: one that is moved stays the same alarm, and what a program knows of it, such as a snooze, stays with it.
func AlarmUID(event string, n int) (string, error) {
	return under(event, join("alarm", strconv.Itoa(n)))
}

// RingUID returns the identifier of a short event that an alarm stands in, by that of the alarm.
func RingUID(alarm string) (string, error) { return under(alarm, "event") }

// AlertUID returns the identifier of what is sent when an event rings, by the name of the reminder: whoever gets it
// twice can know that it is the same.
func AlertUID(event, kind string) (string, error) { return under(event, join("alert", kind)) }

// under returns the identifier of a name in the namespace of another identifier.
func under(uid, name string) (string, error) {
	namespace, err := ParseUUID(uid)
	if err != nil {
		return "", err
	}
	return NameUUID(namespace, name).String(), nil
}

// join joins fields so that different fields never give the same text, whatever characters are in them: each goes
// behind its length in bytes. These bytes are part of every published identifier; they cannot change.
func join(fields ...string) string {
	var b strings.Builder
	for _, f := range fields {
		b.WriteString(strconv.Itoa(len(f)))
		b.WriteByte(':')
		b.WriteString(f)
		b.WriteByte(0)
	}
	return b.String()
}
