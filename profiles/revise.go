package profiles

import (
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strings"

	"treewhen/phenology"
)

// Revision is what is to be written into a profile about one phase. What is empty stays as it is.
type Revision struct {
	Phase phenology.Phase
	// Dating, if set, takes the place of the phase's; with Undate there is none any more.
	Dating *phenology.PhaseModel
	Undate bool
	// Reference, if set, comes first among the phase's.
	Reference *phenology.Reference
}

// Text returns the text of a built-in profile, or of the one in a user's folder if it has one of that id. The folder
// may be nil.
func Text(folder fs.FS, id string) (string, error) {
	for _, ext := range []string{".yaml", ".yml"} {
		if folder == nil {
			break
		}
		if data, err := fs.ReadFile(folder, id+ext); err == nil {
			return string(data), nil
		}
	}
	return builtinText(id)
}

// textHead begins the line before a profile's text among [zippedTexts]; its id ends it.
const textHead = "--- # "

// builtinText returns the text of a built-in profile.
func builtinText(id string) (string, error) {
	z, err := gzip.NewReader(strings.NewReader(zippedTexts))
	if err != nil {
		return "", err
	}
	all, err := io.ReadAll(z)
	if err != nil {
		return "", err
	}
	_, text, found := strings.Cut(string(all), textHead+id+"\n")
	if !found {
		return "", fmt.Errorf("profiles: %s: %w", id, fs.ErrNotExist)
	}
	text, _, _ = strings.Cut(text, textHead)
	return text, nil
}

// Revise returns the text of a profile with phases revised. It works on the lines, so that comments and layout stay: a
// phase is indented by two spaces under "phases:", its keys by four.
func Revise(text string, revisions ...Revision) string {
	var out, body strings.Builder
	byName := map[string]Revision{}
	for _, r := range revisions {
		byName[r.Phase.String()] = r
	}
	inPhases, skip, in := false, false, ""
	end := func() {
		if in != "" {
			out.WriteString(reviseTail(body.String(), byName[in]))
			body.Reset()
			in = ""
		}
	}
	for line := range strings.Lines(text) {
		key, indent := keyOf(line)
		if indent == 0 {
			end()
			inPhases, skip = key == "phases", false
		}
		if inPhases && indent == 2 {
			end()
			skip = false
			if _, ok := byName[key]; ok {
				in = key
			}
		}
		if in == "" {
			out.WriteString(line)
			continue
		}
		r := byName[in]
		if indent == 4 {
			skip = key == "dating" && (r.Dating != nil || r.Undate)
		}
		if skip && indent >= 0 {
			continue
		}
		body.WriteString(line)
		if indent == 4 && key == "references" && r.Reference != nil {
			body.WriteString(referenceText(*r.Reference))
		}
	}
	end()
	return out.String()
}

// keyOf returns the key of a line of YAML and how far it is indented, -1 for a blank line.
func keyOf(line string) (key string, indent int) {
	trimmed := strings.TrimSpace(line)
	if trimmed == "" {
		return "", -1
	}
	key, _, _ = strings.Cut(trimmed, ":")
	return key, len(line) - len(strings.TrimLeft(line, " "))
}

// reviseTail adds to a phase what it lacks, before the blank lines that end it.
func reviseTail(body string, r Revision) string {
	head := strings.TrimRight(body, "\n") + "\n"
	tail := body[min(len(head), len(body)):]
	if r.Reference != nil && !strings.Contains(body, "\n    references:") {
		head += "    references:\n" + referenceText(*r.Reference)
	}
	if r.Dating != nil {
		head += datingText(*r.Dating)
	}
	return head + tail
}

func referenceText(r phenology.Reference) string {
	season := phenology.Season{Year: 2001, Southern: r.Latitude < 0} // no leap year
	line := fmt.Sprintf("place: %q, latitude: %.4g, longitude: %.5g, elevation: %.0f m, date: %s, spread: %.1f",
		r.Place, r.Latitude, r.Longitude, r.Elevation, season.Nearest(r.Day).Format("01-02"), r.Spread)
	if r.Years != "" {
		line += fmt.Sprintf(", years: %q", r.Years)
	}
	if r.Day > 365 {
		line += ", following-year: true"
	}
	return "      - {" + line + ", source: " + r.Source.Key + "}\n"
}

func datingText(d phenology.PhaseModel) string {
	var b strings.Builder
	b.WriteString("    dating:\n      models:\n")
	for _, m := range d.Models {
		b.WriteString("        - {" + ModelText(m) + "}\n")
	}
	fmt.Fprintf(&b, "      residual: %.1f\n", d.Residual)
	if s := d.Score; s != nil {
		fmt.Fprintf(&b, "      score: {years: %d, rmse: %.1f, mean-date-rmse: %.1f}\n", s.Years, s.RMSE, s.MeanRMSE)
	}
	fmt.Fprintf(&b, "      source: %s\n", d.Source.Key)
	return b.String()
}

