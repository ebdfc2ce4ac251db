package trend

import "saltline/internal/unit"

// A Kind names a pattern that is asked about. The texts of a language have its
// words under the same name.
type Kind int

const (
	BlanksRising        Kind = iota // the median blanks rise over the days
	ChecksInARow                    // the check deviations of a meter go one way check after check
	ChecksDrifting                  // they go one way over the days
	ChecksOutside                   // they lie outside the limits of their chart of individuals
	MedianAfterAbrasive             // the densities are higher since another batch of abrasive
	MedianAfterWash                 // the densities after a wash are higher since another source of water
	MedianAfterWind                 // never raised: the record has no column for the direction of the wind
	VoidsMany                       // more voids than one in ten
	InspectorMedian                 // the densities of one inspector differ from those of the others in the same areas
	InspectorVoids                  // the voids of one inspector do
)

var kinds = [...]string{"blanks-rising", "checks-in-a-row", "checks-drifting", "checks-outside", "median-after-abrasive",
	"median-after-wash", "median-after-wind", "voids-many", "inspector-median", "inspector-voids"}

// String is the stable name.
func (k Kind) String() string { return kinds[k] }

// Kinds are all of them, in the order in which they are asked.
func Kinds() []Kind {
	all := make([]Kind, len(kinds))
	for i := range all {
		all[i] = Kind(i)
	}
	return all
}

// A Flag is a pattern that chance does not explain, with the numbers that it
// rests on. Which of them are set is said with each kind where it is asked.
type Flag struct {
	Kind        Kind
	Who         string    // meter, batch, source or inspector, as written
	Other       string    // the batch or source before; the only other inspector
	First, Last unit.Date // the days that it speaks of
	N, Of       int       // so many of so many
	OwnN, OwnOf int       // of N of Of, those of the inspector
	From, To    float64   // the value before, or of the others, and the value now, or of the one: µS/cm, %, mg/m²
	Difference  float64   // of the densities of one inspector from those of the others beside them, mg/m²
	Slope       float64   // a calendar day
	ByDay       bool      // inspectors are compared over all days of an area, not on the same days
	Expected    float64   // points that chance puts outside
	Chance      float64   // that there is so much of it without a cause
}

// A Silence says what was not asked because there is too little to ask it of.
type Silence struct {
	Kind   Kind
	Who    string
	N      int // values there are; of a change, those after it
	Need   int // values needed
	Before int // of a change, the values before it

	From, To float64 // of a change, the medians before and after it, mg/m²; for information
}

// byLuck is the chance that one flag is raised in a job where nothing is the
// matter: one in a hundred for each kind, shared by all that are compared
// (house rule).
const byLuck = 0.01

// The least that a change has to amount to (house rules). A pattern may be
// beyond chance and beneath notice.
const (
	blankRise      = 1.0 // µS/cm: what fresh water takes up from the air
	toleranceShare = 0.2 // of the tolerance of the checks: 1 % of the usual 5 %
	limitShare     = 0.1 // of the limit
)
