package record

import "saltline/internal/unit"

var days = tableOf[Day]{
	{"date", date(func(d *Day) *Given[unit.Date] { return &d.Date })},
	{"shift started", clock(func(d *Day) *Given[unit.Clock] { return &d.ShiftStarted })},
	{"shift ended", clock(func(d *Day) *Given[unit.Clock] { return &d.ShiftEnded })},
	{"stops", parsed(spans, "stops such as 12:00-12:45; 14:00-14:10", func(d *Day) *Given[[]Span] { return &d.Stops })},
	{"weather", words(func(d *Day) *Words { return &d.Weather })},
	{"work done", words(func(d *Day) *Words { return &d.WorkDone })},
	{"delays", words(func(d *Day) *Words { return &d.Delays })},
	{"instructions received", words(func(d *Day) *Words { return &d.Instructions })},
	{"visitors", words(func(d *Day) *Words { return &d.Visitors })},
	{"remarks", words(func(d *Day) *Words { return &d.Remarks })},
	{"report number", words(func(d *Day) *Words { return &d.ReportNumber })},
	{"revision", words(func(d *Day) *Words { return &d.Revision })},
	{"what changed", words(func(d *Day) *Words { return &d.WhatChanged })},
}

var people = tableOf[Person]{
	{"name", words(func(p *Person) *Words { return &p.Name })},
	{"employer", words(func(p *Person) *Words { return &p.Employer })},
	{"role", words(func(p *Person) *Words { return &p.Role })},
	{"qualification", words(func(p *Person) *Words { return &p.Qualification })},
	{"number", words(func(p *Person) *Words { return &p.CardNumber })},
	{"expiry", date(func(p *Person) *Given[unit.Date] { return &p.Expiry })},
}

var signatures = tableOf[Signature]{
	{"document", words(func(s *Signature) *Words { return &s.Document })},
	{"revision", words(func(s *Signature) *Words { return &s.Revision })},
	{"date", date(func(s *Signature) *Given[unit.Date] { return &s.Date })},
	{"role", words(func(s *Signature) *Words { return &s.Role })},
	{"name", words(func(s *Signature) *Words { return &s.Name })},
	{"statement", words(func(s *Signature) *Words { return &s.Statement })},
	{"signed at", moment(func(s *Signature) *Given[Moment] { return &s.SignedAt })},
	{"method", words(func(s *Signature) *Words { return &s.Method })},
	{"image file", words(func(s *Signature) *Words { return &s.Image })},
	{"data digest", words(func(s *Signature) *Words { return &s.Digest })},
}

var documents = tableOf[Document]{
	{"document", words(func(d *Document) *Words { return &d.Kind })},
	{"area or day", words(func(d *Document) *Words { return &d.Of })},
	{"number", words(func(d *Document) *Words { return &d.Number })},
	{"revision", words(func(d *Document) *Words { return &d.Revision })},
	{"issued on", date(func(d *Document) *Given[unit.Date] { return &d.IssuedOn })},
	{"data digest", words(func(d *Document) *Words { return &d.Digest })},
	{"what changed", words(func(d *Document) *Words { return &d.WhatChanged })},
}

var concessions = tableOf[Concession]{
	{"area or test", words(func(c *Concession) *Words { return &c.For })},
	{"clause", words(func(c *Concession) *Words { return &c.Clause })},
	{"by", words(func(c *Concession) *Words { return &c.By })},
	{"date", date(func(c *Concession) *Given[unit.Date] { return &c.Date })},
	{"text", words(func(c *Concession) *Words { return &c.Text })},
}
