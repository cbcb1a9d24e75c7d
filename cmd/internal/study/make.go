package study

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"noonkeep/scenarios"
)

// Inputs are the texts and data that the cases of a plan read, by SHA-256 in hex.
type Inputs map[string][]byte

func (in Inputs) add(data []byte) string {
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	in[hash] = data
	return hash
}

// Source is where a study finds what it names. Dir is the study file's folder; Open gives how a scenario in a folder opens
// its files.
type Source struct {
	Dir  string
	Open func(dir string) scenarios.Open
}

// Make looks up all that a study names, and checks every value of every key against every scenario. What is wrong comes back
// joined, with the study's or the scenario's place.
func Make(f File, src Source) (Plan, Inputs, error) {
	m := maker{file: f, src: src, inputs: Inputs{}, r: &reader{file: f.path}}
	m.plan = Plan{Name: f.Name, Sample: f.sample, Keep: f.keep}
	for _, v := range f.vary {
		m.plan.Keys = append(m.plan.Keys, v.Key)
	}
	m.scenarios()
	if err := m.r.err(); err != nil {
		return Plan{}, nil, err
	}
	m.tellApart()
	if total := m.total(); total > MostCases {
		m.r.add(0, "", "has %.0f cases (%s); want at most %d, or a sample of them", total, m.product(), MostCases)
		return Plan{}, nil, m.r.err()
	}
	m.plan.settle()
	return m.plan, m.inputs, nil
}

// maker gathers a plan.
type maker struct {
	file   File
	src    Source
	r      *reader
	plan   Plan
	inputs Inputs
}

// total is the number of cases, as a real number since it may be beyond all counting.
func (m *maker) total() float64 {
	each := 1.0
	for _, k := range m.plan.Keys {
		each *= float64(len(k.Values))
	}
	sum := 0.0
	for _, s := range m.plan.Scenarios {
		if m.plan.Sample != nil {
			sum += float64(m.plan.Sample.Cases)
		} else {
			sum += each * float64(len(s.Weather))
		}
	}
	return sum
}

// product says what the cases are the product of.
func (m *maker) product() string {
	years := 0
	for _, s := range m.plan.Scenarios {
		years = max(years, len(s.Weather))
	}
	parts := []string{fmt.Sprintf("scenarios: %d", len(m.plan.Scenarios)), fmt.Sprintf("years: %d", years)}
	for _, k := range m.plan.Keys {
		parts = append(parts, fmt.Sprintf("%s: %d", cut(k.Key), len(k.Values)))
	}
	return strings.Join(parts, ", ")
}

// scenarios finds and checks each scenario that the study names.
func (m *maker) scenarios() {
	seen := map[string]word{}
	for _, w := range m.file.scenarios {
		refs, err := m.expand(w)
		if err != nil {
			m.r.add(w.line, w.key, "%v", err)
			continue
		}
		for _, ref := range refs {
			if first, twice := seen[ref]; twice {
				m.r.add(w.line, w.key, "names %s a second time, first in line %d; want each scenario once", cut(ref), first.line)
				continue
			}
			seen[ref] = w
			if len(seen) > mostScenarios {
				m.r.add(w.line, w.key, "makes more than %d scenarios", mostScenarios)
				return
			}
			m.scenario(ref, w)
		}
	}
}

// expand gives the files that a pattern means, in the order of their names, or the one scenario that is named.
func (m *maker) expand(w word) ([]string, error) {
	if isStarter(w.text) {
		return []string{w.text}, nil
	}
	path := m.path(w.text)
	if !strings.ContainsAny(w.text, "*?[") {
		return []string{path}, nil
	}
	list, err := filepath.Glob(path)
	switch {
	case err != nil:
		return nil, fmt.Errorf("is %q, which is no pattern: a bracket is not closed", cut(w.text))
	case len(list) == 0:
		return nil, fmt.Errorf("is %q, and no file is called so", cut(w.text))
	}
	return list, nil
}

