/* Reads one feed with libical and tells what it finds wrong, on standard error, and each event, on standard output:
 * UID, first day, day after the last, SEQUENCE, STATUS, number of alarms and SUMMARY, with tabs between.
 *
 * libical checks how often a property may occur only in messages of a METHOD. A feed has none and must have none, so
 * METHOD:PUBLISH and the ORGANIZER that it calls for (RFC 5546 section 3.2.1) are added in memory. */
#include <libical/ical.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int faults;

static void tell_errors(const char *file, icalcomponent *c)
{
	for (icalproperty *p = icalcomponent_get_first_property(c, ICAL_XLICERROR_PROPERTY); p;
	     p = icalcomponent_get_next_property(c, ICAL_XLICERROR_PROPERTY)) {
		fprintf(stderr, "%s: libical: %s: %s\n", file, icalcomponent_kind_to_string(icalcomponent_isa(c)),
			icalproperty_get_xlicerror(p));
		faults++;
	}
	for (icalcomponent *d = icalcomponent_get_first_component(c, ICAL_ANY_COMPONENT); d;
	     d = icalcomponent_get_next_component(c, ICAL_ANY_COMPONENT))
		tell_errors(file, d);
}

static const char *value(icalcomponent *c, icalproperty_kind kind)
{
	icalproperty *p = icalcomponent_get_first_property(c, kind);
	return p ? icalproperty_get_value_as_string(p) : "";
}

int main(int argc, char **argv)
{
	if (argc != 2) {
		fprintf(stderr, "usage: libical-check FEED.ics\n");
		return 2;
	}
	FILE *f = fopen(argv[1], "rb");
	if (!f) {
		perror(argv[1]);
		return 2;
	}
	char *data = NULL;
	size_t size = 0, room = 0, n;
	do {
		if (size + 65536 + 1 > room && !(data = realloc(data, room = 2 * room + 131072)))
			return 2;
		size += n = fread(data + size, 1, 65536, f);
	} while (n > 0);
	data[size] = 0;
	fclose(f);

	icalcomponent *calendar = strlen(data) == size ? icalparser_parse_string(data) : NULL;
	if (!calendar || icalcomponent_isa(calendar) != ICAL_VCALENDAR_COMPONENT) {
		fprintf(stderr, "%s: libical: no calendar, or a NUL in it\n", argv[1]);
		return 1;
	}
	tell_errors(argv[1], calendar);
	int events = icalcomponent_count_components(calendar, ICAL_VEVENT_COMPONENT);
	for (icalcomponent *e = icalcomponent_get_first_component(calendar, ICAL_VEVENT_COMPONENT); e;
	     e = icalcomponent_get_next_component(calendar, ICAL_VEVENT_COMPONENT)) {
		printf("%s\t", value(e, ICAL_UID_PROPERTY));
		printf("%s\t", value(e, ICAL_DTSTART_PROPERTY));
		printf("%s\t", value(e, ICAL_DTEND_PROPERTY));
		printf("%s\t", value(e, ICAL_SEQUENCE_PROPERTY));
		printf("%s\t", value(e, ICAL_STATUS_PROPERTY));
		printf("%d\t", icalcomponent_count_components(e, ICAL_VALARM_COMPONENT));
		printf("%s\n", icalcomponent_get_summary(e)); /* unescaped, and one line: feeds have no more in it */
		icalcomponent_add_property(e, icalproperty_new_organizer("mailto:nobody@example.org"));
	}
	if (events > 0) {
		icalcomponent_add_property(calendar, icalproperty_new_method(ICAL_METHOD_PUBLISH));
		if (!icalrestriction_check(calendar) && faults == 0) {
			tell_errors(argv[1], calendar);
			if (faults == 0) {
				fprintf(stderr, "%s: libical: a rule of METHOD:PUBLISH is broken\n", argv[1]);
				faults++;
			}
		}
	}
	return faults > 0;
}
