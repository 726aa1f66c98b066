package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

// functionsOf returns the functions in the files of this package that a pattern finds, without its tests.
func functionsOf(t *testing.T, pattern string) (list []*ast.FuncDecl) {
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				list = append(list, f)
			}
		}
	}
	return list
}

// calls returns a call with the name of what is called, of a package or a method without its qualifier.
func calls(n ast.Node) (*ast.CallExpr, string) {
	call, ok := n.(*ast.CallExpr)
	if !ok {
		return nil, ""
	}
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return call, f.Name
	case *ast.SelectorExpr:
		return call, f.Sel.Name
	}
	return nil, ""
}

// What tells of tapping, and of what a page or a feed with it shows, tells it in each language: a sentence that is added
// in English alone fails here.
func TestTappingIsSaidInEveryLanguage(t *testing.T) {
	sentence := regexp.MustCompile(`[a-z] [a-z%]|[a-z]{4} `)
	for _, pattern := range []string{"tapping*.go", "page_*.go", "basis.go", "lack.go", "doubts.go", "moved.go", "revision.go", "alerts.go"} {
		for _, f := range functionsOf(t, pattern) {
			asks, alone := false, ""
			ast.Inspect(f, func(n ast.Node) bool {
				if _, name := calls(n); name == "in" || name == "say" || name == "count" {
					return false
				}
				id, ok := n.(*ast.Ident)
				asks = asks || ok && id.Name == "isFrench"
				if lit, ok := n.(*ast.BasicLit); ok && sentence.MatchString(lit.Value) {
					alone = lit.Value
				}
				return true
			})
			if alone != "" && !asks {
				t.Errorf("%s says %s in English alone", f.Name.Name, alone)
			}
		}
	}
}

// The forms of a sentence in each language take the arguments that it is given, none more; go vet cannot tell.
func TestFormsTakeTheirArguments(t *testing.T) {
	verb := regexp.MustCompile(`%(?:\[(\d+)\])?[-+# 0]*\d*(?:\.\d+)?([a-zA-Z%])`)
	checked := 0
	for _, f := range functionsOf(t, "*.go") {
		ast.Inspect(f.Body, func(n ast.Node) bool {
			call, name := calls(n)
			if name != "say" {
				return true
			}
			for _, form := range call.Args[:2] {
				text, ok := constant(form)
				if !ok {
					continue
				}
				taken, most, indexed := 0, 0, false
				for _, v := range verb.FindAllStringSubmatch(text, -1) {
					if v[2] == "%" {
						continue
					}
					taken++
					if at, err := strconv.Atoi(v[1]); err == nil {
						indexed, most = true, max(most, at)
					}
				}
				checked++
				if args := len(call.Args) - 2; indexed && most > args || !indexed && taken != args {
					t.Errorf("%q takes %d arguments, is given %d", text, max(taken, most), args)
				}
			}
			return true
		})
	}
	if checked < 300 {
		t.Errorf("checked %d forms alone", checked)
	}
}

// constant returns a text that is put together from literals; what else is in it counts as "".
func constant(x ast.Expr) (string, bool) {
	switch x := x.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(x.Value)
		return text, err == nil
	case *ast.BinaryExpr:
		a, _ := constant(x.X)
		b, _ := constant(x.Y)
		return a + b, true
	}
	return "", false
}

// No word around seasons of sap, or in feeds, lacks in one of the languages.
func TestNoWordIsMissing(t *testing.T) {
	for _, in := range []any{sapFrame, frenchSapFrame, scheduleFrame, frenchScheduleFrame} {
		v := reflect.ValueOf(in)
		for i := range v.NumField() {
			if v.Field(i).IsZero() {
				t.Errorf("found no %s", v.Type().Field(i).Name)
			}
		}
	}
	for p := range phenology.Dormant + 1 {
		if frenchPhases[p].noun == "" {
			t.Errorf("found no French for %s", p)
		}
	}
}

