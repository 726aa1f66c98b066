package build

import (
	"context"

	"treewhen/calendar/inputs"
	"treewhen/phenology/parallel"
)

// Progress is told how many of how many sites are done, one call at a time. It may be nil.
type Progress func(done, of int)

// Each does a piece of work for each of the inputs' sites, on all cores, and hands the results on in their order, one
// at a time. The work makes the site ready (see [inputs.Inputs.Ready]) and returns what is wanted of it, so that memory
// does not grow with the number of sites but by what is kept of the results. It stops at the first error of emit, or
// when ctx ends.
func Each[T any](
	ctx context.Context, in *inputs.Inputs, told Progress, work func(*inputs.Place) T,
	emit func(*inputs.Place, T) error,
) error {
	done := 0
	return parallel.InOrder(ctx, len(in.Places), func(i int) T { return work(in.Places[i]) }, func(result T) error {
		pl := in.Places[done]
		done++
		if err := in.Err(); err != nil {
			return err
		}
		if err := emit(pl, result); err != nil {
			return err
		}
		if told != nil {
			told(done, len(in.Places))
		}
		return nil
	})
}
