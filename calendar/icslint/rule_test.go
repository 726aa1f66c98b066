package icslint_test

import (
	"strings"
	"testing"

	"treewhen/calendar/icslint"
)

// The examples of RFC 5545 section 3.8.5.3 keep the form of section 3.3.10; what breaks it is found with the clause.
func TestRecurrenceRules(t *testing.T) {
	withRule := func(rule string) []icslint.Finding {
		feed := strings.Replace(crlf(good), "SUMMARY:Walk", "RRULE:"+rule+"\r\nSUMMARY:Walk", 1)
		return icslint.Check([]byte(feed))
	}
	for _, rule := range []string{
		"FREQ=DAILY;COUNT=10", "FREQ=DAILY;UNTIL=19971224T000000Z", "FREQ=DAILY;INTERVAL=10;COUNT=5",
		"FREQ=YEARLY;UNTIL=20000131T140000Z;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR", "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
		"FREQ=MONTHLY;COUNT=6;BYDAY=-2MO", "FREQ=MONTHLY;BYMONTHDAY=-3", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
		"FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200", "FREQ=YEARLY;BYDAY=20MO", "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO",
		"FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2", "FREQ=HOURLY;INTERVAL=3;UNTIL=19970902T170000Z",
		"FREQ=DAILY;BYHOUR=9,10,11,12,13,14,15,16;BYMINUTE=0,20,40", "FREQ=YEARLY;UNTIL=20070902T170000", "FREQ=DAILY;UNTIL=19971224",
	} {
		if found := withRule(rule); len(found) > 0 {
			t.Errorf("%s: %v", rule, found)
		}
	}
	for _, rule := range []string{
		"FREQ=DAILY;UNTIL=x", "FREQ=DAILY;UNTIL=", "FREQ=DAILY;UNTIL=1997122", "FREQ=OFTEN", "COUNT=3", "", "FREQ=DAILY;", "FREQ",
		"FREQ=DAILY;COUNT=0", "FREQ=DAILY;COUNT=-1", "FREQ=DAILY;COUNT=+1", "FREQ=DAILY;COUNT=3;UNTIL=19971224", "FREQ=DAILY;FREQ=DAILY",
		"FREQ=YEARLY;BYMONTH=13", "FREQ=YEARLY;BYMONTH=-1", "FREQ=YEARLY;BYDAY=XX", "FREQ=YEARLY;BYDAY=0MO", "FREQ=YEARLY;BYDAY=54MO",
		"FREQ=MONTHLY;BYMONTHDAY=0", "FREQ=MONTHLY;BYMONTHDAY=32", "FREQ=DAILY;BYHOUR=24", "FREQ=DAILY;BYMOON=1", "FREQ=DAILY;BYHOUR=1,,2",
	} {
		if found := withRule(rule); len(found) != 1 || found[0].Clause != "RFC 5545 3.3.10" {
			t.Errorf("%q: found %v, want one finding of RFC 5545 3.3.10", rule, found)
		}
	}
}
