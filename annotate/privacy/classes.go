package privacy

// The classes of what Scan finds. They are part of what findings.json shows in
// place of the text itself, so none is ever renamed.
const (
	Name         = "name"
	Place        = "place"
	Date         = "date"
	AgeOver89    = "age-over-89"
	Phone        = "phone"
	Fax          = "fax"
	Email        = "email"
	NationalID   = "national-id"
	RecordNumber = "record-number"
	HealthPlan   = "health-plan-number"
	Account      = "account-number"
	Licence      = "licence-number"
	Vehicle      = "vehicle-number"
	DeviceSerial = "device-serial"
	URL          = "url"
	IPAddress    = "ip-address"
	OtherNumber  = "other-number"
	PrivateWord  = "private-word"
	WallClock    = "wall-clock"
)

// Class describes one class of identifier.
type Class struct {
	ID    string
	Item  string // letter of 45 CFR 164.514(b)(2)(i), or empty for a class of our own
	Label string // for people, lower case
	Sees  string // what Scan recognises
}

// Classes lists every class in the order of the regulation, then our own. Items
// P (biometric) and Q (full face) have no class: text cannot show them.
func Classes() []Class {
	return []Class{
		{Name, "A", "name", "a name after a label, a title or a family relation"},
		{Place, "B", "place smaller than a state", "a named hospital or clinic, labelled town or address, postal code, coordinates"},
		{Date, "C", "date", "every written form of a date with more than its year, and a year of birth"},
		{AgeOver89, "C", "age over 89", "an age of 90 or more that is not written as 90+"},
		{Phone, "D", "telephone number", "labelled numbers and numbers in an international or trunk form"},
		{Fax, "E", "fax number", "labelled numbers"},
		{Email, "F", "e-mail address", "anything@domain"},
		{NationalID, "G", "social security or national identity number", "labelled numbers and the form 000-00-0000"},
		{RecordNumber, "H", "medical record number", "labelled numbers: MRN, UHID, IP no., OP no., hospital number and the like"},
		{HealthPlan, "I", "health plan number", "labelled numbers"},
		{Account, "J", "account number", "labelled numbers, bills and receipts too"},
		{Licence, "K", "certificate or licence number", "labelled numbers"},
		{Vehicle, "L", "vehicle number", "labelled numbers and number plates in groups"},
		{DeviceSerial, "M", "device identifier", "labelled serial, lot and batch numbers, UDI element strings, hardware addresses"},
		{URL, "N", "web address", "http, www and bare domains"},
		{IPAddress, "O", "internet address", "IPv4 and IPv6"},
		{OtherNumber, "R", "other long number", "six digits or more that are no quantity"},
		{PrivateWord, "", "private word", "the words the case file lists"},
		{WallClock, "", "time of day", "a time of day, when asked for"},
	}
}
