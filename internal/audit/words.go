package audit

// String is the stable name of what is supposed.
func (k WhatIfKind) String() string {
	return [...]string{"volume-was", "patch-area-was", "comparison-is", "basis-is", "rule-is", "not-compensated", "value-right", "injected-counts", "unseen-digits"}[k]
}

// String is the stable name of the outcome.
func (o Outcome) String() string {
	return [...]string{"nothing-written", "stands", "not-shown", "does-not-stand"}[o]
}

// String is the stable name of the advice.
func (k AdviceKind) String() string {
	return [...]string{"take-as-it-stands", "correct-first", "answer-first", "treat-these", "repeat-these", "witness-some"}[k]
}
