package heading

import (
	"saltline/internal/crew"
	"saltline/internal/table"
)

// rowsAtOnce is how many rows are looked at by one processor before it takes the
// next.
const rowsAtOnce = 4096

// ask asks the same of every row. Long logs are parted among the processors.
func ask(rows []table.Row, is func(table.Row) bool) []bool {
	answers := make([]bool, len(rows))
	crew.Do((len(rows)+rowsAtOnce-1)/rowsAtOnce, func(k int) {
		for i := k * rowsAtOnce; i < min((k+1)*rowsAtOnce, len(rows)); i++ {
			answers[i] = is(rows[i])
		}
	})
	return answers
}