func (m *maker) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(m.src.Dir, filepath.FromSlash(name))
}

func isStarter(ref string) bool {
	return slices.ContainsFunc(scenarios.Starters(), func(s scenarios.Starter) bool { return s.Name == ref })
}

// scenario reads one scenario with all its files, and makes sure that each year and each value fits it.
func (m *maker) scenario(ref string, w word) {
	text, err := scenarios.Find(ref)
	if err != nil {
		m.wrong(w, err)
		return
	}
	s := Scenario{File: text.Name, Files: map[string]string{}, Text: m.inputs.add(text.Data)}
	open := m.recording(m.src.Open(text.Dir), s.Files)
	c, err := scenarios.Parse(text.Name, text.Data, open)
	if err != nil {
		m.wrong(w, err)
		return
	}
	s.Name = c.Name
	if err := m.years(&s, c); err != nil {
		m.wrong(w, err)
		return
	}
	for i, k := range m.plan.Keys {
		m.tryKey(s, text, k, m.file.vary[i].line)
	}
	m.tryWeather(s, text, open)
	m.plan.Scenarios = append(m.plan.Scenarios, s)
}

// wrong notes a scenario's faults, which have their own places, or an error at the study's word.
func (m *maker) wrong(w word, err error) {
	var own *scenarios.Error
	if errors.As(err, &own) {
		m.r.list = append(m.r.list, err)
		return
	}
	m.r.add(w.line, w.key, "%v", err)
}

// recording is open, with each file that is opened kept as an input.
func (m *maker) recording(open scenarios.Open, files map[string]string) scenarios.Open {
	return func(name string) (io.ReadCloser, error) {
		if hash, has := files[name]; has {
			return io.NopCloser(bytes.NewReader(m.inputs[hash])), nil
		}
		in, err := open(name)
		if err != nil {
			return nil, err
		}
		defer in.Close()
		data, err := io.ReadAll(in)
		if err != nil {
			return nil, err
		}
		files[name] = m.inputs.add(data)
		return seekable(data), nil
	}
}

// years finds the weather years that a scenario is solved in.
func (m *maker) years(s *Scenario, c scenarios.Case) error {
	_, generated := c.Seed()
	switch w := m.file.weather; {
	case len(w.seeds) > 0 && !generated:
		return fmt.Errorf("weather.seeds: %s has measured weather, which has no seeds; want years, or scenarios with monthly means", s.File)
	case len(w.seeds) > 0:
		for _, seed := range w.seeds {
			s.Weather = append(s.Weather, Weather{Name: fmt.Sprintf("seed %d", seed), Seed: &seed})
		}
	case w.years != nil && generated:
		return fmt.Errorf("weather.years: %s has monthly means and no record of years; want seeds", s.File)
	case w.years != nil:
		return m.measured(s, c)
	case len(w.files) > 0:
		return m.otherFiles(s)
	default:
		s.Weather = []Weather{{Name: AsWritten}}
	}
	return nil
}

// measured lists the whole years of a scenario's own record, those that are asked for.
func (m *maker) measured(s *Scenario, c scenarios.Case) error {
	from, to, _ := yearsOf(m.file.weather.years.text)
	for year, err := range c.MeasuredYears() {
		asked := to == 0 || from <= year.Measured && year.Measured <= to
		switch {
		case err != nil && year.Measured == 0:
			return err
		case err != nil && asked && to != 0:
			return fmt.Errorf("weather.years: %s: %d is not whole: %w", s.File, year.Measured, err)
		case err == nil && asked && year.Measured == 0:
			return fmt.Errorf("weather.years: %s has a typical year, which is of no one year; leave weather out", s.File)
		case err == nil && asked:
			s.Weather = append(s.Weather, Weather{Name: fmt.Sprint(year.Measured), Year: year.Measured})
		}
	}
	if len(s.Weather) == 0 {
		return fmt.Errorf("weather.years: %s has no whole year of %s", s.File, cut(m.file.weather.years.text))
	}
	return nil
}

