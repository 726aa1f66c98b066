package strictyaml

import (
	"regexp"
	"strconv"
	"sync"
)

// numeral is a way to write numbers.
type numeral[T any] struct {
	name, example string
	form          func() *regexp.Regexp
	parse         func(string) (T, error) // of what has that form; it fails where the number is too large
}

var (
	decimal = numeral[float64]{"a number", "12.5", compiled(`^[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?$`),
		func(s string) (float64, error) { return strconv.ParseFloat(s, 64) }}
	whole = numeral[int]{"a whole number", "12", compiled(`^[-+]?\d+$`),
		func(s string) (int, error) {
			n, err := strconv.ParseInt(s, 10, 32)
			return int(n), err
		}}
	leadingZero = compiled(`^[-+]?0\d`)
)

// compiled returns what compiles an expression once, when it is first asked for.
func compiled(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}

// read reads a number, and says what is wanted instead if it is none.
func (n numeral[T]) read(s string) (number T, want string) {
	if !n.form().MatchString(s) {
		return number, n.name + " such as " + n.example
	}
	if leadingZero().MatchString(s) {
		return number, n.name + " without leading zeros"
	}
	number, err := n.parse(s)
	if err != nil {
		return number, n.name + " that is not as large"
	}
	return number, ""
}

// numeric returns the value as a number.
func numeric[T any](v Value, n numeral[T]) (number T, ok bool) {
	s, ok := v.scalar(n.name + " such as " + n.example)
	if !ok {
		return number, false
	}
	if quoted(v.node) {
		v.want(n.name + " without quotes")
		return number, false
	}
	number, want := n.read(s)
	if want != "" {
		v.Report("found %s, want %s", clip(s), want)
		return number, false
	}
	return number, true
}
