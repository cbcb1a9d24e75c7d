package desk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"
)

const (
	mostRunes = 40  // of a kept version's name
	mostName  = 255 // bytes of a file's name
)

// keptFile is the file of a version of that name, STEM@NAME.yaml for STEM.yaml.
func keptFile(file, name string) (string, error) {
	if err := checkFile(file); err != nil {
		return "", err
	}
	allowed := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" -_.", r) }
	n := utf8.RuneCountInString(name)
	switch {
	case n == 0:
		return "", errors.New("the version has no name; give it one, as: two shifts")
	case n > mostRunes:
		return "", fmt.Errorf("the version's name has %d letters; want at most %d", n, mostRunes)
	case strings.Trim(name, " .") != name:
		return "", fmt.Errorf("the version's name is %q; want one that neither begins nor ends with a space or a full stop", name)
	}
	for _, r := range name {
		if !allowed(r) || r == utf8.RuneError {
			return "", fmt.Errorf("the version's name is %q; want letters, digits, spaces and - _ . alone", name)
		}
	}
	ending := filepath.Ext(file)
	kept := strings.TrimSuffix(file, ending) + "@" + name + ending
	return kept, checkFile(kept)
}

// keptOf takes the name of a version's file apart; of is "" where it is none.
func keptOf(file string) (of, name string) {
	ending := filepath.Ext(file)
	stem := strings.TrimSuffix(file, ending)
	at := strings.LastIndexByte(stem, '@')
	if at <= 0 {
		return "", ""
	}
	of, name = stem[:at]+ending, stem[at+1:]
	if _, err := keptFile(of, name); err != nil {
		return "", ""
	}
	return of, name
}

var errLarge = errors.New("is larger than 1 MB; want a scenario")

// checkFile wants the bare name of a scenario file.
func checkFile(file string) error {
	ending := strings.ToLower(filepath.Ext(file))
	switch {
	case strings.ContainsAny(file, `/\`) || !filepath.IsLocal(file) || strings.ContainsFunc(file, unicode.IsControl):
		return fmt.Errorf("%q is not the name of a file in this folder", file)
	case len(file) > mostName:
		return fmt.Errorf("%.40s...: the file's name is too long; want at most %d letters", file, mostName)
	case strings.HasPrefix(file, ".") || ending != ".yaml" && ending != ".yml":
		return fmt.Errorf("%s: is no scenario file; want one whose name ends in .yaml", file)
	}
	return nil
}

// plain wants a file that reading cannot wait for and that lies here itself.
func plain(info fs.FileInfo) error {
	switch mode := info.Mode(); {
	case mode.IsDir():
		return errors.New("is a folder; want a file")
	case mode&fs.ModeSymlink != 0:
		return errors.New("is a link to another file; want the file itself in this folder")
	case !mode.IsRegular():
		return errors.New("is a pipe or a device; want a plain file")
	}
	return nil
}

// reasonOf takes the call and the path off a system's error, of which the message names the file already.
func reasonOf(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return missing{}
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// missing says it in words, and is still the system's error.
type missing struct{}

func (missing) Error() string        { return "there is no such file in this folder" }
func (missing) Is(target error) bool { return target == fs.ErrNotExist }
