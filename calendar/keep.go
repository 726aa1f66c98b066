package calendar

import "strings"

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
	for _, e := range w.Entries {
		if heavy, ok := e.Facts.(interface{ Lighten() Facts }); ok && keep >= KeepDetails {
			e.Facts = heavy.Lighten()
		}
		if keep >= KeepLines {
			e.ProbabilityOf = ""
			if f, ok := e.Facts.(interface{ Line() Facts }); ok {
				e.Facts = f.Line()
			}
			e.Reasons, e.LookFor, e.Kit, e.Sources, e.Reminders, e.After = nil, nil, nil, nil, nil, nil
		}
		if keep >= KeepRows {
			e.Summary, e.BasisText, e.Cautions, e.Stand, e.Facts = "", "", nil, nil, nil
		}
	}
}

// sharedTexts keeps once what many entries say alike: the cautions, sources and signs of a species are the same at every site.
type sharedTexts struct {
	texts map[string]string
	lists map[string][]string
	key   []byte
}

func newSharedTexts() *sharedTexts {
	return &sharedTexts{texts: map[string]string{}, lists: map[string][]string{}}
}

// share replaces the texts of an entry by equal ones seen before. Reasons name days, and hardly two are alike.
func (s *sharedTexts) share(e *Entry) {
	for _, text := range []*string{&e.Summary, &e.ProbabilityOf, &e.BasisText} {
		*text = s.text(*text)
	}
	for _, list := range []*[]string{&e.LookFor, &e.Kit, &e.Cautions, &e.Sources} {
		*list = s.list(*list)
	}
}

func (s *sharedTexts) text(text string) string {
	if seen, ok := s.texts[text]; ok {
		return seen
	}
	text = strings.Clone(text)
	s.texts[text] = text
	return text
}

func (s *sharedTexts) list(list []string) []string {
	if len(list) == 0 {
		return list
	}
	s.key = s.key[:0]
	for _, text := range list {
		s.key = append(append(s.key, text...), 0)
	}
	if seen, ok := s.lists[string(s.key)]; ok {
		return seen
	}
	kept := make([]string, len(list))
	for i, text := range list {
		kept[i] = s.text(text)
	}
	s.lists[string(s.key)] = kept
	return kept
}
