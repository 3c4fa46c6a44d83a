package narration

// Digits reads a whole text as one number in words, "?" when it is none.
func Digits(text string) string {
	s := digitise(text)
	if len(s.unsure) > 0 || s.text == text && !isDigits(text) {
		return "?"
	}
	return s.text
}

// DigitsIn is a text with its numbers in words as digits.
func DigitsIn(text string) string { return digitise(text).text }

// RoundTrip maps [start, end) of the text in digits back to the original.
func RoundTrip(text string) (digits string, back func(start, end int) (int, int)) {
	s := digitise(text)
	return s.text, s.original
}
