package assess

// The words and names below are the same in every language: the verdicts
// as documents print them, and stable hyphenated names under which the
// templates and the JSON find everything else.

// String is the verdict as it is printed.
func (v Verdict) String() string {
	return name(v, "NOT ESTABLISHED", "PASS", "FAIL", "VOID")
}

// String is the verdict of an area as it is printed.
func (v AreaVerdict) String() string {
	return name(v, "NOT ESTABLISHED", "ACCEPTED FOR SALT", "NOT ACCEPTED")
}

// String is the agreement in words.
func (a Agreement) String() string {
	return name(a, "not recorded", "agrees", "agrees only through unseen digits", "does not follow", "cannot be computed")
}

// String is the severity in words.
func (s Severity) String() string {
	return name(s, "as declared", "changes a verdict", "voids a test", "unproven pass", "weakens", "housekeeping")
}

// String is the direction in words; "" where there is none.
func (d Direction) String() string { return name(d, "", "safe side", "unsafe side") }

// String is the role in words.
func (r Role) String() string {
	return name(r, "inspector", "QC manager", "contractor", "owner's representative")
}

// String is the stable name of the reason.
func (r Reason) String() string {
	return name(r, "no-limit", "no-limit-unit", "no-limit-basis", "no-volume", "no-extract", "no-blank",
		"unreadable-value", "negative-difference", "censored", "fails-at-25", "in-guard-band", "only-bounded", "no-comparison", "written-fail")
}

// String is the state in one word.
func (s ChainState) String() string { return name(s, "open", "treated", "cleared") }

// String is the stable name of the obstacle.
func (k ObstacleKind) String() string {
	return name(k, "no-treatment", "treatment-end-unknown", "treatment-order-unknown", "retest-before-end",
		"retest-too-soon", "no-retest", "retest-failed", "retest-not-established", "same-footprint",
		"location-unknown", "too-few-adjacent", "adjacent-failed", "adjacent-not-established",
		"retest-before-fail", "other-area", "reference-unclear", "treatment-unclear",
		"treatment-unsaid", "treatment-of-others", "retest-far", "adjacent-other-area", "adjacent-far", "adjacent-same-print")
}

// String is the stable name of the reason.
func (k AreaReasonKind) String() string {
	return name(k, "open-fails", "too-few-tests", "no-sampling-rule", "required-unknown", "unproven-tests",
		"spot-types-missing", "failed-control")
}

// name is the i-th of the names, and says so where there is none.
func name[I ~int | ~uint8](i I, names ...string) string {
	if i < 0 || int(i) >= len(names) {
		return "unknown"
	}
	return names[i]
}
