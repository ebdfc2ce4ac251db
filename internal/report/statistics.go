package report

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// statistics describes the areas as they would be coated, one line each, to
// the end of the day. A statement on the spots that were not tested is made
// only where they were chosen at random and all of them pass.
func (c *composer) statistics() []doc.Block {
	var areas []*assess.Standing
	for i := range c.standing {
		if s := &c.standing[i]; s.AsCoated.N > 0 {
			areas = append(areas, s)
		}
	}
	if len(areas) == 0 {
		return nil
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	figure := func(key string, of func(*assess.Standing) float64) doc.Col[*assess.Standing] {
		return doc.Decimal(head(key), "mg/m²", func(s *assess.Standing) string {
			v := of(s)
			if math.IsNaN(v) {
				return "–"
			}
			return c.bare(unit.SurfaceDensity(v))
		})
	}
	blocks := []doc.Block{
		doc.Heading{Level: 2, Text: c.say("report/statistics-title", nil)},
		doc.Tabulate([]doc.Col[*assess.Standing]{
			doc.Left(head("area"), "", func(s *assess.Standing) string { return c.areaName(s.Name) }),
			doc.Right(head("n"), "", func(s *assess.Standing) string { return c.bare(s.AsCoated.N) }),
			figure("min", func(s *assess.Standing) float64 { return s.AsCoated.Min }),
			figure("median", func(s *assess.Standing) float64 { return s.AsCoated.Median }),
			figure("mean", func(s *assess.Standing) float64 { return s.AsCoated.Mean }),
			figure("sd", func(s *assess.Standing) float64 { return s.AsCoated.SD }),
			figure("max", func(s *assess.Standing) float64 { return s.AsCoated.Max }),
			doc.Left(head("where"), "", func(s *assess.Standing) string {
				if s.AsCoated.MaxAt < 0 {
					return "–"
				}
				return c.say("report/at-test", map[string]any{"Test": c.number(s.AsCoated.MaxAt), "Location": ""})
			}),
			doc.Right(head("touched"), "%", func(s *assess.Standing) string {
				if math.IsNaN(float64(s.Touched)) {
					return "–"
				}
				return c.Words.Number(float64(s.Touched), 4)
			}),
		}, areas),
		doc.Paragraph{Text: doc.Fine(c.say("report/statistics-note", nil) + " " + c.proof(areas))},
	}
	return blocks
}

// proof says what the tests prove of the spots that were not tested.
func (c *composer) proof(areas []*assess.Standing) string {
	if c.job.Terms.SpotsChosen.Val != record.AtRandom {
		return c.say("report/proof-none", nil)
	}
	s := ""
	for _, a := range areas {
		if !math.IsNaN(a.Coverage) {
			s += c.say("report/proof", map[string]any{"Area": c.areaName(a.Name), "Share": unit.Humidity(100 * a.Coverage)}) + " "
		}
	}
	return s
}
