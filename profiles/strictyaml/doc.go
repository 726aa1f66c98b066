// Package strictyaml reads one YAML document the way a careful clerk reads a form: it takes what is plainly meant and
// asks about everything else, with the file and the line.
//
// A reader walks the document with cursors instead of handing it a struct:
//
//	doc, err := strictyaml.Parse(r, "plan.yaml")
//	if err != nil {
//		return err // no YAML, too big, too deep, empty: nothing can be read from it
//	}
//	m := doc.Map()
//	m.Required("title", "sites")
//	title, _ := m.Text("title")
//	sites, _ := m.Maps("sites")
//	for _, site := range sites {
//		site.Required("id", "latitude")
//		lat, ok := site.FloatIn("latitude", -90, 90)
//		...
//		site.Done()
//	}
//	m.Done() // every key that nobody asked for is now a problem
//	return doc.Err() // everything wrong with the file, by line
//
// Every getter returns a value and whether there is one. It returns false when the key is absent, and also when the
// value is of the wrong kind; in the second case the problem has been noted, so that a reader only has to ask whether
// it has something to go on with. [Map.Has] tells the two apart.
//
// # What is refused
//
//   - anything after the first document, and a document that is no map
//   - more than [MaxSize] bytes, nesting deeper than [MaxDepth], text that is not UTF-8, control characters
//   - anchors, aliases, merge keys and explicit tags: a file says what it means where it says it
//   - a key twice in one map, a key that nobody asked for (the nearest known one is offered), a key that is no text
//   - null, ~ and an empty value: a key without a value should be left out
//   - a fraction where a whole number is wanted, even 3.0
//   - numbers with leading zeros: YAML 1.1 reads 010 as eight, YAML 1.2 as ten, and people mean ten
//   - hexadecimal, octal and binary numbers, underscores in numbers, infinity and not-a-number
//   - a number in quotes where a number is wanted; where text is wanted, a number is taken as it is written
//   - yes, no, on and off for true and false
//   - a quantity without its unit
//
// The time taken is linear in the size of the document, whatever is in it.
package strictyaml