// Every species that is tapped has a French name, and what is to be minded with it is French, as are its sources.
func TestTappedSpeciesInFrench(t *testing.T) {
	for _, sp := range profiles.Builtin().All() {
		if !tapping.Tappable(sp) {
			continue
		}
		if frenchTrees[sp.ID] == "" {
			t.Errorf("found no French for %s", sp.Name())
		}
		for _, c := range speciesCautions(sp, calendar.Tapping, phrase.Speech{}) {
			if frenchCaution(c.Text) == c.Text {
				t.Errorf("%s: found no French for the caution %q", sp.Name(), c.Text)
			}
		}
	}
}

// What a date of tapping can be cited from is told in French, wherever the place is.
func TestSourcesOfTappingInFrench(t *testing.T) {
	for _, sp := range profiles.Builtin().All() {
		if !tapping.Tappable(sp) {
			continue
		}
		sources := []phenology.Source{sp.Sap.Run.Source}
		for _, q := range []*phenology.Quantity{sp.Sap.SugarPercent, sp.Sap.PerTap} {
			if q != nil {
				sources = append(sources, q.Source)
			}
		}
		for _, p := range []phenology.Phase{phenology.SapStart, phenology.SapEnd, phenology.BudSwell,
			phenology.BudBreak} {
			r := sp.Phase(p)
			if r == nil {
				continue
			}
			for _, reference := range r.References {
				sources = append(sources, reference.Source)
			}
			if r.Model != nil {
				sources = append(sources, r.Model.Source)
			}
			if r.Months != nil {
				sources = append(sources, r.Months.Source)
			}
		}
		for _, s := range sources {
			if frenchSources[s.Key] == "" {
				t.Errorf("%s: found no French for %s: %s", sp.Name(), s.Key, s.Citation)
			}
		}
	}
}

// Articles go with their nouns.
func TestFrenchNames(t *testing.T) {
	for id, want := range map[string][2]string{
		"acer-saccharum":        {"l'érable à sucre", "de l'érable à sucre"},
		"betula-alleghaniensis": {"le bouleau jaune", "du bouleau jaune"},
		"juglans-nigra":         {"le noyer noir", "du noyer noir"},
	} {
		sp, err := profiles.Builtin().Find(id)
		if err != nil {
			t.Fatal(err)
		}
		if n := frenchTree(sp); n.the() != want[0] || n.of() != want[1] {
			t.Errorf("found %q, %q, want %q", n.the(), n.of(), want)
		}
	}
	own := frenchTree(&phenology.Species{ID: "quercus-mea", Botanical: "Quercus mea"})
	if own.the() != "le Quercus mea" {
		t.Errorf("found %q of a species of the user's own", own.the())
	}
	if n := frenchPhases[phenology.SapEnd]; n.of() != "de la fin de la coulée" {
		t.Errorf("found %q", n.of())
	}
}

