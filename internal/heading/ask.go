package heading

import (
	"saltline/internal/crew"
	"saltline/internal/table"
)

// ask asks the same of every row. Long logs are parted among the processors.
func ask(rows []table.Row, is func(table.Row) bool) []bool {
	answers := make([]bool, len(rows))
	crew.Share(len(rows), func(from, to int) {
		for i := from; i < to; i++ {
			answers[i] = is(rows[i])
		}
	})
	return answers
}
