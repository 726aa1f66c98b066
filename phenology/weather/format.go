package weather

// Format is a format of daily temperature files. The function that reads it names the published description it follows.
type Format string

// The formats. FormatAuto lets the content decide.
const (
	FormatAuto     Format = "auto"
	FormatPlain    Format = "plain"         // CSV with date, tmin and tmax: this project's own
	FormatGHCNDly  Format = "ghcn-dly"      // GHCN-Daily by station, fixed width
	FormatGHCNCSV  Format = "ghcn-csv"      // GHCN-Daily as CSV, a row for each value or for each day
	FormatCanada   Format = "canada-csv"    // the daily CSV of Environment and Climate Change Canada
	FormatGridCell Format = "grid-cell-csv" // the single-pixel daily CSV of the North American 1-km grids
)
