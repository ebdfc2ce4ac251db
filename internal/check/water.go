package check

import "saltline/internal/assess"

func waterChecks() []*assess.Check { return nil }
