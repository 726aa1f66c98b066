package text

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// phaseColumns are the columns of a table of phases as CSV. Programs rely on them.
var phaseColumns = []string{"site", "species", "phase", "season", "p10", "p50", "p90", "basis", "years"}

// PhaseWriter writes tables of phases, one species and season at a time, so that thousands of sites need no memory.
type PhaseWriter interface {
	Write(phenology.Estimates) error
	Close() error // ends the table; the writer below stays open
}

// NewPhaseCSV writes phases as CSV. A phase that cannot be dated has empty dates and the basis "none".
func NewPhaseCSV(w io.Writer) PhaseWriter {
	out := csv.NewWriter(w)
	err := out.Write(phaseColumns)
	return &phaseCSV{out, err}
}

type phaseCSV struct {
	out *csv.Writer
	err error
}

func (p *phaseCSV) Write(list phenology.Estimates) error {
	for _, e := range list.List {
		row := [9]string{list.Site.ID, list.Species.ID, e.Phase.String(), strconv.Itoa(e.Season.Year), "", "", "",
			e.Basis.String(), strconv.Itoa(e.Years)}
		if e.HasDate() {
			p10, p50, p90 := e.Dates()
			row[4], row[5], row[6] = p10.String(), p50.String(), p90.String()
		}
		if p.err == nil {
			p.err = p.out.Write(row[:])
		}
	}
	return p.err
}

func (p *phaseCSV) Close() error {
	p.out.Flush()
	if p.err != nil {
		return p.err
	}
	return p.out.Error()
}

// NewPhaseJSON writes phases as one JSON array.
func NewPhaseJSON(w io.Writer, as phrase.Speech) PhaseWriter { return &phaseJSON{jsonList{w: w}, as} }

type phaseJSON struct {
	rows jsonList
	as   phrase.Speech // of what is told in sentences
}

type jsonPhase struct {
	Site    string          `json:"site"`
	Species string          `json:"species"`
	Phase   phenology.Phase `json:"phase"`
	Season  int             `json:"season"`
	P10     *civil.Date     `json:"p10"`
	P50     *civil.Date     `json:"p50"`
	P90     *civil.Date     `json:"p90"`
	Basis   phenology.Basis `json:"basis"`
	Years   int             `json:"years"`
	Rests   string          `json:"basis_text"`
	Reason  string          `json:"reason,omitempty"`
}

func (p *phaseJSON) Write(list phenology.Estimates) error {
	for _, e := range list.List {
		row := jsonPhase{Site: list.Site.ID, Species: list.Species.ID, Phase: e.Phase, Season: e.Season.Year,
			Basis: e.Basis,
			Years: e.Years, Rests: words.Basis(calendar.RestsOn(e), p.as), Reason: words.Lack(e.Lack, p.as)}
		if e.HasDate() {
			p10, p50, p90 := e.Dates()
			row.P10, row.P50, row.P90 = &p10, &p50, &p90
		}
		if err := p.rows.write(row); err != nil {
			return err
		}
	}
	return nil
}

func (p *phaseJSON) Close() error {
	if err := p.rows.close(); err != nil {
		return err
	}
	_, err := io.WriteString(p.rows.w, "\n")
	return err
}

// NewPhaseText writes phases for people to read.
func NewPhaseText(w io.Writer, as phrase.Speech) PhaseWriter {
	return &phaseText{w: bufio.NewWriter(w), as: as}
}

type phaseText struct {
	w    *bufio.Writer
	some bool
	as   phrase.Speech
}

func (p *phaseText) Write(list phenology.Estimates) error {
	if p.some {
		fmt.Fprintln(p.w)
	}
	p.some = true
	fmt.Fprintf(p.w, "%s, season %d, %s\n", list.Species.Name(), list.Season.Year, list.Site.Name)
	if text := OutsideText(list, p.as); text != "" {
		fmt.Fprintf(p.w, "  %s\n", text)
	}
	fmt.Fprintf(p.w, "  %-14s %-12s %-11s %-11s %s\n", "phase", "1 year of 10", "middle", "9 of 10", "rests on")
	for _, e := range list.List {
		if !e.HasDate() {
			fmt.Fprintf(p.w, "  %-14s %-12s %-11s %-11s %s\n", e.Phase, "-", "-", "-", "none")
			continue
		}
		rests := e.Basis.String()
		if e.Years > 0 {
			rests += ", " + phrase.Count(e.Years, "year")
		}
		p10, p50, p90 := e.Dates()
		day := func(d civil.Date) string { return d.Format("2 Jan 2006") }
		fmt.Fprintf(p.w, "  %-14s %-12s %-11s %-11s %s\n", e.Phase, day(p10), day(p50), day(p90), rests)
	}
	return nil
}

// farKM is from how many kilometres outside its range on a species is far from home. Our own choice.
const farKM = 100

// OutsideText says that a species is far from home at a site, and what that adds to its dates; "" where it is not.
func OutsideText(list phenology.Estimates, as phrase.Speech) string {
	km := list.Species.KilometresOutside(list.Site)
	if km < farKM {
		return ""
	}
	return fmt.Sprintf("%s outside %s: %s of spread added", as.Way(km), words.RangeOf(list.Species),
		phrase.Count(int(phenology.OutsideSD(km)+0.5), "day"))
}

func (p *phaseText) Close() error { return p.w.Flush() }
