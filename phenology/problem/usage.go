package problem

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// Usage is something asked for that cannot be had: an option's value, not a file, is to blame. Text says what was found
// and what is wanted, and names the option as a user types it.
type Usage struct {
	Text string
	Hint string // what to do about it; may be ""
}

// Error gives the text, without the hint.
func (u Usage) Error() string { return u.Text }

// Usagef returns a [Usage] without a hint; text is as in [fmt.Sprintf].
func Usagef(text string, args ...any) error { return Usage{Text: fmt.Sprintf(text, args...)} }

// OfFile rewords an error of the file system as "PATH: what", without the name of the system call. Other errors stay as
// they are.
func OfFile(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return fmt.Errorf("%s: %w", path.Path, path.Err)
	}
	return err
}

// Names joins names with commas, at most so many of them, and says how many more there are.
func Names(names []string, most int) string {
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}
