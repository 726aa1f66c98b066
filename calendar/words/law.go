package words

import (
	"cmp"
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// lawCautions say what law says of collecting a species at a place: the rules of its own state and country, and, once,
// that others have others.
func lawCautions(l *calendar.Law, sp *phenology.Species) (list []string) {
	if l == nil {
		return nil
	}
	first := func(collecting bool) string {
		if collecting {
			return "Check the law first: "
		}
		return "Check the rules first: "
	}
	for _, one := range l.Here {
		list = append(list, fmt.Sprintf("%s%s, %s: %s (%s).",
			first(one.Collecting), sp.Name(), one.Where, strings.TrimSuffix(one.Text, "."), one.Source))
	}
	if len(l.Elsewhere) > 0 && !l.Certain {
		collecting := false
		var where []string
		for _, one := range l.Elsewhere {
			collecting = collecting || one.Collecting
			where = append(where, one.Where)
		}
		const most = 3
		if n := len(where); n > most+1 {
			where = append(where[:most:most], fmt.Sprintf("%d more", n-most))
		}
		list = append(list, first(collecting)+sp.Name()+" is regulated in "+phrase.Join(where)+".")
	}
	return append(list, "Rules differ and change: ask your "+cmp.Or(l.Own, "state or province")+
		" before you collect, move or sell seed of a regulated species.")
}
