package text

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"treewhen/calendar/calendartest"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

func TestStripFitsAndMarksToday(t *testing.T) {
	for _, asOf := range []civil.Date{civil.Of(2027, time.January, 2), civil.Of(2027, time.March, 12),
		civil.Of(2027, time.April, 20)} {
		p := calendartest.MadePlan(asOf, 20, 0, "sugar maple", "paper birch")
		for _, sp := range p.Places[0].Species {
			s := tapping.SeasonAt(p, p.Places[0], sp, 2027)
			lines := strip(s, words.SapFrameIn(s.Speech))
			text := strings.Join(lines, "\n")
			for _, l := range lines {
				if n := len([]rune(l)); n > textWidth-2 {
					t.Errorf("%d characters: %s", n, l)
				}
			}
			shown := s.Season.Day(s.End.P90())+4-stripColumns*daysPerColumn < s.Season.Day(asOf)
			if shown && !strings.Contains(text, "^") || !strings.Contains(text, "E") || !strings.Contains(text,
				"Mar") {
				t.Errorf("no today, no end or no months:\n%s", text)
			}
		}
	}
}

func TestWriteSapIsTheSameTwice(t *testing.T) {
	write := func() string {
		p := calendartest.MadePlan(civil.Of(2027, time.March, 12), 20, 0, "sugar maple", "red maple")
		calendartest.WithForecast(p, 6)
		var b bytes.Buffer
		var list []*tapping.Season
		for _, sp := range p.Places[0].Species {
			list = append(list, tapping.SeasonAt(p, p.Places[0], sp, 2027))
		}
		if err := WriteSap(&b, p.Title, p.AsOf, list, nil); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	if a, b := write(), write(); a != b {
		t.Errorf("two runs differ:\n%s\n%s", a, b)
	}
}