// ModelText returns a model as a profile has it, without the braces. It panics on a model that profiles do not have.
func ModelText(m phenology.Model) string {
	kind := "kind: " + m.Kind()
	switch m := m.(type) {
	case phenology.ThermalTime:
		text := fmt.Sprintf("%s, start: %s, base: %g C", kind, monthDay(m.Start), m.Base)
		text += methodText(m.Method)
		if m.DayLengthExponent != 0 {
			text += fmt.Sprintf(", day-length-exponent: %g", m.DayLengthExponent)
		}
		if m.Cutoff != "" {
			text += fmt.Sprintf(", upper: %g C, cutoff: %s", m.Upper, m.Cutoff)
		}
		return text + fmt.Sprintf(", requirement: %s", figure(m.Requirement))
	case phenology.ChillingThermalTime:
		text := fmt.Sprintf("%s, start: %s, base: %g C, chill-start: %s, chill-below: %g C", kind, monthDay(m.Start),
			m.Base, monthDay(m.ChillStart), m.ChillBelow) + methodText(m.Method)
		return text + fmt.Sprintf(", requirement: %s, extra: %s, decay: %g", figure(m.Requirement), figure(m.Extra),
			m.Decay)
	case phenology.ChillingThenForcing:
		text := fmt.Sprintf("%s, chill-start: %s, chill-requirement: %g", kind, monthDay(m.ChillStart),
			m.ChillRequirement)
		switch {
		case m.ChillingBy != phenology.ChillingByRate:
			text += fmt.Sprintf(", chilling: %s", m.ChillingBy)
		case m.Chilling != phenology.SarvasChilling:
			text += fmt.Sprintf(", chilling: {low: %g C, optimum: %g C, high: %g C}", m.Chilling.Low,
				m.Chilling.Optimum, m.Chilling.High)
		}
		switch {
		case m.Method != "":
			text += fmt.Sprintf(", forcing: {base: %g C%s}", m.Base, methodText(m.Method))
		case m.Forcing != phenology.SarvasForcing:
			text += fmt.Sprintf(", forcing: {ceiling: %g, steepness: %g, midpoint: %g C}", m.Forcing.Ceiling,
				m.Forcing.Steepness, m.Forcing.Midpoint)
		}
		return text + fmt.Sprintf(", requirement: %s", figure(m.Requirement))
	case phenology.AutumnCooling:
		return fmt.Sprintf("%s, day-length-below: %g, base: %g C, temperature-exponent: %g, day-length-exponent: %g, "+
			"shortening: %t, requirement: %s", kind, m.DayLength, m.Base, m.TemperatureExponent, m.DayLengthExponent,
			m.Shortening, figure(m.Requirement))
	case phenology.WarmthShift:
		return fmt.Sprintf("%s, from: %s, to: %s, days-per-degree: %.1f", kind, monthDay(m.From), monthDay(m.To),
			m.DaysPerDegree)
	case phenology.DegreeDayLag:
		return fmt.Sprintf("%s, after: %s, base: %g C%s, requirement: %s", kind, m.After, m.Base, methodText(m.Method),
			figure(m.Requirement))
	case phenology.Lag:
		return fmt.Sprintf("%s, after: %s, days: %g, spread: %g", kind, m.After, m.Days, m.Spread)
	}
	panic(fmt.Sprintf("profiles: no text for a model of kind %s", m.Kind()))
}

// methodText names a method of degree-days; the sine is the default.
func methodText(m phenology.ForcingMethod) string {
	if m == phenology.SineForcing {
		return ""
	}
	return fmt.Sprintf(", method: %s", m)
}

// figure writes a requirement to four figures: more would claim what no fit knows.
func figure(x float64) string {
	switch {
	case x >= 1000:
		return fmt.Sprintf("%.0f", x)
	case x >= 10:
		return fmt.Sprintf("%g", math.Round(x*10)/10)
	}
	return fmt.Sprintf("%.4g", x)
}

func monthDay(day phenology.SeasonDay) string {
	return phenology.Season{Year: 2001}.Date(day).Format("01-02")
}

// AddSource returns the text of a profile with a source of its own added, or replaced if it has one of that key.
func AddSource(text string, s phenology.Source) string {
	entry := fmt.Sprintf("  %s:\n    citation: >-\n      %s\n    mark: %s\n", s.Key, s.Citation, s.Mark)
	var out strings.Builder
	inSources, skip, has := false, false, false
	for line := range strings.Lines(text) {
		key, indent := keyOf(line)
		if indent == 0 {
			inSources, skip = key == "sources", false
		}
		if inSources && indent == 2 {
			skip = key == s.Key
		}
		if skip && indent >= 0 {
			continue
		}
		out.WriteString(line)
		if indent == 0 && key == "sources" {
			out.WriteString(entry)
			has = true
		}
	}
	if !has {
		return strings.TrimRight(out.String(), "\n") + "\n\nsources:\n" + entry
	}
	return out.String()
}
