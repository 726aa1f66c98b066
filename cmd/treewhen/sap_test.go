package main

import (
	"encoding/json"
	"regexp"
	"testing"

	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// What a table says of a season of sap is what the sentence beside it says, all year round; and the two tables agree.
func TestSapTablesSayWhatTheVerdictSays(t *testing.T) {
	verdicts := map[string]*regexp.Regexp{
		"tap-now":     regexp.MustCompile(`^Tap (on|if you have not)`),
		"wait-again":  regexp.MustCompile(`^Not tapped yet\? `),
		"tap-or-wait": regexp.MustCompile(`^Tap any day from |^Tap on .* or wait`),
		"wait":        regexp.MustCompile(`^Wait (until|for) `),
		"plan":        regexp.MustCompile(`^Plan to tap about `),
		"taken-done":  regexp.MustCompile(`^Assumes you tapped on `),
		"too-late":    regexp.MustCompile(`^Too late to tap`),
		"over":        regexp.MustCompile(`^Nothing is left to tap for `),
	}
	seen := map[string]bool{}
	for day := civil.Of(2026, 11, 1); day <= civil.Of(2027, 7, 1); day += 13 {
		text, _ := runIn(t, "sap", "--as-of", day.String(), "--format", "json")
		var got struct {
			Seasons []struct {
				Site, Species, Advice, Verdict string
				Tap                            *civil.Date
				First                          *civil.Date  `json:"tap_first"`
				Last                           *civil.Date  `json:"tap_last"`
				Caught                         *json.Number `json:"caught"`
				Earlier                        *json.Number `json:"caught_week_earlier"`
				Later                          *json.Number `json:"caught_week_later"`
			}
		}
		if err := json.Unmarshal([]byte(text), &got); err != nil {
			t.Fatal(err)
		}
		csv, _ := runIn(t, "sap", "--as-of", day.String(), "--format", "csv")
		rows := table(t, csv)
		if len(rows) != len(got.Seasons) {
			t.Fatalf("%s: %d rows and %d seasons", day, len(rows), len(got.Seasons))
		}
		for i, s := range got.Seasons {
			seen[s.Advice] = true
			if says := verdicts[s.Advice]; says == nil || !says.MatchString(s.Verdict) {
				t.Errorf("%s: %s, and %q", day, s.Advice, s.Verdict)
			}
			if s.Caught != nil && s.Advice != "wait-again" { // whose day is today, which is no longer the best
				best, _ := s.Caught.Float64()
				for _, week := range []*json.Number{s.Earlier, s.Later} {
					if week == nil {
						continue
					}
					// Who was told to tap is held to it, though waiting is worth a little more by now.
					most := best
					if s.Advice == "tap-now" {
						most = best/(1-tapping.HoldMargin) + 0.01
					}
					if share, _ := week.Float64(); share > most {
						t.Errorf("%s: %s: a week off catches %s, the best day %s", day, s.Species, week, s.Caught)
					}
				}
				if *s.First > *s.Tap || *s.Tap > *s.Last || *s.First < day {
					t.Errorf("%s: %s: tap on %s, as good from %s to %s", day, s.Species, s.Tap, s.First, s.Last)
				}
			}
			r, number := rows[i], func(n *json.Number) string {
				if n == nil {
					return ""
				}
				return n.String()
			}
			date := func(d *civil.Date) string {
				if d == nil {
					return ""
				}
				return d.String()
			}
			for column, want := range map[string]string{"site": s.Site, "species": s.Species, "advice": s.Advice, "tap": date(s.Tap), "tap_first": date(s.First),
				"tap_last": date(s.Last), "caught": number(s.Caught), "caught_week_earlier": number(s.Earlier), "caught_week_later": number(s.Later)} {
				if r[column] != want {
					t.Errorf("%s: %s: %s is %q in CSV, %q in JSON", day, s.Species, column, r[column], want)
				}
			}
		}
	}
	if len(seen) < 5 {
		t.Errorf("the year shows only the advice %v", seen)
	}
}
