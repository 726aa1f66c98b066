package words

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// PageFrame are the words of a page around what is told on it. Those that hold a % are forms of package fmt. No field
// is
// empty, in any language.
type PageFrame struct {
	Lang                                              string // RFC 5646
	Skip, AllSites, ForTheWall, Next, Crew            string
	Many, ManyMoved, ManyStill, ByName                string
	Calendar, InFull, MoreNotes, AnyDay               string
	BestDay, BasedOn, Why, WhyDays, LookFor, Bring    string
	Sources                                           string
	Subscribe, Address, Copy                          string // on buttons
	SubscribeTo, AddressOf, CopyOf, Scan, Code        string
	Copied, CannotCopy                                string
	Everything                                        string
	Runs, RunsOf                                      string
	ShareColumns                                      [4]string
	RunColumns                                        [5]string
	Year, YearHow, IsAlarm, Hatched                   string
	Dates, DatesAt, Undated, Left                     string
	DateColumns                                       [6]string
	Moved, SinceYesterday, SinceLastWeek              string
	OthersMoved                                       [2]string // one, more
	MovedOthersOnly                                   string
	Spring, SpringHow, InWords, Alone                 string
	Temperatures, Marks, RunsByDate                   string
	OpenNow, Ahead, NothingDue, MoreWork, Entries     string
	OnCalendar, HowToSubscribe, TakeCare              string
	Subscribing, Copies, Program                      string
	Until, Estimates                                  string
	Today, YearOf, SpringOf, Weather, Heat, Likeliest string
	Best                                              string
	NothingMoved, NothingToCompare                    string
	Map, SameDays, OneEntry, SpringFoot               string
	AlsoNow, Then                                     string
}

// FeedName names a feed of a site; "" is that of all activities.
func FeedName(site string, a calendar.Activity, as phrase.Speech) string {
	switch {
	case a == "":
		return fmt.Sprintf(PageFrameIn(as).Everything, site)
	case isFrench(as):
		return "Entaillage, " + site
	}
	return phrase.Capital(a.Title()) + " at " + site
}

// ActivityName names an activity beside the name of a site.
func ActivityName(a calendar.Activity, as phrase.Speech) string {
	return in(as, a.Title(), "entaillage")
}

// SpringTitle is the title of a picture of a spring.
func SpringTitle(site string, year int, asOf civil.Date, as phrase.Speech) string {
	l := tongue{as}
	if site == "" {
		return l.say("Spring %d, as of %s", "printemps %d, en date du %s", year, l.day(asOf))
	}
	return l.say("%s, spring %d, as of %s", "%s, printemps %d, en date du %s", site, year, l.day(asOf))
}

// PageFrameIn returns the words in a plan's language.
func PageFrameIn(as phrase.Speech) *PageFrame {
	return in(as, &pageFrame, &frenchPageFrame)
}

