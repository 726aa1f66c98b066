package build_test

import (
	"reflect"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/phenology"
	"treewhen/phenology/traits"
)

// What a schedule of thousands of sites keeps of each holds nothing of what was summed up there: megabytes a site.
func TestWorkKeptHoldsNoOutlook(t *testing.T) {
	s := buildtest.Schedule(wholeLibrary(calendar.Activities()...))
	work := &calendar.Work{Entries: s.Entries, Accounts: s.Accounts, Notes: s.Notes}
	work.Lighten(calendar.KeepDetails)
	heavy := map[reflect.Type]bool{
		reflect.TypeFor[phenology.Outlook](): true, reflect.TypeFor[phenology.Temperatures](): true,
		reflect.TypeFor[traits.Watch](): true, reflect.TypeFor[traits.Separator](): true,
		reflect.TypeFor[traits.Spell](): true,
	}
	seen := map[uintptr]bool{}
	var walk func(v reflect.Value, path string)
	walk = func(v reflect.Value, path string) {
		if heavy[v.Type()] {
			t.Errorf("found %s behind %s", v.Type(), path)
			return
		}
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() && !seen[v.Pointer()] {
				seen[v.Pointer()] = true
				walk(v.Elem(), path)
			}
		case reflect.Interface:
			if !v.IsNil() {
				walk(v.Elem(), path+"("+v.Elem().Type().String()+")")
			}
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i), path+"[]")
			}
		case reflect.Map:
			for it := v.MapRange(); it.Next(); {
				walk(it.Value(), path+"{}")
			}
		}
	}
	for _, e := range work.Entries {
		walk(reflect.ValueOf(e), string(e.Task))
	}
	walk(reflect.ValueOf(work.Accounts), "accounts")
	walk(reflect.ValueOf(work.Notes), "notes")
}
