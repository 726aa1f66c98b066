package main

import (
	"errors"
	"os"

	"treewhen/calendar/alerts/deliver"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/phenology/problem"
)

// reportAlerts writes how many people are told of what is due, and by what; who they are is nobody's business.
func reportAlerts(w *reportWriter, in *inputs.Inputs) {
	if in.Plan.Alerts == nil {
		return
	}
	mail := 0
	for _, r := range in.Plan.Alerts.To {
		if r.ByMail() {
			mail++
		}
	}
	all := len(in.Plan.Alerts.To)
	w.line(0, "alerts: %s, %d by mail and %d by POST", phrase.Count(all, "recipient"), mail, all-mail)
	var missing problem.List
	if _, err := deliver.New(in.Plan, os.Getenv); errors.As(err, &missing) {
		for _, one := range missing {
			w.line(2, "from here none can be sent: line %d of the plan: %s", one.Line, one.Text)
		}
	}
}
