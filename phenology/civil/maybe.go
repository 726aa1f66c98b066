package civil

// Maybe is a date, or none where it is not known. The zero Maybe is none.
type Maybe struct {
	date  Date
	known bool
}

// Some returns a Maybe that is d.
func Some(d Date) Maybe { return Maybe{d, true} }

// Known reports whether there is a date.
func (m Maybe) Known() bool { return m.known }

// Get returns the date, and whether there is one.
func (m Maybe) Get() (Date, bool) { return m.date, m.known }

// Or returns the date, or d if there is none.
func (m Maybe) Or(d Date) Date {
	if !m.known {
		return d
	}
	return m.date
}

// MarshalText writes the date, or nothing where there is none; JSON's omitzero leaves such a field out.
func (m Maybe) MarshalText() ([]byte, error) {
	if !m.known {
		return nil, nil
	}
	return m.date.MarshalText()
}
