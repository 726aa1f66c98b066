package main

import (
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
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
}
