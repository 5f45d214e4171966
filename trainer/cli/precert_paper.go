package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/report"
)

type paperOptions struct {
	*app
	HTML, PDF, Date string
	Letter          bool
}

func newPrecertPaper(a *app) *cobra.Command {
	o := &paperOptions{app: a}
	cmd := &cobra.Command{
		Use:   "paper FILE --html FILE|--pdf FILE [--letter]",
		Short: "The practice record of a test",
		Long: `Make the practice record of a test: the coupons as measured, the inspector's lines,
the check against the procedure, the result and the line that decided, what such a
test would qualify for, the dates, the time lost, and in large words that it certifies
nothing. Every coupon is welded again for it; one that comes out otherwise than when
it was taken is told on the paper. Black on white; A4, or Letter with --letter. The
PDF holds western letters, the page all of them.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise precert paper TS-01-Ann.json --pdf ann.pdf",
		Args:    oneFile("the file of puddlewise precert test"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args[0]) },
	}
	cmd.Flags().StringVar(&o.HTML, "html", "", "write a page to `FILE`")
	cmd.Flags().StringVar(&o.PDF, "pdf", "", "write a PDF to `FILE`")
	cmd.Flags().BoolVar(&o.Letter, "letter", false, "a sheet of Letter, not A4")
	cmd.Flags().StringVar(&o.Date, "date", "", "the `DATE` on the paper, such as 2026-03-04; today when not given")
	return cmd
}

func (o *paperOptions) run(name string) error {
	if o.HTML == "" && o.PDF == "" {
		return usageError("precert paper needs --html or --pdf\nwhere does the paper go?")
	}
	for _, file := range []string{o.HTML, o.PDF} {
		if file != "" && same(file, name) {
			return usageError("%s is the test itself\nname another file", file)
		}
	}
	made := o.env.Now()
	if o.Date != "" {
		var err error
		if made, err = time.Parse(time.DateOnly, o.Date); err != nil {
			return usageError("--date cannot be %.40q\nwrite year, month and day: 2026-03-04", o.Date)
		}
	}
	made = time.Date(made.Year(), made.Month(), made.Day(), 0, 0, 0, 0, time.UTC)
	taken, err := precert.ReadTaken(name)
	if err != nil {
		return badFile(err)
	}
	outcome, err := taken.Judge(scoring.Judge)
	if err != nil {
		return badFile(fmt.Errorf("%s: %w", name, err))
	}
	paper := report.Paper{Taken: taken, Outcome: outcome, Made: made, Letter: o.Letter}
	for _, one := range []struct {
		file  string
		write func(io.Writer, report.Paper) error
	}{{o.HTML, report.PaperHTML}, {o.PDF, report.PaperPDF}} {
		if one.file == "" {
			continue
		}
		var b bytes.Buffer
		if err := one.write(&b, paper); err != nil {
			return err
		}
		if err := os.WriteFile(one.file, b.Bytes(), 0o644); err != nil {
			return fmt.Errorf("the paper is not written: %w", err)
		}
		fmt.Fprintf(o.Out, "wrote %s\n", one.file)
	}
	return nil
}

// same says whether two names are one file.
func same(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	if errX != nil || errY != nil {
		return filepath.Clean(a) == filepath.Clean(b)
	}
	return os.SameFile(x, y)
}
