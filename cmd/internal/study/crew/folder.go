package crew

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/gofrs/flock"

	"noonkeep/cmd/internal/study"
	"noonkeep/cmd/internal/study/table"
)

// Names in a study's folder.
const (
	stateName   = "state.json"
	planName    = "plan.json" // the plan's manifest
	lockName    = "lock"
	cancelName  = "cancel"
	partsName   = "parts"
	ResultsName = "results.parquet" // all rows in the order of their cases, once a study is done
	partEnding  = ".parquet"
	tempEnding  = ".unfinished" // of a file that is being written
	badEnding   = ".damaged"    // of a part that is not as it was written
)

// What a study in a folder is doing.
const (
	Running     = "running"
	Interrupted = "interrupted"
	Cancelled   = "cancelled"
	Done        = "done"
)

// State is what a folder says of its study.
type State struct {
	Study    string    `json:"study"` // id of the plan
	Name     string    `json:"name"`
	Program  string    `json:"program"` // [Build] of the program that runs it
	Physics  string    `json:"physics"`
	Owner    string    `json:"owner"`            // of the lead at the server; a folder keeps its own
	Server   string    `json:"server,omitempty"` // address of the queue; empty: in the same process
	State    string    `json:"state"`
	Of       int64     `json:"cases"`
	Done     int64     `json:"done"`
	SetAside int64     `json:"set_aside"`
	Rate     float64   `json:"cases_per_s"` // of the last minute
	Workers  int       `json:"workers"`     // machines seen lately, those of this process included
	Started  time.Time `json:"started"`
	At       time.Time `json:"at"`
}

// FolderError says that a study cannot be run into a folder.
type FolderError struct{ Dir, Text string }

func (e *FolderError) Error() string { return e.Dir + ": " + e.Text }

// folder is a study's folder, held by this process alone.
type folder struct {
	dir   string
	lock  *flock.Flock
	head  table.Head
	state State
	done  *set
	place func(path string, data []byte) error // a test's disk is full
}

// openFolder makes or reopens the folder of a plan, and finds which cases it has. Lines for the user go to say.
func openFolder(dir string, p study.Plan, head table.Head, say func(string)) (*folder, error) {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, &FolderError{dir, "is a file; want a folder for the results"}
	}
	if err := os.MkdirAll(filepath.Join(dir, partsName), 0o755); err != nil {
		return nil, fmt.Errorf("%s: cannot be made: %w", dir, bare(err))
	}
	f := &folder{dir: dir, head: head, lock: flock.New(filepath.Join(dir, lockName)), done: newSet(p.N), place: place}
	if err := f.hold(); err != nil {
		return nil, err
	}
	if err := f.own(p); err != nil {
		f.close()
		return nil, err
	}
	if err := f.readParts(say); err != nil {
		f.close()
		return nil, err
	}
	os.Remove(filepath.Join(dir, cancelName)) // of an earlier run
	return f, nil
}

// hold locks the folder. Who only looks whether it is held has it for a moment, so a refusal is tried again for a second.
func (f *folder) hold() error {
	ctx, stop := context.WithTimeout(context.Background(), time.Second)
	defer stop()
	held, err := f.lock.TryLockContext(ctx, 50*time.Millisecond)
	switch {
	case held:
		return nil
	case err == nil || errors.Is(err, context.DeadlineExceeded):
		return &FolderError{f.dir, "another noonkeep runs this study; wait for it, stop it, or give another --out"}
	}
	return fmt.Errorf("%s: cannot be locked: %w", f.dir, bare(err))
}

func (f *folder) close() { f.lock.Unlock() }

// own reads the folder's state, refuses another study or program, or begins anew.
func (f *folder) own(p study.Plan) error {
	old, err := ReadState(f.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		f.state = State{Study: p.ID, Name: p.Name, Program: f.head.Meta[metaProgram], Physics: study.Physics, Owner: newOwner(), Of: p.N, Started: now()}
	case err != nil:
		return err
	case old.Study != p.ID:
		return &FolderError{f.dir, fmt.Sprintf("holds another study, %q (%s), or this one before its file or inputs changed; give another --out", old.Name, old.Study)}
	case old.Program != f.head.Meta[metaProgram]:
		return &FolderError{f.dir, fmt.Sprintf("was begun by another build of noonkeep (%s; this is %s), and results of two are not mixed; go on with that one, or give another --out",
			old.Program, f.head.Meta[metaProgram])}
	default:
		f.state = old
	}
	if err := place(filepath.Join(f.dir, planName), p.Manifest()); err != nil {
		return err
	}
	return f.write(Running)
}

// PlanIn reads the plan of a folder's study.
func PlanIn(dir string) (study.Plan, error) {
	if _, err := ReadState(dir); err != nil {
		return study.Plan{}, err
	}
	path := filepath.Join(dir, planName)
	data, err := os.ReadFile(path)
	if err != nil {
		return study.Plan{}, fmt.Errorf("%s: %w", path, bare(err))
	}
	p, err := study.FromManifest(data)
	if err != nil {
		return study.Plan{}, fmt.Errorf("%s: %w", path, err)
	}
	return p, nil
}

func newOwner() string {
	var b [8]byte
	rand.Read(b[:]) // never fails
	return hex.EncodeToString(b[:])
}

func now() time.Time { return time.Now().UTC().Truncate(time.Second) }

// write sets the state down.
func (f *folder) write(state string) error {
	f.state.State, f.state.Done, f.state.At = state, f.done.count, now()
	data, err := json.MarshalIndent(f.state, "", "  ")
	if err != nil {
		return err
	}
	return place(filepath.Join(f.dir, stateName), append(data, '\n'))
}

