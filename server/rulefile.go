package server

import (
	"fmt"
	"mime"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"pintail/api"
	"pintail/api/finding"
	"pintail/api/journal"
	"pintail/api/rules"
	"pintail/api/strictjson"
	"pintail/api/unit"
	"pintail/storage"
)

const csvType = "text/csv"

// formats are the media types of a file of rows.
var formats = map[string]rules.Format{csvType: rules.FormatCSV, jsonType: rules.FormatJSON}

// rowsFile refuses a body that is not declared as a file of rows.
func rowsFile(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if formatOf(c.Request()) == "" {
			return finding.NewError(finding.UnsupportedMediaType, "", "the Content-Type must be text/csv or application/json, in UTF-8 and not compressed")
		}
		return next(c)
	}
}

// formatOf is the format that the request declares, "" if it is none of ours.
func formatOf(r *http.Request) rules.Format {
	kind, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	charset, given := params["charset"]
	if err != nil || given && !strings.EqualFold(charset, "utf-8") || len(r.Header.Values("Content-Encoding")) > 0 {
		return ""
	}
	return formats[kind]
}

// take imports a file of rows, all of it or nothing. With dry_run it only says
// what an import would do.
func (r ruleRows) take(c echo.Context) error {
	body, err := readUpTo(c, rules.MaxFile, "10 MiB")
	if err != nil {
		return err
	}
	ctx, who := c.Request().Context(), callerOf(c)
	l, err := r.laid(ctx, who, "")
	if err != nil {
		return err
	}
	in := rules.ImportInput{
		Format: formatOf(c.Request()), Text: string(body), RuleChanges: l.changes, At: r.Now().UnixMilli(),
		By: c.QueryParam("by"), Reason: c.QueryParam("reason"), VerifiedOn: unit.Date(c.QueryParam("verified_on")),
	}
	if in.By == "" {
		in.By = who.actor
	}
	if problem := in.Validate(); problem != nil {
		return problem
	}
	report := rules.Import(in)
	report.Stamp = finding.Stamp{EngineVersion: api.EngineVersion, FactsVersion: api.FactsVersion}
	if c.QueryParam("dry_run") == "true" {
		return answerJSON(c, http.StatusOK, report)
	}
	if problem := refusedFile(report); problem != nil {
		return problem
	}
	if err := r.keepAll(c, l, report.Changes); err != nil {
		return err
	}
	return answerJSON(c, http.StatusOK, report)
}

// refusedFile says what keeps a file out, line by line, nil if nothing.
func refusedFile(report rules.Imported) *finding.Error {
	if len(report.Problems) == 0 {
		return nil
	}
	var e finding.Error
	for _, p := range report.Problems[:min(len(report.Problems), maxProblems)] {
		place := fmt.Sprintf("line %d", p.Line)
		if p.Column != "" {
			place += ", " + p.Column
		}
		e.Problems = append(e.Problems, finding.NewProblem(finding.InvalidValue, "", place+": "+p.Reason))
	}
	return &e
}

// keepAll writes changes, all or none.
func (r ruleRows) keepAll(c echo.Context, l laid, changes []rules.Change) error {
	writes := make([]storage.Write, len(changes))
	for i, ch := range changes {
		value, err := strictjson.Marshal([]rules.Change{ch})
		if err != nil {
			return err
		}
		if writes[i], err = r.write(c, ch.Row, []journal.Write{{Path: "/change", Value: value}}); err != nil {
			return err
		}
		writes[i].IfVersion, writes[i].IfAbsent = l.version[ch.Row], l.version[ch.Row] == 0
	}
	outs, err := callerOf(c).WriteAll(c.Request().Context(), writes)
	if err != nil {
		return err
	}
	for i, out := range outs {
		if out.Stale || out.Present {
			return finding.NewError(finding.PreconditionFailed, "", "rows were changed while the file was read, and nothing of it was taken; send it again")
		}
		if problem := r.refused(out, writes[i].Writes); problem != nil {
			return problem
		}
	}
	return nil
}

// give exports rows as a file that take reads back as exactly the same rows.
func (r ruleRows) give(c echo.Context) error {
	_, in, err := r.asked(c)
	if err != nil {
		return err
	}
	format, kind := rules.FormatJSON, jsonType
	if c.QueryParam("format") == string(rules.FormatCSV) {
		format, kind = rules.FormatCSV, csvType+"; charset=utf-8"
	}
	out := rules.Export(rules.ExportInput{Format: format, Jurisdiction: in.Jurisdiction, Subject: in.Subject, Standing: rules.Standing(c.QueryParam("standing")), RuleChanges: in.RuleChanges})
	c.Response().Header().Set("Cache-Control", "no-cache")
	c.Response().Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", "rules-"+string(in.On)+"."+string(format)))
	return c.Blob(http.StatusOK, kind, []byte(out.Text))
}