var pageFrame = PageFrame{
	Lang: "en", Skip: "Skip to the sites", AllSites: "All sites", Next: "Sites, and what is next",
	Crew: "One crew for all bushes", ForTheWall: "The year, to print for the wall",
	Many: "%d sites, what is next first", ManyMoved: "At %d of them work has moved since last week.",
	ManyStill: "No work is known to have moved since last week.", ByName: "By name", Calendar: "calendar",
	InFull: "A site in full: give its id with --site.", MoreNotes: "%d more notes on this schedule",
	AnyDay:  "any day %s",
	BestDay: "Best day: ", BasedOn: "Based on: ", Why: "Why, and what to look for", WhyDays: "Why these days",
	LookFor: "Look for",
	Bring:   "Bring", Sources: "Sources",
	Subscribe: "subscribe", Address: "address", Copy: "copy", SubscribeTo: "Subscribe: %s",
	AddressOf: "Address of the feed: %s",
	CopyOf:    "Copy the address: %s", Scan: "Point a telephone’s camera here to subscribe to everything at this site.",
	Code: "QR code of the calendar of %s", Copied: "copied",
	CannotCopy: "This browser does not let the page copy. The address is ", Everything: "Everything at %s",
	ShareColumns: [4]string{"begin drilling", "of run days", "hours", "of the best day’s catch"},
	Runs:         "Runs of sap", RunsOf: "Runs: %s",
	RunColumns: [5]string{"run", "hours", "size", "known by", "may bring"},
	Year:       "The year, day by day",
	YearHow: "Height is chance: what fills its row is certain. A pin is the best day, full once nothing can " +
		"move it;",
	IsAlarm: "is an alarm", Hatched: "; hatched days are closed",
	Dates: "The dates behind it as a table", DatesAt: "Dates at %s", Undated: "What could not be dated",
	Left:        "%d more species of the library are not drawn; name those that matter here in the plan.",
	DateColumns: [6]string{"species", "what", "1 year in 10", "middle", "9 in 10", "rests on"},
	Moved:       "What moved", SinceYesterday: "since yesterday", SinceLastWeek: "since last week",
	OthersMoved:     [2]string{"1 other entry has moved", "%d other entries have moved"},
	MovedOthersOnly: "%s since last week, not this.",
	Spring:          "This spring against the years",
	SpringHow:       "Each dot is a past year’s day; the bar holds this year’s in 8 years of 10.",
	InWords:         "The same in words",
	Alone:           "This picture by itself, to pass on", Temperatures: "This season’s temperatures",
	Marks:      "marks them.",
	RunsByDate: "Run days by date", OpenNow: "Open now", Ahead: "The work ahead", NothingDue: "Nothing more is due.",
	MoreWork: "%d more pieces of work come after these; they are in the calendars.", Entries: "%d entries",
	OnCalendar: "On your calendar", HowToSubscribe: "How to subscribe, program by program", TakeCare: "Take care",
	Subscribing: "Subscribing, and what rings",
	Copies: "A calendar that is imported is a copy and stays as it is: subscribe to its address, which “address” " +
		"shows and “copy” copies. In most programs the alarms of a calendar that is subscribed to do not ring.",
	Program: "%s. Fetched %s. Rings: %s.",
	Until: "Work until %s. A chance says how likely it is that what the work waits for is there on its best day. " +
		"Shares are of the season’s run days, or of a wish list. Dates move as the season unfolds, and the " +
		"calendars move with them.",
	Estimates: "These are estimates. Local rules, landowners and licensed practice come first.",
	Today:     "today", YearOf: "The year at %s, %s to %s", SpringOf: "This spring at %s against %s: %s",
	Weather:   "Daily temperatures at %s, %s to %s, against other years",
	Heat:      "Heat gathered: this spring bold, past years thin",
	Likeliest: "%s, likeliest %s (%s)", Best: "best %s", NothingMoved: "Nothing has moved since last week.",
	NothingToCompare: "No earlier calendar to tell moves by.", Map: "Map of the sites; the list has the same",
	SameDays: "The lists below have the same days.", OneEntry: "1 entry",
	SpringFoot: "Bar: 8 years in 10. Dots: past years. Dashed: today.", AlsoNow: "also now: ", Then: "then %s: ",
}

