package table

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"

	"saltline/internal/diag"
)

// A content is what a file turns out to be.
type content int

const (
	isText content = iota
	isWorkbook
	isEmpty
	isEncrypted
	isOldWorkbook
	isOtherCompound
	isBinaryWorkbook
	isOpenDocument
	isWordProcessing
	isOtherZip
	isDamagedZip
	isPDF
	isPicture
	isMarkup
	isRichText
	isBinary
	isUTF32
)

// sniff tells what data is from its first bytes, and from the part names of a
// zip archive.
func sniff(data []byte) content {
	has := func(prefix string) bool { return bytes.HasPrefix(data, []byte(prefix)) }
	switch {
	case len(data) == 0:
		return isEmpty
	case has("PK\x03\x04"), has("PK\x05\x06"):
		return sniffZip(data)
	case has("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"): // compound file binary
		return sniffCompound(data)
	case has("%PDF-"):
		return isPDF
	case has("\x89PNG"), has("\xFF\xD8\xFF"), has("GIF8"), has("II*\x00"), has("MM\x00*"):
		return isPicture
	case has(`{\rtf`):
		return isRichText
	case has("\xFF\xFE\x00\x00"), has("\x00\x00\xFE\xFF"): // no text in UTF-16 begins with U+0000
		return isUTF32
	}
	head := data[:min(len(data), 4096)]
	text := strings.ToLower(strings.TrimLeft(string(bytes.TrimPrefix(head, []byte(bomUTF8))), " \t\r\n"))
	for _, tag := range []string{"<?xml", "<html", "<!doctype html", "<table", "<meta"} {
		if strings.HasPrefix(text, tag) {
			return isMarkup
		}
	}
	if detectUTF16(data) == noUTF16 && controls(head)*10 > len(head) {
		return isBinary
	}
	if strings.Trim(text, "\x00 \t\r\n") == "" && len(head) == len(data) {
		return isEmpty
	}
	return isText
}

// controls counts the bytes of b that no text has.
func controls(b []byte) (n int) {
	for _, c := range b {
		if c < ' ' && c != '\t' && c != '\n' && c != '\r' && c != '\f' {
			n++
		}
	}
	return n
}

// sniffZip looks for the parts that tell one zipped format from another.
func sniffZip(data []byte) content {
	z, err := openArchive(data)
	if err != nil {
		return isDamagedZip
	}
	for _, f := range z.File {
		name := strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/"))
		switch {
		case name == "xl/workbook.xml":
			return isWorkbook
		case name == "xl/workbook.bin":
			return isBinaryWorkbook
		case strings.HasPrefix(name, "word/"):
			return isWordProcessing
		case name == "mimetype" && strings.Contains(firstBytes(f, 256), "opendocument"):
			return isOpenDocument
		}
	}
	return isOtherZip
}

// firstBytes reads the start of a zipped part, "" if that fails.
func firstBytes(f *zip.File, n int64) string {
	rc, err := f.Open()
	if err != nil {
		return ""
	}
	defer rc.Close()
	b, err := io.ReadAll(io.LimitReader(rc, n))
	if err != nil {
		return ""
	}
	return string(b)
}

// sniffCompound tells an encrypted workbook from one in the old binary format
// by the stream names of the compound file, which are UTF-16.
func sniffCompound(data []byte) content {
	utf16 := func(s string) []byte {
		b := make([]byte, 0, 2*len(s))
		for i := range len(s) {
			b = append(b, s[i], 0)
		}
		return b
	}
	switch {
	case bytes.Contains(data, utf16("EncryptedPackage")):
		return isEncrypted
	case bytes.Contains(data, utf16("Workbook")), bytes.Contains(data, utf16("Book")):
		return isOldWorkbook
	}
	return isOtherCompound
}

// wantedFile is what Read reads, in the words of a refusal.
const wantedFile = "an .xlsx workbook or a CSV file"

// refusals say what each unreadable content is and what to do about it.
var refusals = map[content]struct{ check, found, hint string }{
	isEmpty:          {"empty-file", "an empty file", "check that the file was copied completely"},
	isEncrypted:      {"encrypted-workbook", "a workbook locked with a password", "open it with its password, save a copy without one and read that"},
	isOldWorkbook:    {"old-workbook", "a workbook in the old binary format (.xls)", "open it and save it as .xlsx or as CSV"},
	isOtherCompound:  {"not-a-table", "an old office document that holds no workbook", "save the table as .xlsx or as CSV"},
	isBinaryWorkbook: {"binary-workbook", "a workbook in the binary format (.xlsb)", "open it and save it as .xlsx or as CSV"},
	isOpenDocument:   {"open-document", "an OpenDocument file (.ods, .odt …)", "open it and save it as .xlsx, or each sheet as CSV"},
	isWordProcessing: {"not-a-table", "a word-processing document", "copy the table into a workbook and save it as .xlsx"},
	isOtherZip:       {"not-a-table", "a zip archive that is no workbook", "unpack it and give the folder or the file inside"},
	isDamagedZip:     {"damaged-file", "a damaged or cut-off zip archive", "copy the workbook again from where it was made"},
	isPDF:            {"not-a-table", "a PDF document", "give the workbook or the CSV file that it was printed from"},
	isPicture:        {"not-a-table", "a picture", "type the readings into a workbook or a CSV file"},
	isMarkup:         {"not-a-table", "a web page or another XML text, whatever its name says", "open it in a spreadsheet program and save it as .xlsx or as CSV"},
	isRichText:       {"not-a-table", "a rich-text document", "copy the table into a workbook and save it as .xlsx"},
	isUTF32:          {"not-a-table", "a text in UTF-32", "save the file as UTF-8"},
	isBinary:         {"not-a-table", "binary data", "check that this is the file you meant"},
}

// refuseKind is the refusal of a file that is neither workbook nor text.
func (r *reader) refuseKind(kind content) *Refusal {
	why := refusals[kind]
	return r.refuse(diag.Pos{}, why.check, why.found, wantedFile, why.hint)
}
