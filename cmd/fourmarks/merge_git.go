package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge/branch"
	"fourmarks.example/lint/report"
)

// mergeDriver merges one file for git.
func (p *program) mergeDriver(args []string) error {
	const usage = "--driver takes what git gives: %O %A %B %P and perhaps %L; fourmarks setup git shows the line for git"
	if len(args) != 4 && len(args) != 5 {
		return errors.New(usage)
	}
	markers := 0
	if len(args) == 5 {
		var err error
		if markers, err = strconv.Atoi(args[4]); err != nil || markers < 0 || markers > 1000 {
			return fmt.Errorf("%q is no length of markers; %s", args[4], usage)
		}
	}
	if err := branch.Driver(args[0], args[1], args[2], args[3], markers); err != nil {
		p.remark("%s: %s", args[3], err)
		return errFound
	}
	return nil
}

// mergeAudit looks into a merge commit.
func (p *program) mergeAudit(ctx context.Context, args []string, asJSON bool) error {
	rev := "HEAD"
	switch len(args) {
	case 0:
	case 1:
		rev = args[0]
	default:
		return errors.New("--audit looks into one merge commit at a time")
	}
	r, err := commits.Open(".")
	if err != nil {
		return err
	}
	defer r.Close()
	h, err := r.Resolve(rev)
	if err != nil {
		return err
	}
	faults, err := branch.Audit(ctx, r, h)
	if err != nil {
		return err
	}
	if err := p.showFaults(faults, asJSON); err != nil {
		return err
	}
	if len(faults) > 0 {
		return errFound
	}
	p.remark("every figure of both sides is in the merge %s as it follows from them", commits.Short(h))
	return nil
}

func (p *program) showFaults(faults []branch.Fault, asJSON bool) error {
	if asJSON {
		if faults == nil {
			faults = []branch.Fault{}
		}
		return report.WriteJSON(p.Out, map[string]any{"faults": faults})
	}
	var b strings.Builder
	for _, f := range faults {
		c := f.Claim()
		p.indented(&b, 0, fmt.Sprintf("%s  %s %s", f.File, strings.TrimSpace(c.Variant+" "+c.Path), f.What))
		for _, said := range f.Said() {
			p.indented(&b, 2, said)
		}
	}
	_, err := io.WriteString(p.Out, b.String())
	return err
}
