// Reads one feed with ical.js and compares it with what libical read (a table, see libical.c) and with what it must hold
// (FEED.json beside FEED.ics, if there is one): a list of events, each an object of
//
//   uid, first, last (ISO dates, the last day included), start, end (DTSTART and DTEND as they stand), sequence, status, summary, description, location, geo
//   ([latitude, longitude]), categories, after (a list of UIDs), alarms (a list of {before: minutes from midnight of the
//   first day, text})
//
// A key that is left out is not compared.
import fs from "node:fs";
import ICAL from "ical.js";

const [feed, table] = process.argv.slice(2);
let faults = 0;
const fault = (text) => {
  faults++;
  console.error(`${feed}: ${text}`);
};
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

// zoned says if a time of day is neither in UTC nor in a zone that the calendar defines.
const zoned = (calendar, property, uid) => {
  const zone = property.getParameter("tzid");
  if (!zone && property.getFirstValue().zone !== ICAL.Timezone.utcTimezone) throw new Error(`${uid}: ${property.name} is in no zone`);
  if (zone && !calendar.getAllSubcomponents("vtimezone").some((z) => z.getFirstPropertyValue("tzid") === zone))
    throw new Error(`${uid}: ${property.name} is in ${zone}, which the calendar does not define`);
};

ICAL.design.strict = true;
let events = [];
try {
  const calendar = new ICAL.Component(ICAL.parse(fs.readFileSync(feed, "utf8")));
  if (calendar.name !== "vcalendar" || calendar.getFirstPropertyValue("version") !== "2.0") throw new Error("no calendar of version 2.0");
  const texts = (c, name) => c.getAllProperties(name).flatMap((p) => p.getValues());
  events = calendar.getAllSubcomponents("vevent").map((c) => {
    const e = new ICAL.Event(c);
    const start = c.getFirstPropertyValue("dtstart");
    const end = c.getFirstPropertyValue("dtend");
    if (start.isDate !== end.isDate) throw new Error(`${e.uid}: found a date and a time of day, want two dates or two times`);
    if (end.compare(start) <= 0) throw new Error(`${e.uid}: found an end that is not after the start`);
    const last = end.clone();
    if (start.isDate) last.adjust(-1, 0, 0, 0);
    else for (const name of ["dtstart", "dtend"]) zoned(calendar, c.getFirstProperty(name), e.uid);
    return {
      uid: e.uid,
      start: start.toICALString(),
      end: end.toICALString(),
      first: start.toString().slice(0, 10),
      last: last.toString().slice(0, 10),
      sequence: e.sequence,
      status: c.getFirstPropertyValue("status"),
      summary: e.summary,
      description: e.description,
      location: e.location,
      geo: c.getFirstPropertyValue("geo"),
      categories: texts(c, "categories"),
      after: texts(c, "related-to"),
      alarms: c.getAllSubcomponents("valarm").map((a) => ({
        before: -a.getFirstPropertyValue("trigger").toSeconds() / 60,
        text: a.getFirstPropertyValue("description"),
      })),
    };
  });
  for (const c of calendar.getAllSubcomponents()) {
    if (c.name !== "vevent" && c.name !== "vtimezone") throw new Error(`found a component ${c.name}`);
  }
} catch (err) {
  fault(`ical.js: ${err.message}`);
}

const ours = events.map((e) =>
  [e.uid, e.start, e.end, e.sequence, e.status, e.alarms.length, e.summary].join("\t"),
);
const theirs = fs.readFileSync(table, "utf8").split("\n").slice(0, -1);
if (!same(ours, theirs)) {
  const i = ours.findIndex((line, n) => line !== theirs[n]);
  fault(`the parsers differ: ical.js read ${ours.length} events, libical ${theirs.length}; first apart:\n  ${ours[i]}\n  ${theirs[i]}`);
}

let compared = "not compared with what it must hold: no list beside it";
const list = feed.replace(/\.ics$/, ".json");
if (fs.existsSync(list)) {
  const want = JSON.parse(fs.readFileSync(list, "utf8"));
  compared = "as it must be";
  if (want.length !== events.length) fault(`found ${events.length} events, want ${want.length}`);
  const byUID = new Map(events.map((e) => [e.uid, e]));
  for (const w of want) {
    const e = byUID.get(w.uid);
    if (!e) {
      fault(`found no event ${w.uid}`);
      continue;
    }
    for (const key of Object.keys(w)) {
      if (!(key in e)) fault(`${list}: key ${key} is not known`);
      else if (!same(e[key], w[key])) fault(`${w.uid}: ${key}: found ${JSON.stringify(e[key])}, want ${JSON.stringify(w[key])}`);
    }
  }
}
if (faults === 0) console.log(`${feed}: ${events.length} events, ${events.reduce((n, e) => n + e.alarms.length, 0)} alarms; read alike by libical, ical.js and icalendar; ${compared}`);
process.exitCode = faults > 0 ? 1 : 0;
