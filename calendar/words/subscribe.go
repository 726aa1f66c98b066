package words

// Subscribing is how to subscribe to a feed in one calendar program.
type Subscribing struct {
	Program string
	Do      string // the steps
	Rings   string // how soon changes come, and whether the feed's alarms ring
}

// SubscribingSteps are for the calendar programs that people have. They are from the programs' own help and from publishers'
// pages of 2026; where menus move, the words in them stay long.
var SubscribingSteps = []Subscribing{
	{"iPhone, iPad", "Tap “subscribe” above, or scan the code. By hand: Settings > Apps > Calendar > Calendar Accounts > " +
		"Add Account > Other > Add Subscribed Calendar.", "Alarms ring once “Remove alarms” is off. Fetched as Fetch New Data says."},
	{"Mac", "Calendar: File > New Calendar Subscription; paste the address; choose iCloud as its location to have it on the " +
		"telephone too.", "Alarms ring once “Remove alerts” is unticked. Set auto-refresh to every day."},
	{"Google Calendar", "On a computer: Other calendars + > From URL; paste the https address; Add calendar. It then shows on the " +
		"telephone too.", "Ignores the feed’s alarms: set notifications in the calendar’s own settings. Changes take 8 to 24 hours, or more."},
	{"Outlook, new and on the web", "Add calendar > Subscribe from web; paste the https address.",
		"Ignores the feed’s alarms. Changes take 3 to 24 hours."},
	{"Outlook, classic", "Add Calendar > From Internet; paste the address.", "Does not show the feed’s alarms. Changes come at start and then in some hours."},
	{"Thunderbird", "New Calendar > On the Network; paste the address.", "Alarms ring with Properties > Show reminders. Every 30 minutes."},
	{"Android", "Install ICSx5 from an app store, tap + or “subscribe” above. Or use Google Calendar on a computer.",
		"ICSx5 keeps the feed’s alarms; set in it how often to fetch."},
	{"Nextcloud", "Calendar: New calendar > New subscription from link.", "Takes alarms out unless its owner lets them in. Once a day."},
	{"Proton Calendar", "Settings > Calendars > Other calendars > Add calendar from URL.", "Its own reminders only. Changes take 4 to 16 hours."},
	{"Fastmail", "Settings > Calendars > Subscribe to a calendar; paste the address.", "Its own reminders only. Every hour or so."},
}
