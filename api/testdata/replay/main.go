// Command replay answers operations read from standard input, one JSON object a
// line: {"operation": name, "input": value}. It writes one line an answer, the
// exact bytes of the core, or of the problem details. The tests build it for
// other targets and compare the bytes.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"

	"pintail/api"
)

func main() {
	lines := bufio.NewScanner(os.Stdin)
	lines.Buffer(nil, 4*api.MaxInput)
	out := bufio.NewWriter(os.Stdout)
	for lines.Scan() {
		var asked struct {
			Operation string          `json:"operation"`
			Input     json.RawMessage `json:"input"`
		}
		if err := json.Unmarshal(lines.Bytes(), &asked); err != nil {
			fail(err)
		}
		answer, problem := api.Run(asked.Operation, asked.Input)
		if problem != nil {
			answer = problem.JSON()
		}
		out.Write(append(answer, '\n'))
	}
	if err := lines.Err(); err != nil {
		fail(err)
	}
	if err := out.Flush(); err != nil {
		fail(err)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}