var frenchPageFrame = PageFrame{
	Lang: "fr-CA", Skip: "Aller aux sites", AllSites: "Tous les sites", Next: "Les sites, et ce qui vient",
	Crew: "Une seule équipe pour toutes les érablières", ForTheWall: "L'année, à imprimer pour le mur",
	Many:      "%d sites, le plus pressé d'abord",
	ManyMoved: "Le travail a changé de jour à %d d'entre eux depuis la semaine dernière.",
	ManyStill: "Aucun travail n'a changé de jour, à ce qu'on sait, depuis la semaine dernière.", ByName: "Par nom",
	Calendar: "calendrier", InFull: "Un site en entier\u00a0: donnez son id avec --site.",
	MoreNotes: "%d autres notes sur ce calendrier", AnyDay: "n'importe quel jour, %s",
	BestDay: "Au mieux\u00a0: ", BasedOn: "D'après\u00a0: ", Why: "Pourquoi, et ce qu'il faut surveiller",
	WhyDays: "Pourquoi ces jours", LookFor: "À surveiller", Bring: "À apporter", Sources: "Sources",
	Subscribe: "s'abonner", Address: "adresse", Copy: "copier", SubscribeTo: "S'abonner\u00a0: %s",
	AddressOf: "Adresse du calendrier\u00a0: %s", CopyOf: "Copier l'adresse\u00a0: %s",
	Scan:   "Visez ici avec l'appareil photo d'un téléphone pour vous abonner à tout ce site.",
	Code:   "Code QR du calendrier, %s",
	Copied: "copié", CannotCopy: "Ce navigateur ne permet pas de copier. L'adresse est ",
	Everything:   "Tout, %s",
	ShareColumns: [4]string{"début", "des journées de coulée", "heures", "de la récolte du meilleur jour"},
	Runs:         "Coulées", RunsOf: "Coulées\u00a0: %s",
	RunColumns: [5]string{"coulée", "heures", "ampleur", "connue par", "peut donner"},
	Year:       "L'année, jour par jour",
	YearHow: "La hauteur est la chance\u00a0: ce qui remplit sa ligne est certain. L'épingle est le meilleur jour, " +
		"pleine quand plus rien ne peut le changer;",
	IsAlarm: "est un rappel", Hatched: "; les jours hachurés sont fermés",
	Dates: "Les dates en tableau", DatesAt: "Dates, %s", Undated: "Ce qui n'a pu être daté",
	Left:        "%d autres essences ne sont pas dessinées; nommez au plan celles qui comptent ici.",
	DateColumns: [6]string{"essence", "quoi", "1 année sur 10", "milieu", "9 sur 10", "d'après"},
	Moved:       "Ce qui a changé", SinceYesterday: "depuis hier", SinceLastWeek: "depuis la semaine dernière",
	OthersMoved:     [2]string{"1 autre travail a changé de jour", "%d autres travaux ont changé de jour"},
	MovedOthersOnly: "%s depuis la semaine dernière, pas celui-ci.",
	Spring:          "Ce printemps parmi les années",
	SpringHow: "Chaque point est le jour d'une année passée; la barre contient celui de cette année 8 fois " +
		"sur 10.",
	InWords: "La même chose en mots", Alone: "Cette image seule, à transmettre",
	Temperatures: "Températures de cette saison",
	Marks:        "les marque.", RunsByDate: "Journées de coulée par date", OpenNow: "À faire en ce moment",
	Ahead:      "Le travail à venir",
	NothingDue: "Il n'y a plus rien à faire.", MoreWork: "%d autres travaux suivent; ils sont dans les calendriers.",
	Entries: "%d travaux", OnCalendar: "Dans votre calendrier",
	HowToSubscribe: "Comment s'abonner, programme par programme",
	TakeCare:       "Prudence", Subscribing: "S'abonner, et ce qui sonne",
	Copies: "Un calendrier importé est une copie et reste tel quel\u00a0: abonnez-vous à son adresse, que " +
		"«\u00a0adresse\u00a0» montre et que «\u00a0copier\u00a0» copie. Dans la plupart des programmes, les rappels " +
		"d'un calendrier auquel on s'abonne ne sonnent pas.",
	Program: "%s. Mise à jour\u00a0: %s. Rappels\u00a0: %s.",
	Until: "Travail jusqu'au %s. Les chances disent si ce que le travail attend sera là au meilleur jour. Les parts " +
		"sont celles des journées de coulée de la saison. Les dates changent au fil de la saison, et les " +
		"calendriers suivent.",
	Estimates: "Ce sont des estimations. Les règles de votre région, les propriétaires et l'avis des gens " +
		"du métier priment.",
	Today: "ce jour", YearOf: "L'année, %s, de %s à %s", SpringOf: "Ce printemps, %s, parmi %s\u00a0: %s",
	Weather:   "Températures quotidiennes, %s, du %s au %s, parmi d'autres années",
	Heat:      "Chaleur cumulée\u00a0: ce printemps en gras, années passées en fin",
	Likeliest: "%s, surtout le %s (%s)", Best: "au mieux %s",
	NothingMoved:     "Rien n'a changé depuis la semaine dernière.",
	NothingToCompare: "Pas de calendrier antérieur pour juger des changements.",
	Map:              "Carte des sites; la liste dit la même chose",
	SameDays:         "Les listes plus bas ont les mêmes jours.", OneEntry: "1 travail",
	SpringFoot: "Barre\u00a0: 8 années sur 10. Points\u00a0: années passées. Pointillé\u00a0: ce jour.",
	AlsoNow:    "aussi en ce moment\u00a0: ",
	Then:       "puis le %s\u00a0: ",
}
