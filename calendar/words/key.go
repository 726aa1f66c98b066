package words

import (
	"strconv"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/traits"
)

// KeyAnswer is one answer of a key's question.
type KeyAnswer struct {
	Number string // of the question; "" of its second answer
	Text   string
	To     string // the number of the next question, or what the tree is
	Ends   bool   // it is the tree
}

// Key says a key, an answer a line, two to a question.
func Key(k *traits.Key, as phrase.Speech) (list []KeyAnswer) {
	for i, q := range k.Questions {
		for side, answer := range q.Sides {
			a := KeyAnswer{Text: phrase.Capital(Trait(&answer.Seen, as)), Ends: answer.Next == 0}
			if q.Doubt == traits.Shade {
				a.Text += " (look twice: the answers are close)"
			}
			if answer.Seen.NeedsHandling {
				a.Text += " (the leader shows it)"
			}
			if side == 0 {
				a.Number = strconv.Itoa(i + 1)
			}
			if a.To = strconv.Itoa(answer.Next + 1); a.Ends {
				a.To = eitherOf(answer.Species)
			}
			list = append(list, a)
		}
	}
	return list
}

// KeyEnds says where a key's questions stop short; "" if they reach every species alone.
func KeyEnds(k *traits.Key) string {
	if len(k.Left) == 0 {
		return ""
	}
	return "Our tables hold nothing to ask further that day: " + phrase.Clauses(each(k.Left, eitherOf))
}

func eitherOf(species []*phenology.Species) string {
	return strings.Join(each(species, (*phenology.Species).Name), " or ")
}
