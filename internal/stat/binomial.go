package stat

import (
	"fmt"

	"gonum.org/v1/gonum/mathext"
)

// BinomialTail is the probability of k or more successes in n trials that
// each succeed with probability p: the regularised incomplete beta function
// I_p(k, n − k + 1).
func BinomialTail(k, n int, p float64) (float64, error) {
	switch {
	case n < 0 || !(p >= 0 && p <= 1):
		return 0, fmt.Errorf("no binomial distribution with n = %d, p = %g", n, p)
	case k <= 0:
		return 1, nil
	case k > n:
		return 0, nil
	}
	return mathext.RegIncBeta(float64(k), float64(n-k+1), p), nil
}
