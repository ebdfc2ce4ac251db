package main

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
)

const (
	xmlns  = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	links  = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
)

// A parcel is a workbook part by part, as a recipe for each.
type parcel map[string]recipe

// honest is a workbook of two tests, whose parts a stranger may exchange.
func honest() parcel {
	return parcel{
		"[Content_Types].xml":        of(`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`),
		"_rels/.rels":                of(links + `<Relationship Id="rId1" Type="` + office + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`),
		"xl/workbook.xml":            of(bookOf(`<sheet name="log" sheetId="1" r:id="rId1"/>`)),
		"xl/_rels/workbook.xml.rels": of(linksOf("")),
		"xl/worksheets/sheet1.xml":   of(sheetOf(bookRows, "")),
	}
}

// with exchanges a part, or adds one.
func (p parcel) with(name string, part recipe) parcel {
	p[name] = part
	return p
}

// without leaves a part out.
func (p parcel) without(name string) parcel {
	delete(p, name)
	return p
}

// bookOf is the part that lists the sheets.
func bookOf(sheets string) string {
	return `<workbook ` + xmlns + ` xmlns:r="` + office + `"><sheets>` + sheets + `</sheets></workbook>`
}

// linksOf is the part that says where the sheets are, and more.
func linksOf(more string) string {
	return links + `<Relationship Id="rId1" Type="` + office + `/worksheet" Target="worksheets/sheet1.xml"/>` + more + `</Relationships>`
}

func sheetOf(rows, after string) string {
	return `<worksheet ` + xmlns + `><sheetData>` + rows + `</sheetData>` + after + `</worksheet>`
}

// bookRows is a heading and two honest tests.
var bookRows = rowOf(1, "Test", "Date", "Blank µS/cm", "Extract µS/cm", "Volume ml", "mg/m²", "Remark") +
	rowOf(2, "1", "2026-03-03", "1.5", "12.0", "3", "12.6") + rowOf(3, "2", "2026-03-03", "1.5", "13.0", "3", "13.8")

// rowOf is a row of texts.
func rowOf(n int, texts ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<row r="%d">`, n)
	for i, text := range texts {
		fmt.Fprintf(&b, `<c r="%c%d" t="inlineStr"><is><t>%s</t></is></c>`, 'A'+i, n, text)
	}
	return b.String() + `</row>`
}

// zip is the recipe of the workbook.
func (p parcel) zip() recipe { return p.zipThen(func(*zip.Writer) error { return nil }) }

// zipThen is the recipe of the workbook with more behind its parts.
func (p parcel) zipThen(more func(*zip.Writer) error) recipe {
	return func(out io.Writer) error {
		z := zip.NewWriter(out)
		for _, name := range slices.Sorted(maps.Keys(p)) {
			w, err := z.Create(name)
			if err == nil {
				err = p[name](w)
			}
			if err != nil {
				return err
			}
		}
		if err := more(z); err != nil {
			return err
		}
		return z.Close()
	}
}

// spoilt is the workbook as bytes, changed.
func (p parcel) spoilt(change func([]byte) []byte) recipe {
	return func(out io.Writer) error {
		var b bytes.Buffer
		if err := p.zip()(&b); err != nil {
			return err
		}
		_, err := out.Write(change(b.Bytes()))
		return err
	}
}

// entries adds so many parts of one name after another.
func entries(n int, name func(int) string, body string) func(*zip.Writer) error {
	return func(z *zip.Writer) error {
		for i := range n {
			w, err := z.Create(name(i))
			if err == nil {
				_, err = io.WriteString(w, body)
			}
			if err != nil {
				return err
			}
		}
		return nil
	}
}

// patched overwrites bytes behind the n-th signature of a kind.
func patched(data []byte, signature string, at int, value ...byte) []byte {
	i := bytes.Index(data, []byte(signature))
	copy(data[i+at:], value)
	return data
}

// TestArchivesOfStrangers reads workbooks whose zip file is made to fill the
// memory, or is not what it says.
func TestArchivesOfStrangers(t *testing.T) {
	const giga = 1 << 30
	zeros := strings.Repeat("\x00", 1<<16)
	blanks := func(n int) recipe {
		return times(`<worksheet `+xmlns+`>`, strings.Repeat(" ", 1<<16), n>>16, "</worksheet>")
	}
	comments := func(n int) recipe {
		return times(`<worksheet `+xmlns+`>`, "<!-- "+strings.Repeat(" ", 1<<16-9)+"-->", n>>16, "</worksheet>")
	}
	const sheet, texts, styles = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/styles.xml"
	withTexts := linksOf(`<Relationship Id="rId2" Type="` + office + `/sharedStrings" Target="sharedStrings.xml"/>`)
	many := func(n int) (sheets, rels string) {
		var a, b strings.Builder
		for i := range n {
			fmt.Fprintf(&a, `<sheet name="s%d" sheetId="%d" r:id="r%d"/>`, i, i+1, i)
			fmt.Fprintf(&b, `<Relationship Id="r%d" Type="%s/worksheet" Target="worksheets/sheet1.xml"/>`, i, office)
		}
		return a.String(), b.String()
	}
	manySheets, manyLinks := many(700)
	thousands, thousandsOfLinks := many(5_000)
	all(t, []stranger{
		{"5,000 sheets.xlsx", honest().with("xl/workbook.xml", of(bookOf(thousands))).with("xl/_rels/workbook.xml.rels", of(linksOf(thousandsOfLinks))).zip(),
			1, "5000 sheets, but wanted at most", "give the sheets of the job alone"},
		{"30,000 parts.xlsx", honest().zipThen(entries(30_000, func(i int) string { return fmt.Sprint("xl/media/", i) }, "")), 1, "damaged or cut-off zip", "copy the workbook again"},
		{"5,000 parts.xlsx", honest().zipThen(entries(5_000, func(i int) string { return fmt.Sprint("xl/media/", i) }, "")), 0, "", ""},
		{"a part twice.xlsx", honest().zipThen(entries(1, func(int) string { return sheet }, sheetOf("", ""))), 1, `it holds "xl/worksheets/sheet1.xml" twice`, "let that repair it"},
		{"a part twice in capitals.xlsx", honest().zipThen(entries(1, func(int) string { return strings.ToUpper(sheet) }, sheetOf("", ""))), 1, "twice", "let that repair it"},
		{"absolute names.xlsx", honest().zipThen(entries(1, func(int) string { return "/etc/owned" }, "x")), 0, "", ""},
		{"names that climb.xlsx", honest().zipThen(entries(1, func(int) string { return "../../owned" }, "x")), 0, "", ""},
		{"names of another system.xlsx", honest().zipThen(entries(1, func(int) string { return `C:\owned` }, "x")), 0, "", ""},
		{"a name with NUL.xlsx", honest().zipThen(entries(1, func(int) string { return "xl/\x00\x1b[2J" }, "x")), 0, "", ""},
		{"garbage behind.xlsx", honest().spoilt(func(b []byte) []byte { return append(b, bytes.Repeat([]byte("garbage "), 100)...) }), 0, "", ""},
		{"garbage before.xlsx", honest().spoilt(func(b []byte) []byte { return append([]byte("MZ garbage\x00\x01\x02\x03\x04"), b...) }), 1, "binary data", "check that this is the file"},
		{"cut in the middle.xlsx", honest().spoilt(func(b []byte) []byte { return b[:len(b)/2] }), 1, "damaged or cut-off zip", "copy the workbook again"},
		{"cut at the end.xlsx", honest().spoilt(func(b []byte) []byte { return b[:len(b)-10] }), 1, "damaged or cut-off zip", "copy the workbook again"},
		{"no directory.xlsx", honest().spoilt(func(b []byte) []byte { return patched(b, "PK\x05\x06", 16, 0xff, 0xff, 0xff, 0x7f) }), 1, "a damaged workbook", "let that repair it"},
		{"a directory that leads nowhere.xlsx", honest().spoilt(func(b []byte) []byte {
			at := bytes.Index(b, []byte("PK\x01\x02"))
			for i := at; i >= 0 && i < len(b); { // every part is said to begin behind the end
				binary.LittleEndian.PutUint32(b[i+42:], 0x7fffffff)
				next := bytes.Index(b[i+4:], []byte("PK\x01\x02"))
				if next < 0 {
					break
				}
				i += 4 + next
			}
			return b
		}), 1, "damaged", ""},
		{"parts that overlap.xlsx", overlapping, 1, "damaged", ""},
		{"a part that is larger than it says.xlsx", lying(10), 1, "damaged workbook", "let that repair it"},
		{"a part that is smaller than it says.xlsx", lying(0xfffffff0), 1, "damaged workbook", "let that repair it"},
		{"a wrong sum.xlsx", honest().spoilt(func(b []byte) []byte {
			for i := 0; ; i++ {
				next := bytes.Index(b[i:], []byte("PK\x01\x02"))
				if next < 0 {
					return b
				}
				i += next
				b[i+16] ^= 0xff
			}
		}), 1, "checksum", "let that repair it"},
		{"locked parts.xlsx", honest().spoilt(func(b []byte) []byte {
			for i := 0; ; i++ {
				next := bytes.Index(b[i:], []byte("PK\x01\x02"))
				if next < 0 {
					return b
				}
				i += next
				b[i+8] |= 1
			}
		}), 1, "locked with a password", "save a copy without one"},
		{"an unknown packing.xlsx", honest().spoilt(func(b []byte) []byte {
			for i := 0; ; i++ {
				next := bytes.Index(b[i:], []byte("PK\x01\x02"))
				if next < 0 {
					return b
				}
				i += next
				b[i+10] = 99
			}
		}), 1, "unsupported compression", "let that repair it"},
		{"more entries than there are.xlsx", honest().spoilt(func(b []byte) []byte { return patched(b, "PK\x05\x06", 8, 0xfe, 0xff, 0xfe, 0xff) }), 1, "damaged or cut-off zip", ""},
		{"64 bits.xlsx", sixtyFour, 1, "damaged or cut-off zip", "copy the workbook again"},
		{"nothing but an end.xlsx", of("PK\x05\x06" + strings.Repeat("\x00", 18)), 1, "a zip archive that is no workbook", "unpack it"},
		{"a CSV named so.xlsx", of(logHead + logRows), 0, "", ""},
		{"a workbook named so.csv", honest().zip(), 0, "", ""},
		{"honest.xlsx", honest().zip(), 0, "", ""},
	})
	grand(t, []stranger{
		{"one sheet of 1 GB of blanks.xlsx", honest().with(sheet, blanks(giga)).zip(), 1, "a tag or a text of more than", "let that repair it"},
		{"one sheet of 1 GB of comments.xlsx", honest().with(sheet, comments(giga)).zip(), 1, "unpacks to more than the limit", "give the sheets of the job alone"},
		{"one sheet of 1 GB of zeros.xlsx", honest().with(sheet, times("", zeros, giga>>16, "")).zip(), 1, "damaged workbook", ""},
		{"700 sheets of one part.xlsx", honest().with("xl/workbook.xml", of(bookOf(manySheets))).with("xl/_rels/workbook.xml.rels", of(linksOf(manyLinks))).
			with(sheet, comments(16<<20)).zip(), 1, "unpacks to more than the limit", "give the sheets of the job alone"},
		{"700 sheets that end far below.xlsx", honest().with("xl/workbook.xml", of(bookOf(manySheets))).with("xl/_rels/workbook.xml.rels", of(linksOf(manyLinks))).
			with(sheet, of(sheetOf(rowOf(200_000, "x"), ""))).zip(), 1, "more than 2000000 cells", "delete what stands far"},
		{"1 GB of texts.xlsx", honest().with("xl/_rels/workbook.xml.rels", of(withTexts)).
			with(texts, times(`<sst `+xmlns+`>`, "<si><t>"+strings.Repeat("wet ", 8_000)+"</t></si>", giga/32_000, "</sst>")).zip(), 1, "texts of more than", "give the sheets of the job alone"},
		{"10 million texts.xlsx", honest().with("xl/_rels/workbook.xml.rels", of(withTexts)).with(texts, times(`<sst `+xmlns+`>`, "<si/>", 10_000_000, "</sst>")).zip(),
			1, "more than 2000000 texts", "give the sheets of the job alone"},
		{"a million texts.xlsx", honest().with("xl/_rels/workbook.xml.rels", of(withTexts)).with(texts, times(`<sst `+xmlns+`>`, "<si><t>wet</t></si>", 1_000_000, "</sst>")).zip(), 0, "", ""},
		{"10 million styles.xlsx", honest().with(styles, times(`<styleSheet `+xmlns+`><cellXfs>`, "<xf/>", 3_000_000, "</cellXfs></styleSheet>")).zip(), 1, "more than 250000 elements", "let that repair it"},
		{"1 GB of styles.xlsx", honest().with(styles, blanks(giga)).zip(), 1, "larger than", "let that repair it"},
		{"1 GB of theme.xlsx", honest().with("xl/theme/theme1.xml", blanks(giga)).zip(), 1, "larger than", "let that repair it"},
		{"1 GB of links.xlsx", honest().with("xl/_rels/workbook.xml.rels", blanks(giga)).zip(), 1, "larger than", "let that repair it"},
		{"1 GB of pictures.xlsx", honest().with("xl/media/image1.png", times("", zeros, giga>>16, "")).zip(), 0, "", ""},
		{"a bomb within.xlsx", honest().with("xl/media/inner.zip", honest().with(sheet, times("", zeros, giga>>16, "")).zip()).zip(), 0, "", ""},
	})
}

// overlapping is a zip file in which a thousand sheets are the same bytes.
func overlapping(out io.Writer) error {
	var b bytes.Buffer
	if err := honest().zip()(&b); err != nil {
		return err
	}
	data := b.Bytes()
	directory := bytes.Index(data, []byte("PK\x01\x02"))
	end := bytes.LastIndex(data, []byte("PK\x05\x06"))
	one := data[directory:end]
	all := bytes.Repeat(one, 1_000)
	tail := bytes.Clone(data[end:])
	binary.LittleEndian.PutUint16(tail[8:], uint16(5_000))
	binary.LittleEndian.PutUint16(tail[10:], uint16(5_000))
	binary.LittleEndian.PutUint32(tail[12:], uint32(len(all)))
	for _, part := range [][]byte{data[:directory], all, tail} {
		if _, err := out.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// lying is a workbook whose sheet says that it has so many bytes.
func lying(size uint32) recipe {
	return func(out io.Writer) error {
		z := zip.NewWriter(out)
		p := honest()
		for _, name := range slices.Sorted(maps.Keys(p)) {
			var b bytes.Buffer
			if err := p[name](&b); err != nil {
				return err
			}
			h := &zip.FileHeader{Name: name, Method: zip.Store, CRC32: crc32.ChecksumIEEE(b.Bytes()), CompressedSize64: uint64(b.Len()), UncompressedSize64: uint64(b.Len())}
			if strings.HasSuffix(name, "sheet1.xml") {
				h.UncompressedSize64 = uint64(size)
			}
			w, err := z.CreateRaw(h)
			if err == nil {
				_, err = w.Write(b.Bytes())
			}
			if err != nil {
				return err
			}
		}
		return z.Close()
	}
}

// sixtyFour is a workbook whose end says that its directory is larger than any
// file.
func sixtyFour(out io.Writer) error {
	return honest().spoilt(func(b []byte) []byte {
		end := bytes.LastIndex(b, []byte("PK\x05\x06"))
		directory := binary.LittleEndian.AppendUint32(nil, 0x06064b50)
		directory = binary.LittleEndian.AppendUint64(directory, 44)
		directory = append(directory, 45, 0, 45, 0)
		directory = append(directory, make([]byte, 8)...)
		for range 4 {
			directory = binary.LittleEndian.AppendUint64(directory, 1<<62)
		}
		locator := binary.LittleEndian.AppendUint32(nil, 0x07064b50)
		locator = append(locator, 0, 0, 0, 0)
		locator = binary.LittleEndian.AppendUint64(locator, uint64(end))
		locator = append(locator, 1, 0, 0, 0)
		tail := bytes.Clone(b[end:])
		copy(tail[8:], bytes.Repeat([]byte{0xff}, 12))
		return slices.Concat(b[:end], directory, locator, tail)
	})(out)
}
