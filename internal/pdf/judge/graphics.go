package judge

import (
	"encoding/binary"
	"slices"

	"saltline/internal/objects"
)

var graphicsRules = []*Rule{
	{
		Name: "operators", Clause: "ISO 19005-3, 6.2.2",
		Says: "Pages use the operators of ISO 32000-1 only, each start with its end.",
		hold: func(s *subject) finding { return append(finding(s.drawn.unknown), s.drawn.unpaired...) },
	}, {
		Name: "resources", Clause: "ISO 19005-3, 6.2.2",
		Says: "All that a page uses by name is in its resources.",
		hold: func(s *subject) finding { return s.drawn.loose },
	}, {
		Name: "output-intent", Clause: "ISO 19005-3, 6.2.3",
		Says: "There is one PDF/A output intent, with an ICC profile of RGB for a monitor or a printer, of version 4 at most, as its stream says.",
		hold: outputIntent,
	}, {
		Name: "colours", Clause: "ISO 19005-3, 6.2.4.3",
		Says: "Only grey and RGB of the device are used, which the output intent covers.",
		hold: colours,
	}, {
		Name: "graphics-state", Clause: "ISO 19005-3, 6.2.5",
		Says: "Graphics states have no transfer function and no halftone phase, and blend in standard ways.",
		hold: func(s *subject) (f finding) {
			for _, d := range append(s.states(), s.drawn.states...) {
				f.unless(d["TR"] == nil && d["HTP"] == nil && (d["TR2"] == nil || s.Name(d["TR2"]) == "Default"), "a graphics state transfers")
				f.unless(d["BM"] == nil || slices.Contains(blendModes, s.Name(d["BM"])), "blend mode %v", d["BM"])
			}
			return f
		},
	}, {
		Name: "rendering-intents", Clause: "ISO 19005-3, 6.2.6",
		Says: "Rendering intents are the four of ISO 32000-1.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.all {
				if v := o.dict["Intent"]; v != nil && s.Name(o.dict["Subtype"]) == "Image" {
					f.unless(slices.Contains(renderingIntents, s.Name(v)), "%s: %v", o, v)
				}
			}
			return append(f, s.drawn.intents...)
		},
	}, {
		Name: "pictures", Clause: "ISO 19005-3, 6.2.8",
		Says: "Pictures have no alternates, no OPI comments, are not interpolated, and have 1, 2, 4, 8 or 16 bits a colour.",
		hold: pictures,
	}, {
		Name: "forms", Clause: "ISO 19005-3, 6.2.9",
		Says: "Forms have no OPI comments, no PostScript and no reference to another file.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.all {
				switch s.Name(o.dict["Subtype"]) {
				case "Form":
					f.unless(o.dict["OPI"] == nil && o.dict["PS"] == nil && o.dict["Ref"] == nil && s.Name(o.dict["Subtype2"]) != "PS", "%s", o)
				case "PS":
					f.add("%s is PostScript", o)
				}
			}
			return f
		},
	}, {
		Name: "transparency", Clause: "ISO 19005-3, 6.2.10",
		Says: "A page with transparency has a colour space to blend in: its group's, or that of the output intent.",
		hold: transparency,
	},
}

// covered are the colour spaces that stand for colours of the output intent,
// or for no colour of their own.
var covered = map[objects.Name]bool{"DeviceRGB": true, "DeviceGray": true, "Pattern": true}

var renderingIntents = []objects.Name{"RelativeColorimetric", "AbsoluteColorimetric", "Perceptual", "Saturation"}

var blendModes = []objects.Name{"Normal", "Compatible", "Multiply", "Screen", "Overlay", "Darken", "Lighten", "ColorDodge", "ColorBurn",
	"HardLight", "SoftLight", "Difference", "Exclusion", "Hue", "Saturation", "Color", "Luminosity"}

// states are the graphics states that the pages may set.
func (s *subject) states() []objects.Dict {
	var out []objects.Dict
	for _, o := range s.all {
		for _, v := range s.Dict(o.dict["ExtGState"]) {
			out = append(out, s.Dict(v))
		}
	}
	return out
}

// intents are the PDF/A output intents.
func (s *subject) intents() []objects.Dict {
	var out []objects.Dict
	for _, v := range s.Array(s.catalog["OutputIntents"]) {
		if d := s.Dict(v); s.Name(d["S"]) == "GTS_PDFA1" {
			out = append(out, d)
		}
	}
	return out
}

