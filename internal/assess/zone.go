package assess

import (
	"math"

	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// A Zone is the spots of one type in an area, as they would be coated. Spots
// of different types are not described together: a ledge holds salt that a web
// does not.
type Zone struct {
	SpotType string // as first written; "" for the spots of which none is recorded
	Found

	// Limits below which TolerableShare of such spots lie, with
	// ToleranceConfidence: of values that are normal, and of values whose
	// logarithms are. NaN where Without or WithoutLogs says why.
	Factor               float64 // k
	Normal, LogNormal    unit.SurfaceDensity
	Without, WithoutLogs NoLimitReason
}

// A NoLimitReason says why a zone has no upper tolerance limit.
type NoLimitReason int

const (
	HasLimit     NoLimitReason = iota
	FewValues                  // fewer than LeastInZone
	BoundedValue               // a density is only bounded
	ZeroOrBelow                // a density has no logarithm
)

// What tolerance limits are given for, and from how many values of one zone
// on: with fewer they say next to nothing (house choice).
const (
	TolerableShare      = 0.95
	ToleranceConfidence = 0.95
	LeastInZone         = 8
)

// Zones splits the tests of an area as it would be coated by the type of
// their spots, in the order of the log. Without a type on any of them the area
// is one zone.
func (s *Standing) Zones(r *Result) []Zone {
	var zones []Zone
	var tests [][]int
	at := map[string]int{}
	for _, i := range s.AsCoated.Tests {
		written := r.Lines[i].Test.SpotType().Val
		key := record.Folded(written)
		n, known := at[key]
		if !known {
			n = len(zones)
			at[key] = n
			zones, tests = append(zones, Zone{SpotType: written}), append(tests, nil)
		}
		tests[n] = append(tests[n], i)
	}
	for n := range zones {
		zones[n].Found = r.describe(tests[n])
		zones[n].limit(r)
	}
	return zones
}

// limit works out the upper tolerance limits of a zone.
func (z *Zone) limit(r *Result) {
	none := unit.SurfaceDensity(math.NaN())
	z.Normal, z.LogNormal, z.Factor = none, none, math.NaN()
	switch {
	case z.N < LeastInZone:
		z.Without, z.WithoutLogs = FewValues, FewValues
		return
	case z.Bounded > 0:
		z.Without, z.WithoutLogs = BoundedValue, BoundedValue
		return
	}
	values := make([]float64, 0, z.N)
	for _, i := range z.Tests {
		values = append(values, float64(r.Lines[i].Judged().Value))
	}
	if k, err := stat.ToleranceFactor(z.N, TolerableShare, ToleranceConfidence); err == nil {
		z.Factor = k
	}
	if limit, err := stat.UpperLimit(values, TolerableShare, ToleranceConfidence); err == nil {
		z.Normal = unit.SurfaceDensity(limit)
	}
	if limit, err := stat.UpperLimitByLogs(values, TolerableShare, ToleranceConfidence); err == nil {
		z.LogNormal = unit.SurfaceDensity(limit)
	} else {
		z.WithoutLogs = ZeroOrBelow
	}
}

// Further is how many more tests at spots chosen at random would have to pass
// for the statement that at least a share of such spots does, with
// ToleranceConfidence; false where the statement may not be made at all, as
// Coverage may not.
func (s *Standing) Further(share float64) (int, bool) {
	if math.IsNaN(s.Coverage) {
		return 0, false
	}
	n, err := stat.FurtherSuccesses(s.Valid, share, ToleranceConfidence)
	return n, err == nil
}
