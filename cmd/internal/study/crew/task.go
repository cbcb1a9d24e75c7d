package crew

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"

	"noonkeep/cmd/internal/study/table"
)

// span is a task: Count neighbouring cases from First on.
type span struct {
	First int64 `json:"first"`
	Count int64 `json:"count"`
}

func (s span) body() []byte {
	data, _ := json.Marshal(s) // two numbers cannot fail
	return data
}

func (s span) end() int64 { return s.First + s.Count }

func (s span) String() string {
	if s.Count == 1 {
		return fmt.Sprintf("case %d", s.First)
	}
	return fmt.Sprintf("cases %d to %d", s.First, s.end()-1)
}

// readSpan reads a task of a study of n cases.
func readSpan(body []byte, n int64) (span, error) {
	var s span
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.DisallowUnknownFields()
	err := dec.Decode(&s)
	if _, more := dec.Token(); err != nil || more != io.EOF {
		return span{}, fmt.Errorf("task: is not two numbers first and count: %.60q", body)
	}
	if s.First < 0 || s.Count < 1 || s.Count > n || s.First > n-s.Count {
		return span{}, fmt.Errorf("task: is of %d cases from %d on; the study has %d", s.Count, s.First, n)
	}
	return s, nil
}

// key is the hash of a task's exact input: the plan with its texts and data, the program, and which cases. A part of it
// that is handed out anew is told apart by its round, since a queue drops a key that it has just seen.
func (s span) key(study, build string, round int64) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %s %d+%d %d", study, build, s.First, s.Count, round))
	return hex.EncodeToString(sum[:16])
}

// Names under which the rows of a study say where they are from.
const (
	metaStudy   = "study"
	metaProgram = "program"
)

// packed is rows as a message and as a part of a folder: a table's file.
func packed(head table.Head, rows []table.Row) ([]byte, error) {
	var out bytes.Buffer
	if err := table.Write(&out, head, rows); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// unpacked reads rows that must be of a study and a build, of cases 0 to n-1, at most n of them.
func unpacked(body []byte, head table.Head, n int64) ([]table.Row, error) {
	f, err := table.Open(bytes.NewReader(body), int64(len(body)))
	if err != nil {
		return nil, err
	}
	for _, name := range []string{metaStudy, metaProgram} {
		if got := f.Head().Meta[name]; got != head.Meta[name] {
			return nil, fmt.Errorf("is of %s %.40q; want %q", name, got, head.Meta[name])
		}
	}
	if f.Len() > n {
		return nil, fmt.Errorf("has %d rows; the study has %d cases", f.Len(), n)
	}
	var rows []table.Row
	for row, err := range f.Rows() {
		if err != nil {
			return nil, err
		}
		if row.Case < 0 || row.Case >= n {
			return nil, fmt.Errorf("has a case %d; the study has %d", row.Case, n)
		}
		rows = append(rows, row)
	}
	return rows, nil
}
