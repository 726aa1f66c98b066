package gazetteer

// Region is a state, province or territory.
type Region struct {
	Country string // ISO 3166-1 alpha-2: US, CA or MX
	Code    string // as on letters: VT, QC; for Mexico ISO 3166-2's: CHH
	Name    string // as its own people write it, without the words "state of"
	Source  string // the code that GeoNames has for it
}

// key names the region in a table: US-VT.
func (r *Region) key() string { return r.Country + "-" + r.Code }

// Regions returns every region of the three countries, by country and code.
func Regions() []Region { return regions }

// Codes: of the United States and Canada the postal abbreviations, of Mexico ISO 3166-2:MX. Both from memory; the tests
// hold each to a town that lies in it.
var regions = []Region{
	{"CA", "AB", "Alberta", "01"}, {"CA", "BC", "British Columbia", "02"}, {"CA", "MB", "Manitoba", "03"},
	{"CA", "NB", "New Brunswick", "04"}, {"CA", "NL", "Newfoundland and Labrador", "05"},
	{"CA", "NS", "Nova Scotia", "07"}, {"CA", "NT", "Northwest Territories", "13"}, {"CA", "NU", "Nunavut", "14"},
	{"CA", "ON", "Ontario", "08"}, {"CA", "PE", "Prince Edward Island", "09"}, {"CA", "QC", "Québec", "10"},
	{"CA", "SK", "Saskatchewan", "11"}, {"CA", "YT", "Yukon", "12"},

	{"MX", "AGU", "Aguascalientes", "01"}, {"MX", "BCN", "Baja California", "02"},
	{"MX", "BCS", "Baja California Sur", "03"}, {"MX", "CAM", "Campeche", "04"}, {"MX", "CHH", "Chihuahua", "06"},
	{"MX", "CHP", "Chiapas", "05"}, {"MX", "CMX", "Ciudad de México", "09"}, {"MX", "COA", "Coahuila", "07"},
	{"MX", "COL", "Colima", "08"}, {"MX", "DUR", "Durango", "10"}, {"MX", "GRO", "Guerrero", "12"},
	{"MX", "GUA", "Guanajuato", "11"}, {"MX", "HID", "Hidalgo", "13"}, {"MX", "JAL", "Jalisco", "14"},
	{"MX", "MEX", "México", "15"}, {"MX", "MIC", "Michoacán", "16"}, {"MX", "MOR", "Morelos", "17"},
	{"MX", "NAY", "Nayarit", "18"}, {"MX", "NLE", "Nuevo León", "19"}, {"MX", "OAX", "Oaxaca", "20"},
	{"MX", "PUE", "Puebla", "21"}, {"MX", "QUE", "Querétaro", "22"}, {"MX", "ROO", "Quintana Roo", "23"},
	{"MX", "SIN", "Sinaloa", "25"}, {"MX", "SLP", "San Luis Potosí", "24"}, {"MX", "SON", "Sonora", "26"},
	{"MX", "TAB", "Tabasco", "27"}, {"MX", "TAM", "Tamaulipas", "28"}, {"MX", "TLA", "Tlaxcala", "29"},
	{"MX", "VER", "Veracruz", "30"}, {"MX", "YUC", "Yucatán", "31"}, {"MX", "ZAC", "Zacatecas", "32"},

	{"US", "AK", "Alaska", "AK"}, {"US", "AL", "Alabama", "AL"}, {"US", "AR", "Arkansas", "AR"},
	{"US", "AZ", "Arizona", "AZ"}, {"US", "CA", "California", "CA"}, {"US", "CO", "Colorado", "CO"},
	{"US", "CT", "Connecticut", "CT"}, {"US", "DC", "District of Columbia", "DC"}, {"US", "DE", "Delaware", "DE"},
	{"US", "FL", "Florida", "FL"}, {"US", "GA", "Georgia", "GA"}, {"US", "HI", "Hawaii", "HI"},
	{"US", "IA", "Iowa", "IA"}, {"US", "ID", "Idaho", "ID"}, {"US", "IL", "Illinois", "IL"},
	{"US", "IN", "Indiana", "IN"}, {"US", "KS", "Kansas", "KS"}, {"US", "KY", "Kentucky", "KY"},
	{"US", "LA", "Louisiana", "LA"}, {"US", "MA", "Massachusetts", "MA"}, {"US", "MD", "Maryland", "MD"},
	{"US", "ME", "Maine", "ME"}, {"US", "MI", "Michigan", "MI"}, {"US", "MN", "Minnesota", "MN"},
	{"US", "MO", "Missouri", "MO"}, {"US", "MS", "Mississippi", "MS"}, {"US", "MT", "Montana", "MT"},
	{"US", "NC", "North Carolina", "NC"}, {"US", "ND", "North Dakota", "ND"}, {"US", "NE", "Nebraska", "NE"},
	{"US", "NH", "New Hampshire", "NH"}, {"US", "NJ", "New Jersey", "NJ"}, {"US", "NM", "New Mexico", "NM"},
	{"US", "NV", "Nevada", "NV"}, {"US", "NY", "New York", "NY"}, {"US", "OH", "Ohio", "OH"},
	{"US", "OK", "Oklahoma", "OK"}, {"US", "OR", "Oregon", "OR"}, {"US", "PA", "Pennsylvania", "PA"},
	{"US", "RI", "Rhode Island", "RI"}, {"US", "SC", "South Carolina", "SC"}, {"US", "SD", "South Dakota", "SD"},
	{"US", "TN", "Tennessee", "TN"}, {"US", "TX", "Texas", "TX"}, {"US", "UT", "Utah", "UT"},
	{"US", "VA", "Virginia", "VA"}, {"US", "VT", "Vermont", "VT"}, {"US", "WA", "Washington", "WA"},
	{"US", "WI", "Wisconsin", "WI"}, {"US", "WV", "West Virginia", "WV"}, {"US", "WY", "Wyoming", "WY"},
}

// countries are the words that name each country, folded.
var countries = map[string]string{
	"us": "US", "usa": "US", "u s a": "US", "u s": "US", "united states": "US", "united states of america": "US",
	"ca": "CA", "can": "CA", "canada": "CA", "mx": "MX", "mex": "MX", "mexico": "MX",
}