// ReadState reads what a folder says of its study.
func ReadState(dir string) (State, error) {
	path := filepath.Join(dir, stateName)
	data, err := os.ReadFile(path)
	if err != nil {
		return State{}, fmt.Errorf("%s: holds no study: %w", dir, bare(err))
	}
	var s State
	if err := json.Unmarshal(data, &s); err != nil || s.Study == "" {
		return State{}, fmt.Errorf("%s: is not as noonkeep wrote it; move it away to begin anew (finished cases in %s are kept)", path, partsName)
	}
	return s, nil
}

// Held tells whether a process runs the folder's study now.
func Held(dir string) bool {
	l := flock.New(filepath.Join(dir, lockName), flock.SetFlag(os.O_RDONLY))
	free, err := l.TryRLock()
	if free {
		l.Unlock()
	}
	return err == nil && !free
}

// partName seals rows by their bytes: a part that is not what its name says is not read.
func partName(first int64, body []byte) string {
	sum := sha256.Sum256(body)
	return fmt.Sprintf("%08d-%s%s", first, hex.EncodeToString(sum[:8]), partEnding)
}

// partNames lists the parts, in the order of their first cases.
func partNames(dir string) ([]string, error) {
	entries, err := os.ReadDir(filepath.Join(dir, partsName))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", filepath.Join(dir, partsName), bare(err))
	}
	var names []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), partEnding) {
			names = append(names, e.Name())
		}
	}
	slices.SortFunc(names, func(a, b string) int {
		if len(a) != len(b) {
			return len(a) - len(b) // beyond eight digits
		}
		return strings.Compare(a, b)
	})
	return names, nil
}

// readPart reads a part that is what its name says.
func readPart(dir, name string) ([]byte, error) {
	body, err := os.ReadFile(filepath.Join(dir, partsName, name))
	if err != nil {
		return nil, bare(err)
	}
	if _, seal, _ := strings.Cut(strings.TrimSuffix(name, partEnding), "-"); !strings.HasSuffix(partName(0, body), "-"+seal+partEnding) {
		return nil, errDamaged
	}
	return body, nil
}

var errDamaged = errors.New("is not as it was written")

// readParts finds the cases that are done. A damaged part is put aside, and its cases are solved again.
func (f *folder) readParts(say func(string)) error {
	names, err := partNames(f.dir)
	if err != nil {
		return err
	}
	f.state.SetAside = 0
	for _, name := range names {
		body, err := readPart(f.dir, name)
		var rows []table.Row
		if err == nil {
			rows, err = unpacked(body, f.head, f.done.n)
		}
		if err != nil {
			path := filepath.Join(f.dir, partsName, name)
			say(fmt.Sprintf("%s: %v; its cases are solved again", path, err))
			if err := os.Rename(path, path+badEnding); err != nil {
				return fmt.Errorf("%s: cannot be put aside: %w", path, bare(err))
			}
			continue
		}
		f.count(rows)
	}
	return nil
}

func (f *folder) count(rows []table.Row) {
	for _, r := range rows {
		if f.done.add(r.Case) && r.Error != "" {
			f.state.SetAside++
		}
	}
}

// add puts those rows into the folder that are not there, and tells how many they were. body is all of them, packed. It is on
// the disk when add returns.
func (f *folder) add(rows []table.Row, body []byte) (int, error) {
	fresh := slices.DeleteFunc(slices.Clone(rows), func(r table.Row) bool { return f.done.has(r.Case) })
	seen := map[int64]bool{}
	fresh = slices.DeleteFunc(fresh, func(r table.Row) bool { twice := seen[r.Case]; seen[r.Case] = true; return twice })
	if len(fresh) == 0 {
		return 0, nil
	}
	if len(fresh) < len(rows) {
		var err error
		if body, err = packed(f.head, fresh); err != nil {
			return 0, err
		}
	}
	if err := f.place(filepath.Join(f.dir, partsName, partName(fresh[0].Case, body)), body); err != nil {
		return 0, err
	}
	f.count(fresh)
	return len(fresh), nil
}

// cancelled tells whether someone asked for an end by [Cancel].
func (f *folder) cancelled() bool {
	_, err := os.Stat(filepath.Join(f.dir, cancelName))
	return err == nil
}

// Cancel asks the process that runs a folder's study to end it, within a second or two.
func Cancel(dir string) error {
	if err := os.WriteFile(filepath.Join(dir, cancelName), nil, 0o644); err != nil {
		return fmt.Errorf("%s: cannot be written: %w", filepath.Join(dir, cancelName), bare(err))
	}
	return nil
}

// place writes a file whole: beside its name, onto the disk, and then renamed.
func place(path string, data []byte) error {
	temp := path + tempEnding
	err := func() error {
		out, err := os.Create(temp)
		if err != nil {
			return err
		}
		if _, err = out.Write(data); err == nil {
			err = out.Sync()
		}
		if closed := out.Close(); err == nil {
			err = closed
		}
		if err != nil {
			return err
		}
		return os.Rename(temp, path)
	}()
	if err != nil {
		os.Remove(temp)
		return fmt.Errorf("%s: cannot be written: %w", path, bare(err))
	}
	syncDir(filepath.Dir(path))
	return nil
}

// syncDir makes a new name last through a loss of power, where the system can.
func syncDir(dir string) {
	if d, err := os.Open(dir); err == nil {
		d.Sync()
		d.Close()
	}
}

// bare takes the path off a file's error: the message has it already.
func bare(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