// otherFiles lists the files that stand in place of a scenario's weather.
func (m *maker) otherFiles(s *Scenario) error {
	for _, w := range m.file.weather.files {
		paths, err := m.expand(w)
		if err != nil {
			return err
		}
		for _, path := range paths {
			in, err := m.src.Open(m.src.Dir)(fromDir(m.src.Dir, path))
			if err != nil {
				return fmt.Errorf("%s: %w", path, pathless(err))
			}
			data, err := io.ReadAll(in)
			in.Close()
			if err != nil {
				return fmt.Errorf("%s: %w", path, pathless(err))
			}
			name := filepath.ToSlash(fromDir(m.src.Dir, path))
			if _, taken := s.Files[name]; taken {
				name = "study/" + name
			}
			s.Files[name] = m.inputs.add(data)
			s.Weather = append(s.Weather, Weather{Name: "file " + filepath.Base(path), File: name})
		}
	}
	return nil
}

// fromDir is a path as seen from dir, where it can be said so.
func fromDir(dir, path string) string {
	if rest, err := filepath.Rel(dir, path); err == nil {
		return rest
	}
	return path
}

// tryKey makes sure that a key's values fit a scenario: all of them the first, and the ends of a long list the others. A
// value that a later scenario refuses all the same sets its cases aside.
func (m *maker) tryKey(s Scenario, text scenarios.Text, k Key, line int) {
	values := k.Values
	if len(m.plan.Scenarios) > 0 && len(values) > 2 {
		values = []string{values[0], values[len(values)-1]}
	}
	for _, v := range values {
		if _, err := scenarios.Rewrite(s.File, text.Data, scenarios.Setting{Key: k.Key, Value: v}); err != nil {
			m.r.add(line, "vary", "%s = %s: %v", cut(k.Key), cut(v), err)
			return // the others mostly fail alike
		}
	}
}

// tryWeather reads a scenario once with each of the files, and with the first value of each key.
func (m *maker) tryWeather(s Scenario, text scenarios.Text, open scenarios.Open) {
	held := func(name string) (io.ReadCloser, error) {
		if hash, has := s.Files[name]; has {
			return seekable(m.inputs[hash]), nil
		}
		return open(name)
	}
	for _, w := range s.Weather {
		if w.File == "" {
			continue
		}
		data, err := scenarios.Rewrite(s.File, text.Data, weatherSetting(w.File))
		if err == nil {
			_, err = scenarios.Parse(s.File, data, held)
		}
		if err != nil {
			m.r.add(m.file.weather.line, "weather.files", "%s: %v", w.Name, err)
		}
	}
}

// weatherSetting puts a file in the place of a scenario's weather.
func weatherSetting(name string) scenarios.Setting {
	return scenarios.Setting{Key: "weather", Value: fmt.Sprintf("{file: %q}", name)}
}

func yearSetting(year int) scenarios.Setting {
	return scenarios.Setting{Key: "weather.year", Value: fmt.Sprint(year)}
}

// seekable is data as a file that may be read from any place.
func seekable(data []byte) io.ReadCloser { return heldFile{bytes.NewReader(data)} }

type heldFile struct{ *bytes.Reader }

func (heldFile) Close() error { return nil }

// tellApart gives scenarios of one name their files' names beside it.
func (m *maker) tellApart() {
	count := map[string]int{}
	for _, s := range m.plan.Scenarios {
		count[s.Name]++
	}
	for i := range m.plan.Scenarios {
		if s := &m.plan.Scenarios[i]; count[s.Name] > 1 {
			s.Name = fmt.Sprintf("%s (%s)", s.Name, filepath.ToSlash(fromDir(m.src.Dir, s.File)))
		}
	}
}

// pathless takes the path off a file's error, which the message has already.
func pathless(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