// The verdicts as of 12 March 2027, one an advice and more where it is said in several ways.
func TestFrenchVerdicts(t *testing.T) {
	day := calendartest.Day
	on := func(s string) civil.Maybe { return civil.Some(day("2027-" + s)) }
	price := func(p tapping.Price) *tapping.Price { return &p }
	gravity := tapping.Hole{Collection: calendar.Gravity}
	for _, c := range []struct {
		facts tapping.TapFacts
		want  string // ~ is a no-break space
	}{
		{tapping.TapFacts{Advice: tapping.Wait, Price: price(tapping.Price{Later: on("03-14"), Waiting: 0.55,
			Today: 0.53})},
			"Attendez le dimanche 14 mars. En entaillant ce jour-là, vous aurez 55~% des journées de coulée de la " +
				"saison; le 12 mars, 53~%."},
		{tapping.TapFacts{Advice: tapping.Wait, Price: price(tapping.Price{RunFrom: on("03-08"), Waiting: 1,
			Today: 0.5})},
			"Attendez la première journée de coulée à partir du 7 mars; entaillez le lendemain matin. En entaillant " +
				"ce jour-là, vous aurez 100~% des journées de coulée de la saison; le 12 mars, 50~%."},
		{tapping.TapFacts{Advice: tapping.TapNow},
			"Entaillez le vendredi 12 mars. Attendre ne donnera sans doute pas plus."},
		{tapping.TapFacts{Advice: tapping.TapNow, Since: on("03-06")},
			"Pas encore entaillé? Allez-y~: c'est conseillé depuis le 6 mars. C'est fait? Notez le jour au plan " +
				"(tapped: 2027-03-12)."},
		{tapping.TapFacts{Advice: tapping.TapOrWait, Price: price(tapping.Price{Later: on("03-14")})},
			"Entaillez entre le 12 et le 14 mars, à votre choix~: l'écart est de moins de 2~% de la récolte."},
		{tapping.TapFacts{Advice: tapping.TapOrWait, Price: price(tapping.Price{RunFrom: on("03-15")})},
			"Entaillez le 12 mars ou le lendemain de la première journée de coulée à partir du 14 mars, à votre " +
				"choix~: l'écart est de moins de 2~% de la récolte."},
		{tapping.TapFacts{Advice: tapping.WaitAgain, TapDay: on("03-07"),
			Price: price(tapping.Price{Later: on("03-14"), Waiting: 0.55, Today: 0.53})},
			"Pas encore entaillé? Attendez le dimanche 14 mars. La situation a changé depuis le 7 mars. En " +
				"entaillant ce jour-là, vous aurez 55~% des journées de coulée de la saison; le 12 mars, 53~%. " +
				"C'est fait? Notez le jour au plan (tapped: 2027-03-07)."},
		{tapping.TapFacts{Advice: tapping.TakenDone, TapDay: on("03-03"), TapDayAdvised: true,
			Price: price(tapping.Price{Today: 0.89})},
			"Hypothèse~: entaillé le 3 mars, premier jour conseillé. Sinon, entailler le 12 mars donne encore 89~% " +
				"des journées de coulée. C'est fait? Notez le jour au plan (tapped: 2027-03-03)."},
		{tapping.TapFacts{Advice: tapping.TakenDone, TapDay: on("03-03"), SapSeen: on("03-04")},
			"Vous avez vu couler l'eau le 4 mars. Hypothèse~: entaillé le 3 mars. C'est fait? Notez le jour au plan " +
				"(tapped: 2027-03-03)."},
		{tapping.TapFacts{Advice: tapping.TooLate, Price: price(tapping.Price{Gone: 0.86})},
			"Trop tard pour entailler~: environ 86~% des journées de coulée étaient passées le 12 mars."},
		{tapping.TapFacts{Advice: tapping.NoRecord,
			Start: tapping.Spread{P10: day("2027-02-24"), P90: day("2027-03-26")}},
			"Sans relevés, pas de jour d'entaillage. Ici, la coulée commence entre le 24 février et le 26 mars, 8 " +
				"années sur 10. Préparez-vous et entaillez d'après les prévisions."},
		{tapping.TapFacts{Advice: tapping.PlanAhead, Evidence: tapping.Evidence{Years: 21},
			Price: price(tapping.Price{Best: day("2027-03-13"), CountedFrom: day("2027-01-01")})},
			"Prévoyez d'entailler vers le 13 mars (21 années passées). À partir du 1er janvier, la date suit la " +
				"météo."},
		{tapping.TapFacts{Advice: tapping.Tapped, TapDay: on("03-05"), Hole: gravity,
			Fading: &tapping.Fading{Well: day("2027-04-20"), Half: day("2027-05-14"), Dry: day("2027-06-07")}},
			"Entaillé le 5 mars. Hypothèse~: bon débit jusqu'au 20 avril, moitié le 14 mai, à sec le 7 juin (par " +
				"gravité)."},
		{tapping.TapFacts{Advice: tapping.Over}, "Il ne reste rien à gagner à entailler cette saison."},
	} {
		c.facts.AsOf = day("2027-03-12")
		want := strings.ReplaceAll(c.want, "~", "\u00a0")
		if got := TapVerdict(&c.facts, phrase.Speech{Language: phrase.French}); got != want {
			t.Errorf("%s:\nfound %s\nwant  %s", c.facts.Advice, got, want)
		}
	}
}
