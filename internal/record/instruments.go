package record

import "saltline/internal/unit"

var ambients = tableOf[Ambient]{
	{"date", date(func(a *Ambient) *Given[unit.Date] { return &a.Date })},
	{"time", clock(func(a *Ambient) *Given[unit.Clock] { return &a.Time })},
	{"place", words(func(a *Ambient) *Words { return &a.Place })},
	{"air temperature", number(unit.OfTemperature, func(a *Ambient) *Given[unit.Temperature] { return &a.Air })},
	{"humidity", number(unit.OfHumidity, func(a *Ambient) *Given[unit.Humidity] { return &a.Humidity })},
	{"wet bulb", number(unit.OfTemperature, func(a *Ambient) *Given[unit.Temperature] { return &a.WetBulb })},
	{"recorded dew point", number(unit.OfTemperature, func(a *Ambient) *Given[unit.Temperature] { return &a.RecordedDew })},
	{"steel temperature", number(unit.OfTemperature, func(a *Ambient) *Given[unit.Temperature] { return &a.Steel })},
	{"weather", words(func(a *Ambient) *Words { return &a.Weather })},
	{"by", words(func(a *Ambient) *Words { return &a.By })},
}

var meters = tableOf[Meter]{
	{"meter", words(func(m *Meter) *Words { return &m.Serial })},
	{"kind", words(func(m *Meter) *Words { return &m.Kind })},
	{"range", words(func(m *Meter) *Words { return &m.Range })},
	{"resolution", property(unit.OfConductivity, func(m *Meter) *Given[unit.Conductivity] { return &m.Resolution })},
	{"accuracy", property(unit.OfPercent, func(m *Meter) *Given[unit.Percent] { return &m.Accuracy })},
	{"compensates", compensation(func(m *Meter) *Given[bool] { return &m.Compensates })},
	{"certificate", words(func(m *Meter) *Words { return &m.Certificate })},
	{"calibrated on", date(func(m *Meter) *Given[unit.Date] { return &m.CalibratedOn })},
	{"due", date(func(m *Meter) *Given[unit.Date] { return &m.Due })},
	{"laboratory", words(func(m *Meter) *Words { return &m.Laboratory })},
}

var checks = tableOf[MeterCheck]{
	{"date", date(func(k *MeterCheck) *Given[unit.Date] { return &k.Date })},
	{"time", clock(func(k *MeterCheck) *Given[unit.Clock] { return &k.Time })},
	{"meter", words(func(k *MeterCheck) *Words { return &k.Meter })},
	{"solution", words(func(k *MeterCheck) *Words { return &k.Solution })},
	{"nominal", number(unit.OfConductivity, func(k *MeterCheck) *Given[unit.Conductivity] { return &k.Nominal })},
	{"lot", words(func(k *MeterCheck) *Words { return &k.Lot })},
	{"expiry", date(func(k *MeterCheck) *Given[unit.Date] { return &k.Expiry })},
	{"temperature", number(unit.OfTemperature, func(k *MeterCheck) *Given[unit.Temperature] { return &k.Temperature })},
	{"reading", number(unit.OfConductivity, func(k *MeterCheck) *Given[unit.Conductivity] { return &k.Reading })},
	{"tolerance", number(unit.OfPercent, func(k *MeterCheck) *Given[unit.Percent] { return &k.Tolerance })},
	{"found or left", words(func(k *MeterCheck) *Words { return &k.FoundLeft })},
	{"by", words(func(k *MeterCheck) *Words { return &k.By })},
}

var waters = tableOf[Water]{
	{"water", words(func(w *Water) *Words { return &w.Bottle })},
	{"grade", words(func(w *Water) *Words { return &w.Grade })},
	{"opened", date(func(w *Water) *Given[unit.Date] { return &w.Opened })},
	{"expiry", date(func(w *Water) *Given[unit.Date] { return &w.Expiry })},
	{"date", date(func(w *Water) *Given[unit.Date] { return &w.Date })},
	{"time", clock(func(w *Water) *Given[unit.Clock] { return &w.Time })},
	{"conductivity", number(unit.OfConductivity, func(w *Water) *Given[unit.Conductivity] { return &w.Conductivity })},
	{"blank kind", words(func(w *Water) *Words { return &w.BlankKind })},
}
