package calendar

// Keep says how much of its entries a schedule holds on to. Ten thousand sites have half a million entries, and whoever
// writes a table needs a fraction of each.
type Keep int

// From all to least.
const (
	KeepAll     Keep = iota
	KeepDetails      // all but field sheets: for JSON, feeds, pages and text with details
	KeepLines        // what text shows without details
	KeepRows         // what a row of CSV shows
)

// Lighten lets go of what is not to be kept of the work at a place. It is done before the work is added to a schedule.
func (w *Work) Lighten(keep Keep) {
	if keep >= KeepLines {
		w.Accounts = nil
	}
	for _, e := range w.Entries {
		if heavy, ok := e.Facts.(interface{ Lighten() Facts }); ok && keep >= KeepDetails {
			e.Facts = heavy.Lighten()
		}
		if keep >= KeepLines {
			if f, ok := e.Facts.(interface{ Line() Facts }); ok {
				e.Facts = f.Line()
			}
			e.Reminders, e.After = nil, nil
		}
		if keep >= KeepRows {
			e.Facts = nil
		}
	}
}
