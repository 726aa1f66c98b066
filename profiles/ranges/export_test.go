package ranges

// Species returns the ids of all species whose range is known, in alphabetical order.
func Species() []string { return table().species }
