package supply

import (
	"errors"

	"treewhen/calendar/fetch"
	"treewhen/calendar/services"
)

// faultError is an error with what kind it is of.
type faultError struct {
	services.Fault
	error
}

// Unwrap returns what the fault is about.
func (e faultError) Unwrap() error { return e.error }

// FaultOf says of what kind an error is.
func FaultOf(err error) services.Fault {
	var known faultError
	switch {
	case errors.As(err, &known):
		return known.Fault
	case fetch.Private(err):
		return services.Astray
	case fetch.Status(err) == 404:
		return services.Nothing
	case fetch.MayPass(err) || fetch.Status(err) == 0:
		return services.Down
	}
	return services.Refused
}
