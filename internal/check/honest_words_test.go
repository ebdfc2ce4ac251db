package check_test

// A tongue is what an inspector writes in words, in one language. It says
// what such logs usually say of tests at which all went well.
type tongue struct {
	comma             bool     // decimal comma, and semicolons between the fields
	remarks           []string // of any test
	sealed            []string // of a test where a patch seldom seals at once
	fail, void, again string
	beside            string
	steels            []string // that hold a magnet
	stainless         string   // that holds none
	plates, uneven    []string // spots; the number of the panel comes first
	panel             string
	underside         string
	weather, none     string
	wash, hydrant     string
	dried             string
}

var tongues = []tongue{
	{
		remarks: []string{"", "", "", "ok", "held", "seal held", "no leak", "no water lost", "held, nothing lost", "dry, tight", "good seal",
			"photo taken", "0 ml lost", "leak check ok", "no drips", "patch pressed on twice, held", "no loss"},
		sealed: []string{"seal held", "held", "tight all round", "ring reseated once before filling, seal held", "ok", "seal ok", "good seal, no loss",
			"sealed first time", "no water lost", "no leaks at the toe", "0.0 ml lost, held"},
		fail: "held, marked 3 m by 2 m", void: "patch lifted at one corner, water lost", again: "repeat of no. %s",
		beside: "beside the first footprint, not on it",
		steels: []string{"carbon steel", "structural steel S355", "mild steel"}, stainless: "stainless steel 1.4404",
		panel: "panel %d", plates: []string{"mid height", "upper half", "1.2 m above the sill", "low, left"}, uneven: []string{"seam", "weld toe", "free edge"},
		underside: "lower flange", weather: "dry, light wind", none: "none",
		wash: "fresh-water wash", hydrant: "mains hydrant, yard side", dried: "oil-free air, then an hour in the wind",
	},
	{
		comma: true,
		remarks: []string{"", "", "", "ok", "dicht", "i. O.", "gehalten", "kein Wasserverlust", "nichts ausgelaufen", "dicht, nichts verloren",
			"in Ordnung", "Foto", "trocken, dicht", "kein Tropfen verloren", "Dichtung ok"},
		sealed: []string{"dicht", "Rand dicht", "gehalten", "Ring neu angesetzt, dann dicht", "ok", "i. O.", "kein Wasserverlust", "Dichtung in Ordnung",
			"nichts ausgelaufen", "dicht, kein Leck"},
		fail: "gesperrt, 3 m × 2 m markiert", void: "Pflaster an der Ecke abgelöst, Wasser verloren", again: "Wiederholung von Nr. %s",
		beside: "neben dem ersten Abdruck",
		steels: []string{"Baustahl S235", "Kohlenstoffstahl", "Baustahl"}, stainless: "Edelstahl 1.4571",
		panel: "Feld %d", plates: []string{"Mitte", "obere Hälfte", "1,2 m über der Schwelle", "unten links"}, uneven: []string{"Schweißnaht", "Blechkante", "Kante"},
		underside: "Untergurt", weather: "trocken, leichter Wind", none: "keine",
		wash: "Frischwasserwäsche", hydrant: "Hydrant am Hof", dried: "ölfreie Luft, dann eine Stunde im Wind",
	},
	{
		comma: true,
		remarks: []string{"", "", "", "ok", "tett", "holdt", "ingen lekkasje", "ikke mistet vann", "tett, ingenting tapt", "i orden", "bilde tatt",
			"holdt hele veien", "tørr, tett"},
		sealed: []string{"tett", "holdt", "tett hele veien", "ok", "pakning tett", "ingen lekkasje", "ring satt på nytt, holdt", "ikke noe vann tapt", "i orden"},
		fail:   "sperret, merket 3 m × 2 m", void: "lappen løsnet i hjørnet, mistet vann", again: "gjentatt, nr. %s",
		beside: "ved siden av det første avtrykket",
		steels: []string{"karbonstål", "konstruksjonsstål S355", "stål"}, stainless: "rustfritt stål 1.4404",
		panel: "felt %d", plates: []string{"midt på", "øvre halvdel", "1,2 m over terskelen", "nede til venstre"}, uneven: []string{"sveis", "sveisesøm", "kant"},
		underside: "underflens", weather: "tørt, lett bris", none: "ingen",
		wash: "vask med ferskvann", hydrant: "hydrant på kaia", dried: "oljefri luft, så en time i vinden",
	},
}
