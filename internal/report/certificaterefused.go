package report

import (
	"slices"
	"strconv"

	"saltline/internal/certificate"
	"saltline/internal/doc"
	"saltline/internal/papers"
	"saltline/internal/unit"
)

// A refusalLine is one reason why a certificate is not issued, with what to do.
type refusalLine struct{ why, next string }

// reasons are the reasons in words, those that are the reports' last.
func (c *certificateComposer) reasons() []refusalLine {
	var out []refusalLine
	var reports []*papers.Report
	for i := range c.of.Reasons {
		r := &c.of.Reasons[i]
		if r.Kind == certificate.ReportIncomplete {
			reports = append(reports, r.Report)
			continue
		}
		data := c.reasonData(r)
		key := "certificate/reason-" + r.Kind.String()
		out = append(out, refusalLine{c.say(key, data), c.say(key+"-next", data)})
	}
	return append(out, c.incomplete(reports)...)
}

// mostAlike is how many reports stand each for itself; the gaps of more of them
// are named together.
const mostAlike = 6

// incomplete are the reasons why reports cannot be relied on.
func (c *composer) incomplete(reports []*papers.Report) []refusalLine {
	var out []refusalLine
	if len(reports) <= mostAlike {
		for _, p := range reports {
			out = append(out, c.gaps(p)...)
		}
		return out
	}
	for k := papers.NoDiary; k <= papers.Undated; k++ {
		var names []string
		var days []unit.Date
		for _, p := range reports {
			if slices.ContainsFunc(p.Gaps, func(g papers.Gap) bool { return g.Kind == k }) {
				names = append(names, p.Number)
				days = append(days, p.Date)
			}
		}
		if len(names) == 0 {
			continue
		}
		data := map[string]any{"Count": len(names), "Reports": c.list(names)}
		if slices.Contains(names, "") || k == papers.SameNumber {
			data["Reports"] = c.days(days)
		}
		next := c.say("certificate/gap-"+k.String()+"-next", map[string]any{"Signer": "", "Report": "", "Day": "", "Rows": ""})
		out = append(out, refusalLine{c.say("dossier/gaps-"+k.String(), data), next})
	}
	return out
}

// days names days, those that follow each other by the first and the last.
func (c *composer) days(days []unit.Date) string {
	var names []string
	for i := 0; i < len(days); {
		n := i + 1
		for n < len(days) && !days[n-1].IsZero() && days[n] == days[n-1].Add(1) {
			n++
		}
		if n-i > 2 {
			names = append(names, c.say("dossier/days", map[string]any{"From": days[i], "Until": days[n-1], "Days": n - i}))
		} else {
			for _, d := range days[i:n] {
				names = append(names, c.dayOf(d))
			}
		}
		i = n
	}
	return c.list(names)
}

// gaps are the reasons why a report cannot be relied on, those of a kind
// together.
func (c *composer) gaps(p *papers.Report) []refusalLine {
	var out []refusalLine
	for i, g := range p.Gaps {
		if slices.ContainsFunc(p.Gaps[:i], func(o papers.Gap) bool { return o.Kind == g.Kind }) {
			continue
		}
		var signers []string
		for _, o := range p.Gaps {
			if o.Kind == g.Kind && o.Signer.Key != "" {
				signers = append(signers, c.signer(o.Signer))
			}
		}
		data := map[string]any{"Signer": c.Words.List(signers), "Report": c.reportName(p), "Day": c.dayOf(p.Date), "Rows": shortDigest(p.Digest)}
		key := "certificate/gap-" + g.Kind.String()
		out = append(out, refusalLine{c.say(key, data), c.say(key+"-next", data)})
	}
	return out
}

// reasonData is what the words of a reason are filled with.
func (c *certificateComposer) reasonData(r *certificate.Reason) map[string]any {
	s := c.of.Standing
	data := map[string]any{
		"Area": c.areaName(s.Name), "Count": r.Count, "Tests": c.numbers(r.Tests), "Number": len(r.Tests),
		"Valid": s.Valid, "Required": s.Required, "Waiting": 0, "Names": c.Words.List(r.Names), "Finding": "", "Next": "", "Steps": "",
		"Revision": orDash(c.of.Issue.Revision),
	}
	if r.Kind == certificate.UnprovenTests {
		data["Tests"] = c.Words.Clauses(c.groupedByWhy(c.byReasons(r.Tests)))
	}
	if f := r.Finding; f != nil {
		data["Finding"], data["Next"] = c.Words.Inside(c.findingTitle(f)), c.nextStep(f)
	}
	if u := r.Unread; u != nil {
		data["Day"], data["Report"] = c.dayOf(u.Date), u.Number
	}
	if r.Kind == certificate.TooFewTests {
		data["Waiting"] = max(0, s.Required-s.Valid-r.Count)
	}
	if r.Kind == certificate.OpenFail {
		data["Steps"] = c.Words.Clauses(c.openSteps(s))
	}
	return data
}

// reportName names a daily report by its number, at the beginning of a
// sentence that has its day.
func (c *composer) reportName(p *papers.Report) string {
	if p.Number == "" {
		return c.say("certificate/report-unnumbered", nil)
	}
	return c.say("report/report-number", map[string]any{"Number": p.Number, "Revision": p.Revision})
}

// refusal says that no certificate is issued, and everything that stands
// against it.
func (c *certificateComposer) refusal() []doc.Block {
	var items []doc.Item
	for i, r := range c.reasons() {
		items = append(items, doc.Entry(strconv.Itoa(i+1), doc.Join(
			doc.Strong(r.why), doc.Plain(" "), doc.Strong(c.say("certificate/next", nil)), doc.Plain(" "+r.next))))
	}
	return []doc.Block{doc.Box{
		Title:  c.say("certificate/refused-title", c.areaName(c.of.Standing.Name)),
		Blocks: append(c.para("certificate/refused-lead", len(items)), doc.List{Items: items}),
	}}
}
