package weather

import (
	"bufio"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"treewhen/phenology/civil"
)

// WritePlain writes s in the plain format, in degrees Celsius, a row for each day and LF line endings: date, tmin_c,
// tmax_c and, if a day has any, flags. Numbers are written so that reading them gives the same bits; missing ones are
// empty. Reading it back gives s without missing days at either end. Errors are w's.
func WritePlain(w io.Writer, s Series) error {
	b := bufio.NewWriter(w)
	var all Flags
	for _, d := range s.Days {
		all |= d.Flags
	}
	header := "date,tmin_c,tmax_c\n"
	if all != 0 {
		header = "date,tmin_c,tmax_c,flags\n"
	}
	if _, err := b.WriteString(header); err != nil {
		return err
	}
	var row []byte
	value := func(v float64) {
		row = append(row, ',')
		if !math.IsNaN(v) {
			row = strconv.AppendFloat(row, v, 'f', -1, 64)
		}
	}
	for i, d := range s.Days {
		row = (s.First + civil.Date(i)).Time().AppendFormat(row[:0], time.DateOnly)
		value(d.Min)
		value(d.Max)
		if all != 0 {
			row = append(row, ',')
			if d.Flags != 0 {
				row = append(row, strings.ReplaceAll(d.Flags.String(), ",", "")...)
			}
		}
		row = append(row, '\n')
		if _, err := b.Write(row); err != nil {
			return err
		}
	}
	return b.Flush()
}
