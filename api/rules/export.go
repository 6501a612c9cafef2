package rules

import (
	"pintail/api/finding"
	"pintail/api/rig"
	"pintail/api/strictjson"
)

// ExportInput is the input of rules/export: which rows, in which format.
type ExportInput struct {
	Format       Format   `json:"format"`
	Jurisdiction string   `json:"jurisdiction,omitzero"`
	Subject      Subject  `json:"subject,omitzero"`
	Standing     Standing `json:"standing,omitzero"`
	RuleChanges  []Change `json:"rule_changes,omitzero"`
}

// Validate returns what is not possible in the input, nil if nothing.
func (in ExportInput) Validate() *finding.Error {
	c := rig.NewChecker()
	checkFormat(c, in.Format)
	checkFilter(c, in.Jurisdiction, in.Subject)
	rig.Choice(c, "standing", in.Standing)
	checkChanges(c.In("rule_changes"), in.RuleChanges, MaxRows)
	return c.Err()
}

// Exported is the answer of rules/export: a file that rules/import reads back
// as exactly the same rows.
type Exported struct {
	finding.Stamp `json:",inline"`
	Text          string `json:"text"`
	Rows          int    `json:"rows"`
}

// Export writes the rows of a workspace as a file.
func Export(in ExportInput) Exported {
	rows := ListRows(RowsInput{Jurisdiction: in.Jurisdiction, Subject: in.Subject, Standing: in.Standing, RuleChanges: in.RuleChanges}).Rows
	if in.Format == FormatCSV {
		return Exported{Text: sheetOf(rows), Rows: len(rows)}
	}
	return Exported{Text: listOf(rows), Rows: len(rows)}
}

// listOf writes rows as a JSON array, one row a line.
func listOf(rows []RowAt) string {
	b := []byte("[\n")
	for i := range rows {
		if i > 0 {
			b = append(b, ",\n"...)
		}
		row, err := strictjson.Marshal(listedRow{rows[i].Standing, rows[i].Row})
		if err != nil {
			panic(err) // a row that passed check has valid text and finite figures
		}
		b = append(b, row...)
	}
	return string(append(b, "\n]\n"...))
}
