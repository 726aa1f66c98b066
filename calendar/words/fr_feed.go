package words

import (
	"strings"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
)

// frenchLabels are the words around what a [Text] says, in French. Titles have forty letters at most.
var frenchLabels = Labels{
	Basis: "D'après\u00a0: ", TakeCare: "Prudence\u00a0: ",
	Booked:  "Réservé\u00a0: ce jour reste, quoi que fasse la saison.",
	Settled: "Définitif\u00a0: la météo à venir n'y changera rien.",
	Moved:   [3]string{"Changé ", "; avant\u00a0: ", "."},
	AnyDay:  [3]string{"Peut se faire du ", " au ", "."},
	OfBest:  "Au mieux\u00a0: ", Cancelled: "Annulé\u00a0: ",
	NoLonger:   [2]string{"N'est plus attendu, depuis le ", ". Ici se trouvait\u00a0: "},
	Categories: map[calendar.Activity]string{calendar.Tapping: "Entaillage"},
	DayForm:    "lun. 2 janv. 2006", NoLongerOn: "2 janvier 2006",
}

// frenchCancelled is [Labels.CancelledTitle] in French: where there is no room, what follows a colon is left out.
func frenchCancelled(title string) string {
	at := strings.LastIndex(title, french.Colon)
	if at > 0 && utf8.RuneCountInString(frenchLabels.Cancelled+title) > room {
		title = title[:at]
	}
	if !strings.Contains(title, french.Colon) { // else a site's short name begins it
		title = phrase.Uncapital(title)
	}
	return frenchLabels.Cancelled + title
}
