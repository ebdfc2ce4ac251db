// Package pattern holds regular expressions that are compiled when they are
// first asked for: those of titles and remarks hold the words of five
// languages, and to compile all of them takes longer than most commands take in
// all.
package pattern

import (
	"regexp"
	"sync"
)

// A Lazy is one expression.
type Lazy func() *regexp.Regexp

// all are the expressions of the program.
var all []Lazy

// Of takes an expression, which has to be one: it stops the program where it is
// asked for and does not compile. It is for the variables of packages alone.
func Of(expr string) Lazy {
	p := Lazy(sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) }))
	all = append(all, p)
	return p
}

// All are the expressions of the packages that the program has, so that a test
// can compile those which nothing asked for.
func All() []Lazy { return all }
