package planfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// MaxObservations is how large an observations file may be, in bytes.
const MaxObservations = 64 << 20

// Observation is a row of an observations file: the site and the species are as the user wrote them.
type Observation struct {
	Line          int
	Date          civil.Date
	Site, Species string
	Phase         phenology.Phase
	HasPhase      bool            // a row that has a crop may have no phase
	Undated       bool            // the phase came before, has not come yet, or nobody looked: it tells no date
	Stage         phenology.Stage // "" if the row has none
	Crop          calendar.Crop   // "" if the row has none
	Note          string
}

// ReadObservations reads an observations file of [MaxObservations] bytes at most. Everything wrong with it comes back at once, as a [problem.List].
func ReadObservations(r io.Reader, name string) ([]Observation, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxObservations+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	var wrong problem.List
	if len(data) > MaxObservations {
		wrong.Add(name, 0, "", "found more than %d bytes, want an observations file of %d at most", MaxObservations, MaxObservations)
		return nil, wrong.Err()
	}
	rows := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	rows.FieldsPerRecord = -1
	rows.TrimLeadingSpace = true
	rows.ReuseRecord = true
	header, err := rows.Read()
	if err != nil {
		wrong.Add(name, 1, "", "found %s, want a header: date,site,species,phase", what(err))
		return nil, wrong.Err()
	}
	column := map[string]int{}
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(h))
		if _, dup := column[h]; dup && slices.Contains(columns, h) {
			wrong.Add(name, 1, h, "found this column twice, want it once")
		}
		column[h] = i
	}
	width := len(header) // the reader uses the row again
	var missing []string
	for _, c := range columns[:4] {
		if _, ok := column[c]; !ok {
			missing = append(missing, c)
		}
	}
	if len(missing) > 0 {
		wrong.Add(name, 1, "", "found a header without %s: %q, want date,site,species,phase and if wanted note", strings.Join(missing, ", "), strings.Join(header, ","))
	}
	if len(wrong) > 0 {
		return nil, wrong.Err()
	}
	var list []Observation
	for {
		row, err := rows.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			wrong.Add(name, bad.Line, "", "found a row that is no CSV (%v), want date,site,species,phase", bad.Err)
			break
		}
		line, _ := rows.FieldPos(0)
		o := Observation{Line: line}
		cell := func(c string) string {
			if i, ok := column[c]; ok && i < len(row) {
				return strings.TrimSpace(row[i])
			}
			return ""
		}
		for _, c := range columns[:4] {
			if cell(c) == "" && !(c == "phase" && cell("crop") != "") {
				wrong.Add(name, line, c, "found nothing, want a value in every row")
			}
		}
		if text := cell("date"); text != "" {
			if o.Date, err = civil.Parse(text); err != nil {
				wrong.Add(name, line, "date", "%v", err)
			}
		}
		if text := cell("phase"); text != "" {
			if o.Phase, err = phenology.ParsePhase(text); err != nil {
				wrong.Add(name, line, "phase", "%v", err)
			}
			o.HasPhase = err == nil
		}
		if text := cell("stage"); text != "" {
			o.Stage = phenology.Stage(strings.ToLower(text))
			switch {
			case !slices.Contains(phenology.Stages(), o.Stage):
				wrong.Add(name, line, "stage", "found %q, want first-bud, first-leaf or half", text)
			case o.Stage != phenology.StageHalf && o.HasPhase && o.Phase != phenology.BudBreak:
				wrong.Add(name, line, "stage", "found %q with %s, want it with %s alone", text, o.Phase, phenology.BudBreak)
			}
		}
		switch text := strings.ToLower(cell("seen")); text {
		case "", SeenJust:
		case SeenBefore, SeenNotYet, SeenUnknown:
			o.Undated = true
		default:
			wrong.Add(name, line, "seen", "found %q, want just (it came within a day or two), before, not-yet or ?", text)
		}
		if text := cell("crop"); text != "" {
			o.Crop = calendar.Crop(strings.ToLower(text))
			if !slices.Contains(calendar.Crops(), o.Crop) {
				wrong.Add(name, line, "crop", "found %q, want none, light, good or bumper", text)
			}
		}
		o.Site, o.Species, o.Note = strings.Clone(cell("site")), strings.Clone(cell("species")), strings.Clone(cell("note"))
		if len(row) > width && strings.TrimSpace(strings.Join(row[width:], "")) != "" {
			wrong.Add(name, line, "", "found %d cells under %d columns (%.60q is left over), want a comma between two cells alone; quote a note that has one", len(row), width, row[width])
		}
		for _, c := range columns {
			if err := problem.CheckText(cell(c), mostNote, false); err != nil {
				wrong.Add(name, line, c, "%v", err)
			}
		}
		if len(wrong) >= maxWrong {
			wrong.Add(name, line, "", "more is wrong further down; mend this first")
			break
		}
		list = append(list, o)
	}
	if err := wrong.Err(); err != nil {
		return nil, err
	}
	return list, nil
}

var columns = []string{"date", "site", "species", "phase", "stage", "crop", "note", "seen"}

// What a row may say under seen, for a phase that was looked for on a day and not for the day on which it came. Without it
// the date is the day on which the phase came.
const (
	SeenJust    = "just"    // it came on that day, or a day or two before
	SeenBefore  = "before"  // it came earlier, nobody knows when
	SeenNotYet  = "not-yet" // it has not come yet
	SeenUnknown = "?"       // nobody has looked
)

// mostNote is how long a note or any other cell may be, in characters.
const mostNote = 1000

// maxWrong is how many problems of a file are listed.
const maxWrong = 20

func what(err error) string {
	if errors.Is(err, io.EOF) {
		return "an empty file"
	}
	return err.Error()
}
