package planfile

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/tapping"
)

const alertsPlan = `title: A plan
alerts:
  mail: {server: hush.example.org, from: Hush <hush@example.org>, user: hush, password: {env: SAFE}%s}
  to:
    - {mail: hush@example.org, activities: [tapping], runs: large, quiet: "21:00/06:00"}
    - {post: "https://hush.example.org/hush", token: {file: safe.txt}, fields: {topic: bush}, sites: [here]}
sites: [{id: here, latitude: 44, longitude: -72, elevation: 100 m, timezone: America/New_York}]
`

// Whatever prints a plan prints no address of its alerts, and no user's name.
func TestAlertsAreReadAndKept(t *testing.T) {
	for more, want := range map[string]struct {
		tls  TLS
		port int
	}{
		"": {StartTLS, 587}, ", tls: from-start": {FromTLS, 465}, ", tls: none": {NoTLS, 25}, ", port: 2525": {StartTLS, 2525},
	} {
		p, err := Read(strings.NewReader(fmt.Sprintf(alertsPlan, more)), "plan.yaml")
		if err != nil {
			t.Fatal(err)
		}
		a := p.Alerts
		if a.Mail.TLS != want.tls || a.Mail.Port != want.port || a.Mail.Host.Reveal() != "hush.example.org" || a.Mail.User.Reveal() != "hush" {
			t.Errorf("%q: found %v %d", more, a.Mail.TLS, a.Mail.Port)
		}
		one, two := a.To[0], a.To[1]
		if !one.ByMail() || one.Address() != "<hush@example.org>" || one.Activities[0] != calendar.Tapping || one.Runs != tapping.SizeLarge ||
			one.Quiet != (calendar.Hours{Start: 21 * 60, End: 6 * 60}) {
			t.Errorf("found %+v", one)
		}
		if two.ByMail() || two.Address() != "https://hush.example.org/hush" || two.Token.File != "safe.txt" || two.Fields["topic"] != "bush" {
			t.Errorf("found %+v", two)
		}
		if err := p.CheckAlerts(); err != nil || len(a.Secrets()) != 2 {
			t.Errorf("found %v, %v", err, a.Secrets())
		}
		data, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, printed := range []string{
			string(data), fmt.Sprint(*a, *a.Mail, *one, *two), fmt.Sprintf("%+v %+v %+v", *a.Mail, *one, *two), fmt.Sprintf("%#v %#v", *one, *two),
		} {
			if strings.Contains(printed, "hush") || !strings.Contains(printed, "in the plan") {
				t.Errorf("found %s", printed)
			}
		}
	}
}
