package heading

// Key returns the key of the job, or the column of the readings, that a text
// names in any of the five languages, with the unit that stands with it:
// "Volumen (ml)" gives "volume" and "ml". It returns "" where it names none.
func Key(text string) (key, unit string) { return factKey(text) }
