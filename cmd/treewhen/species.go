package main

import (
	"bufio"
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/inputs"
	"treewhen/calendar/text"
	"treewhen/phenology"
)

var speciesCommand = command{
	name: "species", args: "[NAME...] [options]",
	summary: "what is known of a species, with each figure's source",
	about:   "Without a name, it lists the species of the library. A name is a binomial, its slug or a common name.",
	setup: func(fs *pflag.FlagSet) action {
		var dir, out string
		addProfiles(fs, &dir)
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			lib, err := inputs.Library(dir)
			if err != nil {
				return err
			}
			var chosen []*phenology.Species
			for _, name := range args {
				sp, err := lib.Find(name)
				if err != nil {
					return err
				}
				chosen = append(chosen, sp)
			}
			return p.output(ctx, out, nil, func(w io.Writer) error {
				if len(args) == 0 {
					return listSpecies(w, lib.All())
				}
				for i, sp := range chosen {
					if i > 0 {
						fmt.Fprintln(w)
					}
					if err := text.WriteSpecies(w, sp); err != nil {
						return err
					}
				}
				return nil
			})
		}
	},
}

// speciesWidth is the width of the list of species, in columns.
const speciesWidth = 100

// speciesGroups are the headings of the list of species, each with its families; the last has all others.
var speciesGroups = []struct{ heading, families string }{
	{"MAPLES AND BUCKEYES", "Sapindaceae"},
	{"BIRCHES, ALDERS, HAZELS, HORNBEAMS", "Betulaceae"},
	{"OAKS, BEECH, CHESTNUT", "Fagaceae"},
	{"HICKORIES AND WALNUTS", "Juglandaceae"},
	{"POPLARS AND WILLOWS", "Salicaceae"},
	{"ASHES", "Oleaceae"},
	{"CHERRIES, HAWTHORNS, SERVICEBERRIES", "Rosaceae"},
	{"DOGWOODS AND TUPELOS", "Cornaceae Nyssaceae"},
	{"CONIFERS", "Pinaceae Cupressaceae Taxaceae"},
	{"OTHERS", ""},
}

// listSpecies writes a line for each species, or two where the phases of its temperatures are many, group by group.
func listSpecies(w io.Writer, all []*phenology.Species) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "%-26s %-22s %-10s %s\n", "species", "name", "tapped", "dated from temperatures")
	listed := map[*phenology.Species]bool{}
	for _, g := range speciesGroups {
		first := true
		for _, sp := range all {
			of := g.families == "" || slices.Contains(strings.Fields(g.families), sp.Family)
			if listed[sp] || !of {
				continue
			}
			if first {
				fmt.Fprintf(b, "\n%s\n", g.heading)
			}
			first, listed[sp] = false, true
			listOne(b, sp)
		}
	}
	return b.Flush()
}

func listOne(b *bufio.Writer, sp *phenology.Species) {
	var dated []string
	for _, r := range sp.Phases {
		if r.Model != nil && slices.ContainsFunc(r.Model.Models,
			func(m phenology.Model) bool { return m.Kind() != "lag" }) {
			dated = append(dated, r.Phase.String())
		}
	}
	phases := cmp.Or(strings.Join(dated, ", "), "-")
	head := fmt.Sprintf("%-26s %s %-10s ", sp.ID, text.Pad(sp.Name(), 22), sp.Sap.Tapped)
	columns := text.Width(head)
	for _, line := range wrap(phases, speciesWidth-columns) {
		fmt.Fprintln(b, head+line)
		head = strings.Repeat(" ", columns)
	}
}
