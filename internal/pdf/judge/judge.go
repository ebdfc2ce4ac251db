// Package judge holds a PDF file against the rules of PDF/A-3u (ISO 19005-3)
// and PDF/UA-1 (ISO 14289-1) that can be held by a program.
//
// It is for tests. It knows nothing of how the file was written, and reads it
// as bytes. The clauses are given from memory: neither standard could be read
// here. Where a rule asks for more than its clause does, it says so.
package judge

import (
	"errors"
	"fmt"
	"strings"

	"saltline/internal/objects"
)

// A Rule is one demand on a file.
type Rule struct {
	Name   string
	Clause string
	Says   string

	hold func(*subject) finding // what breaks it; nil where reading the file tells
}

func (r *Rule) String() string { return r.Name + " (" + r.Clause + ")" }

// A Breach is a rule that a file breaks, and where.
type Breach struct {
	*Rule
	At string
}

func (b Breach) String() string { return b.Rule.String() + ": " + b.At }

// A Claim is what a file has to be.
type Claim int

const (
	Archive    Claim = iota // PDF/A-3u
	Accessible              // PDF/A-3u and PDF/UA-1
)

// Rules are those of a claim, in the order of their clauses.
func Rules(c Claim) []*Rule {
	all := []*Rule{&readable, &encryption}
	for _, group := range [][]*Rule{fileRules, graphicsRules, fontRules, annotationRules, metadataRules, attachmentRules} {
		all = append(all, group...)
	}
	if c == Accessible {
		for _, group := range [][]*Rule{markRules, treeRules, tableRules, linkRules} {
			all = append(all, group...)
		}
	}
	return all
}

var readable = Rule{
	Name: "readable", Clause: "ISO 19005-3, 6.1.1 to 6.1.9",
	Says: "The file has the syntax of ISO 32000-1: its cross-references lead to objects, its streams have the length that they say, its pages are a tree.",
}

var encryption = Rule{
	Name: "encryption", Clause: "ISO 19005-3, 6.1.3; ISO 14289-1, 7.16",
	Says: "The file is not encrypted.",
}

// File judges a file.
func File(data []byte, c Claim) []Breach {
	f, err := objects.Read(data)
	switch {
	case errors.Is(err, objects.ErrEncrypted):
		return []Breach{{&encryption, err.Error()}}
	case err != nil:
		return []Breach{{&readable, err.Error()}}
	}
	s, err := newSubject(data, f)
	if err != nil {
		return []Breach{{&readable, err.Error()}}
	}
	var out []Breach
	for _, r := range Rules(c) {
		if r.hold == nil {
			continue
		}
		for _, at := range r.hold(s) {
			out = append(out, Breach{r, at})
		}
	}
	return out
}

// Report puts breaches one below the other, at most 20 of them.
func Report(bs []Breach) string {
	var b strings.Builder
	for i, it := range bs {
		if i == 20 {
			fmt.Fprintf(&b, "and %d more\n", len(bs)-i)
			break
		}
		fmt.Fprintln(&b, it)
	}
	return b.String()
}

// A finding collects what breaks a rule.
type finding []string

func (f *finding) add(format string, args ...any) {
	*f = append(*f, fmt.Sprintf(format, args...))
}

// unless adds what is wrong unless ok.
func (f *finding) unless(ok bool, format string, args ...any) {
	if !ok {
		f.add(format, args...)
	}
}
