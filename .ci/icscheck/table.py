"""Reads a feed with icalendar (Python) and compares it with the table that libical.c wrote of it: a line an event, in order.

    table.py FEED.ics TABLE

The version is the system's (python3-icalendar). It unescapes what it has unescaped (4.0, of Debian 12: a backslash before an
n becomes a line break), so of a title with a backslash nothing is compared. Exit status 1 with what differs, or what cannot
be read.
"""
import sys

from icalendar import Calendar


def rows(path):
    """The events of a feed, as libical.c writes them."""
    with open(path, "rb") as f:
        calendar = Calendar.from_ical(f.read())
    if calendar.name != "VCALENDAR" or calendar["VERSION"] != "2.0":
        raise ValueError("no calendar of version 2.0")
    for event in calendar.subcomponents:
        if event.name != "VEVENT":
            continue
        if event.errors:
            raise ValueError(f"{event.get('UID')}: {event.errors}")
        alarms = sum(c.name == "VALARM" for c in event.subcomponents)
        start, end = (event[name].to_ical().decode() for name in ("DTSTART", "DTEND"))
        yield [str(x) for x in (event["UID"], start, end, event.get("SEQUENCE", 0), event["STATUS"], alarms, event["SUMMARY"])]


def main(path, table):
    """What icalendar reads otherwise than libical, None if nothing."""
    try:
        ours = list(rows(path))
    except (ValueError, KeyError, IndexError) as err:
        return f"{path}: icalendar: {err!r}"
    with open(table, encoding="utf-8", newline="\n") as f:
        theirs = [line.rstrip("\n").split("\t", 6) for line in f]
    if len(ours) != len(theirs):
        return f"{path}: icalendar read {len(ours)} events, libical {len(theirs)}"
    for a, b in zip(ours, theirs):
        if a[:6] != b[:6] or "\\" not in b[6] and a[6] != b[6]:
            return f"{path}: icalendar and libical differ:\n  {a}\n  {b}"
    return None


sys.exit(main(*sys.argv[1:]))
