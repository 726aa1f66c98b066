package weather

// Format is a format of daily temperature files.
type Format string

// The formats. FormatAuto lets the content decide.
const (
	FormatAuto     Format = "auto"
	FormatPlain    Format = "plain"
	FormatGHCNDly  Format = "ghcn-dly"
	FormatGHCNCSV  Format = "ghcn-csv"
	FormatCanada   Format = "canada-csv"
	FormatGridCell Format = "grid-cell-csv"
)
