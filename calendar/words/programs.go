package words

import "treewhen/calendar/phrase"

// Program is a calendar program, and what it does with a calendar that it subscribes to.
type Program struct {
	Name    string
	How     string // to subscribe
	Fetches string // how often it fetches the calendar
	Rings   string // whether alarms of the calendar ring in it
}

// ProgramsIn is what is known of calendar programs, in a plan's language.
func ProgramsIn(as phrase.Speech) []Program {
	return in(as, Programs, frenchPrograms)
}

// Programs is what is known of calendar programs, as of November 2026: by their makers' help and their own code where
// there is any, else by what people report of them; what is from memory says so.
var Programs = []Program{
	{
		"Google Calendar", "on a computer: Other calendars, +, From URL; wants https",
		"every 12 to 24 hours and more, whatever the calendar asks for",
		"no; its settings for the calendar can notify of every event (from memory)",
	},
	{
		"Outlook.com, new Outlook, Microsoft 365", "Add calendar, Subscribe from web; wants https",
		"every 3 hours to a day and more", "no (from memory)",
	},
	{
		"Outlook, classic", "Add Calendar, From Internet",
		"as it starts, then every 1 to 3 hours, no oftener than the calendar asks for", "no",
	},
	{
		"Apple Calendar on a Mac", "File, New Calendar Subscription; location iCloud, to have it on the telephone",
		"every 5 minutes to every week, as you choose", "once Remove Alerts is unticked",
	},
	{
		"iPhone, iPad", "tap subscribe; or Settings, Apps, Calendar, Calendar Accounts, Add Account, Other",
		"by Fetch New Data", "once Remove Alarms is switched off (from memory)",
	},
	{"Thunderbird", "New Calendar, On the Network", "every 30 minutes, or as you set it",
		"yes, with Show Reminders on"},
	{
		"Nextcloud", "New calendar, New subscription from link",
		"as the calendar asked for when it was subscribed to, else weekly",
		"no: it takes alarms out unless told otherwise",
	},
	{"ICSx5 on Android", "+, or tap subscribe", "as you set it", "yes"},
	{
		"Proton, Fastmail", "Settings, Calendars, from a URL", "every 4 to 16 hours; every hour",
		"only reminders of its own (from memory)",
	},
}
