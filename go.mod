module treewhen

go 1.26.8

require (
	github.com/arran4/golang-ical v0.3.6 // indirect
	github.com/emersion/go-ical v0.0.0-20250329121855-f41e73efc392 // indirect
	github.com/google/go-cmp v0.7.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/spf13/pflag v1.1.0 // indirect
	github.com/teambition/rrule-go v1.8.2 // indirect
	golang.org/x/sys v0.26.0 // indirect
	golang.org/x/tools v0.26.0 // indirect
	gopkg.in/yaml.v3 v3.0.1 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
