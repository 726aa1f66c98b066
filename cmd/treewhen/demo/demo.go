// Package demo is the demonstration: three places whose people, trees and weather are invented. The weather comes from
// the seeded generator in cmd/demoweather, so that anybody can see that it is nobody's.
package demo

import "embed"

// Files holds the plan and the files it names: temperatures, and the calendars of the school.
//
//go:embed plan.yaml *.csv *.ics
var Files embed.FS

// Plan is the name of the plan in [Files].
const Plan = "plan.yaml"
