package desk

import (
	"html/template"
	"slices"
)

// What the templates are given. Texts are plain and are escaped where they are set; pictures are markup of the desk's own,
// in which package sketch has escaped what came from outside.

// deskPage is what every page has.
type deskPage struct {
	Title    string
	Version  string // of style and script, so that a browser does not keep old ones
	Cautions string
}

// folderPage is the first page: what lies in the folder.
type folderPage struct {
	deskPage
	Dir      string
	Entries  []entryView
	Starters []starterView
	More     int // scenario files beyond those that are listed
	Fault    string

	As, Chosen string // of the form that begins from an example: the file to make, and the example
	AsFault    bool   // the fault is of As and stands beside it
}

// entryView is a scenario file with its kept versions.
type entryView struct {
	File, Open string // Open is the address that opens it
	Kept       []keptView
}

// keptView is a kept version of a file.
type keptView struct {
	Name, File, Open string
	Chosen           bool // the sheet is compared with it
}

type starterView struct{ Name, About string }

// sheetPage is a sheet with all its parts.
type sheetPage struct {
	deskPage
	ID, File, Base string // Base is the sheet's address, "/sheet/ID"
	Rev            int
	View           string // the view's query, "day=171&fine=60&units=..."
	Units          []unitSwitch
	Day, Days      int  // the day that is shown, from 0; how many the year has
	Refresh        bool // results are not there yet, and a page without script is to ask again

	Bar      barView
	Answer   answerView
	Curve    curveView
	Knobs    knobsView
	Changed  changedView
	Weeks    weeksView
	DayPart  dayView
	Year     yearView
	Versions versionsView
	Runs     runsView
	Text     textView
	Conflict *conflictView // nil: none
	Faults   []string      // that belong to no field
}

// unitSwitch is one choice of units, each place of it a link.
type unitSwitch struct {
	What    string
	Options []unitLink
}

// HasAgainst tells whether the sheet is compared with a kept version and not with the file on disk.
func (p sheetPage) HasAgainst() bool {
	return slices.ContainsFunc(p.Versions.Kept, func(k keptView) bool { return k.Chosen })
}

// LastDay is the last day of the year, counted from 0.
func (p sheetPage) LastDay() int { return max(0, p.Days-1) }

type unitLink struct {
	Unit   string
	Query  template.URL // encoded already, by [queryOf]
	Chosen bool
}

type barView struct {
	UndoSays, RedoSays string // what would be taken back or done again; "" where there is nothing
	Unsaved            bool
	Said               string // what was done last
}

// answerView is the question's answer.
type answerView struct {
	Sentence string   // the finding
	At       []string // what the chosen volume saves and earns, a sentence each
	Waiting  bool     // it is being worked out
	Failed   []string // why there is none, in the commands' words
	Warnings []string // what is doubtful
	Proof    string   // what the figures rest on
}

// curveView is the curve with its handle.
type curveView struct {
	Pictures                  []template.HTML // wide and narrow
	Key                       string          // of the volume, as the scenario names it
	Min, Max, Step, M3        string          // of the handle
	AtM3, AtSaving, ValueText string
	Rough                     string // "" for the fine curve; else what is still under way
	Points                    []pointRow
	SavingsName               string
	Currency                  string
}

// pointRow is a point of the curve as a row of text.
type pointRow struct{ M3, Saving, Next, Bound string }

type knobsView struct{ Groups []knobGroup }

type knobGroup struct {
	Name  string
	Knobs []knobView
}

// knobView is a knob as the page shows it: its value as written or, after a refusal, as it was typed.
type knobView struct {
	knob
	Slug, Value    string
	MinS, MaxS     string
	StepS, NumberS string
	Faults         []string
	HandleVolume   bool // it is the volume that the handle sets too
}

type changedView struct {
	Against string // what the sheet is compared with: "the file as it is on disk", "kept: two shifts"
	Options []keptView
	changed
	Waiting bool
}

// weeksView are the week grids.
type weeksView struct {
	Fine  []unitLink // slots of 60, 30, 15 minutes
	Slot  string     // of a slot: "60 min"
	Hours []hourHead // heads over the slots
	Loads []weekView
}

type hourHead struct {
	Text string
	Span int
}

type weekView struct {
	Load, Header, Slug string
	Key, When          string // of the text field; Key "" where there is no text
	Value              string // as typed, after a refusal
	PerDay             int
	Paintable          bool
	Why                string
	Hours              string // "60 h a week"
	Most               string // full darkness of heat: "420 kW"
	Days               []weekDay
	Faults             []string
}

type weekDay struct {
	Name  string
	Day   int // 0 Monday to 6, 7 holidays
	Cells []weekCell
}

type weekCell struct {
	Slot  int
	On    bool
	Heat  int    // 0 to 9, tenths of the most
	Label string // "Sat 08:00, on"
}

type dayView struct {
	Label    string
	Pictures []template.HTML
	Table    []dayRow
	Waiting  bool
	Note     string
	HeatUnit string
}

type dayRow struct{ Time, Demand, Sun, Store, Boiler, Stored string }

type yearView struct {
	Pictures []template.HTML
	Waiting  bool
	Note     string
}

// versionsView are the kept versions, and why one was refused, with its name as typed.
type versionsView struct {
	Kept         []keptView
	Fault, Typed string
}

type runsView struct {
	Kinds []runKindView
	Runs  []runView
}

type runKindView struct{ Kind, Name, About string }

type runView struct {
	N        int
	Name     string
	State    string // waiting, running, done, failed, given up
	Done, Of int
	What     string
	Text     string
	HasFiles bool
	Under    bool // it can be cancelled
}

type textView struct {
	Text   string
	Lines  []textLine
	Faults []string
}

// textLine is a line of the scenario; New marks what is not so in the file.
type textLine struct {
	N    int
	Text string
	New  bool
}

// conflictView is a save that would have taken somebody's change.
type conflictView struct {
	Why    string
	Gone   bool // there is no such file any more
	Theirs []editLine
	Mine   []editLine
}
