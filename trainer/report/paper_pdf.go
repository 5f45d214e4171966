package report

import (
	"fmt"
	"io"

	"codeberg.org/go-pdf/fpdf"
)

const (
	paperMargin = 12.0 // mm
	paperLine   = 3.7  // mm from one line to the next
)

// PaperPDF writes the paper as a PDF, black on white. Its letters are those of western
// Europe; others come out as dots, where PaperHTML has them all. The same paper gives
// the same bytes.
func PaperPDF(out io.Writer, pa Paper) error {
	size := "A4"
	if pa.Letter {
		size = "Letter"
	}
	f := fpdf.New("P", "mm", size, "")
	latin := f.UnicodeTranslatorFromDescriptor("")
	f.SetCatalogSort(true)
	f.SetCreationDate(pa.Made.UTC())
	f.SetModificationDate(pa.Made.UTC())
	f.SetTitle(pa.Taken.Learner+", practice record", true)
	f.SetLang("en")
	f.SetMargins(paperMargin, paperMargin, paperMargin)
	f.SetAutoPageBreak(true, paperMargin+6)
	f.SetFooterFunc(func() {
		f.SetY(-paperMargin - 2)
		f.SetFont("Helvetica", "B", 8)
		f.CellFormat(0, 4, latin(fmt.Sprintf("%s   sheet %d", paperWords, f.PageNo())), "T", 0, "C", false, 0, "")
	})
	f.AddPage()
	wide, high := f.GetPageSize()
	room := wide - 2*paperMargin
	fits := func(h float64) { // begins a new sheet where so much does not fit
		if f.GetY()+h > high-paperMargin-6 {
			f.AddPage()
		}
	}
	f.SetFont("Helvetica", "B", 20)
	f.SetLineWidth(0.8)
	f.MultiCell(room, 12, latin(paperWords), "1", "C", false)
	f.SetLineWidth(0.1)
	f.Ln(2)
	for _, bl := range pa.blocks() {
		if bl.heading != "" {
			fits(20)
			f.Ln(2)
			f.SetFont("Helvetica", "B", 11)
			f.MultiCell(room, 5.5, latin(bl.heading), "B", "L", false)
			f.Ln(0.8)
		}
		if bl.words != "" {
			fits(12)
			f.SetFont("Helvetica", map[bool]string{true: "B"}[bl.bold], 9)
			f.MultiCell(room, 4.2, latin(bl.words), "", "L", false)
		}
		if bl.seam != nil {
			fits(seamHigh)
			drawSeam(f, latin, *bl.seam, room)
		}
		for i, row := range bl.table {
			var cells [][]string
			lines := 1
			for k, cell := range row {
				f.SetFont("Helvetica", paperFont(bl, i, k), 7.5)
				var one []string
				for _, l := range f.SplitLines([]byte(latin(cell)), room*bl.widths[k]/100) {
					one = append(one, string(l))
				}
				cells = append(cells, one)
				lines = max(lines, len(one))
			}
			fits(float64(lines)*paperLine + 0.6)
			x, y := paperMargin, f.GetY()
			for k, one := range cells {
				f.SetFont("Helvetica", paperFont(bl, i, k), 7.5)
				for n, l := range one {
					f.SetXY(x, y+float64(n)*paperLine)
					f.CellFormat(room*bl.widths[k]/100, paperLine, l, "", 0, "L", false, 0, "")
				}
				x += room * bl.widths[k] / 100
			}
			y += float64(lines)*paperLine + 0.3
			f.Line(paperMargin, y, wide-paperMargin, y)
			f.SetXY(paperMargin, y+0.3)
		}
		f.Ln(1)
	}
	return f.Output(out)
}

// paperFont is bold for a table's head, or its first column without one.
func paperFont(bl block, row, column int) string {
	if bl.head && row == 0 || !bl.head && column == 0 {
		return "B"
	}
	return ""
}

func drawSeam(f *fpdf.Fpdf, latin func(string) string, s seamPlot, room float64) {
	top := f.GetY()
	f.SetLineWidth(0.3)
	f.SetFillColor(221, 221, 221)
	for i, widths := range [][]float64{s.face, s.back} {
		var points []fpdf.PointType
		for _, at := range s.outline(widths, room) {
			points = append(points, fpdf.PointType{X: paperMargin + at[0], Y: top + at[1]})
		}
		style := "FD"
		if i == 1 {
			style = "D"
			f.SetDashPattern([]float64{1.2, 0.8}, 0)
		}
		f.Polygon(points, style)
	}
	f.SetDashPattern(nil, 0)
	f.SetLineWidth(0.1)
	f.SetFont("Helvetica", "", 7.5)
	f.SetXY(paperMargin, top+seamHigh-4)
	f.CellFormat(room, 4, latin(s.legend()), "", 1, "L", false, 0, "")
}