func outputIntent(s *subject) (f finding) {
	intents := s.intents()
	if len(intents) != 1 {
		f.add("%d PDF/A output intents", len(intents))
		return f
	}
	f.unless(len(s.String(intents[0]["OutputConditionIdentifier"])) > 0, "the output intent names no condition")
	profile := s.Stream(intents[0]["DestOutputProfile"])
	if profile == nil {
		f.add("the output intent has no profile")
		return f
	}
	icc, err := s.Data(profile, maxStream)
	if err != nil || len(icc) < 128 {
		f.add("the profile cannot be read: %d bytes, %v", len(icc), err)
		return f
	}
	n, _ := s.Int(profile.Dict["N"])
	class, space := string(icc[12:16]), string(icc[16:20])
	f.unless(binary.BigEndian.Uint32(icc) == uint32(len(icc)), "the profile says that it has %d bytes, and has %d", binary.BigEndian.Uint32(icc), len(icc))
	f.unless(string(icc[36:40]) == "acsp", "the profile has the signature %q", icc[36:40])
	f.unless(icc[8] >= 2 && icc[8] <= 4, "the profile has version %d", icc[8])
	f.unless(class == "mntr" || class == "prtr", "the profile is of class %q", class)
	f.unless(space == "RGB " && n == 3, "the profile is of colour space %q, and its stream says %d colours", space, n)
	return f
}

func colours(s *subject) (f finding) {
	f = append(f, s.drawn.colours...)
	for _, o := range s.all {
		for _, key := range []objects.Name{"ColorSpace", "CS"} {
			v := s.Resolve(o.dict[key])
			if spaces, is := v.(objects.Dict); is { // of resources
				for name, v := range spaces {
					f.unless(s.covers(v), "%s: colour space %s", o, name)
				}
			} else if v != nil {
				f.unless(s.covers(v), "%s: colour space %v", o, v)
			}
		}
	}
	return f
}

// covers reports whether a colour space is grey or RGB of the device, or a
// table of such colours.
func (s *subject) covers(v objects.Value) bool {
	if name := s.Name(v); name != "" {
		return covered[name]
	}
	a := s.Array(v)
	if len(a) > 1 && (s.Name(a[0]) == "Indexed" || s.Name(a[0]) == "Pattern") {
		return s.covers(a[1])
	}
	return len(a) == 1 && s.covers(a[0])
}

func pictures(s *subject) (f finding) {
	for _, o := range s.all {
		if o.stream == nil || s.Name(o.dict["Subtype"]) != "Image" {
			continue
		}
		f.unless(o.dict["Alternates"] == nil && o.dict["OPI"] == nil, "%s has alternates", o)
		f.unless(o.dict["Interpolate"] == nil || o.dict["Interpolate"] == false, "%s is interpolated", o)
		bits, _ := s.Int(o.dict["BitsPerComponent"])
		f.unless(slices.Contains([]int{1, 2, 4, 8, 16}, bits), "%s has %d bits", o, bits)
	}
	return f
}

func transparency(s *subject) (f finding) {
	for _, p := range s.pages {
		if s.Dict(s.Dict(p.dict["Group"])["CS"]) != nil || s.Name(s.Dict(p.dict["Group"])["CS"]) != "" || len(s.intents()) > 0 {
			continue
		}
		f.unless(!s.transparent(s.Dict(p.dict["Resources"]), 0), "%s", p)
	}
	return f
}

// transparent reports whether something of resources lets shine through.
func (s *subject) transparent(resources objects.Dict, deep int) bool {
	for _, v := range s.Dict(resources["XObject"]) {
		d := s.Dict(v)
		if d["SMask"] != nil || s.Name(s.Dict(d["Group"])["S"]) == "Transparency" || deep < 20 && s.transparent(s.Dict(d["Resources"]), deep+1) {
			return true
		}
	}
	for _, v := range s.Dict(resources["ExtGState"]) {
		d := s.Dict(v)
		for _, key := range []objects.Name{"ca", "CA"} {
			if a, is := s.Number(d[key]); is && a < 1 {
				return true
			}
		}
		if m := s.Resolve(d["SMask"]); m != nil && m != objects.Name("None") {
			return true
		}
	}
	return false
}
