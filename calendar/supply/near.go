package supply

import (
	"context"
	"errors"
	"fmt"

	"treewhen/calendar/fetch"
	"treewhen/calendar/services"
	"treewhen/phenology/civil"
)

// mostHeights is of how many stations a service is asked where they stand.
const mostHeights = 12

// Near asks a service which of its stations are near a point. Errors may hold what the other side sent: [FaultOf] says
// in our words what they are about.
func (d *Desk) Near(
	ctx context.Context, service *services.Service, address string, at services.Point,
) (list []services.Station, err error) {
	if d.Offline {
		return nil, faultError{services.Offline, errors.New("nobody was asked")}
	}
	w := Want{Service: service, Address: address}
	span := civil.Span{First: civil.Of(d.Today.Year()-history, 1, 1), Last: d.Today}
	ask := func(path string) ([]byte, error) {
		answer, err := d.Web.Ask(ctx, fetch.Request{
			Address: w.address() + path, Agent: d.Agent(), Accept: service.Accept, Tries: 1, Pace: service.Pace,
		})
		if err != nil {
			return nil, err
		}
		return answer.Body, nil
	}
	for rows, page := 0, 0; ; page++ {
		body, err := ask(service.Records.Near(at, services.Within, span, rows))
		if err != nil {
			return nil, err
		}
		got, err := service.Records.ReadNear(body)
		if err != nil {
			return nil, faultError{services.Unreadable, err}
		}
		list = append(list, got.List...)
		rows += got.Rows
		if got.Rows == 0 || rows >= got.More || page == mostPages {
			break
		}
	}
	if len(list) == 0 {
		return nil, faultError{services.Nothing, fmt.Errorf("found no station within %.0f km", services.Within)}
	}
	if service.Records.Heights != nil {
		d.heights(ask, service, list, at)
	}
	return list, nil
}

// heights adds to stations that report where they stand, by a week of their days; what is not told stays unknown.
func (d *Desk) heights(
	ask func(string) ([]byte, error), service *services.Service, list []services.Station, at services.Point,
) {
	var wanted []string
	for _, s := range services.Nearest(list, at, len(list)) {
		if s.Elevation == nil && s.Reports(d.Today) && len(wanted) < mostHeights {
			wanted = append(wanted, s.ID)
		}
	}
	if len(wanted) == 0 {
		return
	}
	body, err := ask(service.Records.Heights(wanted, civil.Span{First: d.Today - services.Fresh, Last: d.Today}))
	if err == nil {
		if found, err := service.Records.ReadHeights(body); err == nil {
			for i := range list {
				if f, ok := found[list[i].ID]; ok {
					list[i].Elevation = f.Elevation
				}
			}
			return
		}
	}
	d.Log("%s: heights of stations: %v", service.Name, err)
}
