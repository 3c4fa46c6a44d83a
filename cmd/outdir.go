package cmd

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"sideport/export"
	"sideport/export/report"
)

const (
	madeName  = "made.json"
	claimName = ".sideport-begun.json" // names a build is about to write; gone when it ends
	partName  = ".sideport-*.part"     // a file being written
)

// made is made.json: what one build wrote.
type made struct {
	Files []madeFile `json:"files"`
}

type madeFile struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

func (m made) names() []string {
	var names []string
	for _, f := range m.Files {
		names = append(names, f.Name)
	}
	return names
}

func (m made) sum(name string) string {
	for _, f := range m.Files {
		if f.Name == name {
			return f.SHA256
		}
	}
	return ""
}

// outDir is one case's output folder. Files go in whole or not at all; files that
// no build of ours made are left alone.
type outDir struct {
	dir  string
	ours map[string]bool // names that an earlier build made or had begun
	old  made
	now  made
}

// openOut makes the folder, clears what a killed build left half-written, and
// learns which files are ours.
func openOut(dir string) (*outDir, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("making output folder: %w", err)
	}
	o := &outDir{dir: dir, ours: map[string]bool{}}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("looking for half-written files: %w", err)
	}
	for _, e := range entries {
		if half, _ := path.Match(partName, e.Name()); !half {
			continue
		}
		if err := os.Remove(filepath.Join(dir, e.Name())); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("removing half-written file: %w", err)
		}
	}
	if o.old, err = readMade(filepath.Join(dir, madeName)); err != nil {
		return nil, err
	}
	for _, n := range o.old.names() {
		o.ours[n] = true
	}
	begun, err := readMade(filepath.Join(dir, claimName))
	if err != nil {
		return nil, err
	}
	for _, f := range begun.Files {
		// A killed build got as far as writing it, or it is another's file.
		if sum, err := fileSum(filepath.Join(dir, f.Name)); err == nil && sum == f.SHA256 {
			o.ours[f.Name] = true
		}
	}
	return o, nil
}

func readMade(path string) (made, error) {
	var m made
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return m, nil
	}
	if err != nil {
		return m, fmt.Errorf("reading what an earlier build made: %w", err)
	}
	if err := json.Unmarshal(raw, &m); err != nil {
		return made{}, fmt.Errorf("reading %s, which names what an earlier build made: %w", filepath.Base(path), err)
	}
	if m.Files == nil {
		return made{}, fmt.Errorf("%s exists and was not made by sideport; nothing is written", path)
	}
	for _, n := range m.names() {
		if n != filepath.Base(n) || n == "." || n == ".." || strings.ContainsAny(n, `/\`) {
			return made{}, fmt.Errorf("%s names %q, which is no file of this folder", filepath.Base(path), n)
		}
	}
	return m, nil
}

// claim says which files are about to be written, and what they will hold. It
// refuses, and changes nothing, when one of them exists and is not ours.
func (o *outDir) claim(files []madeFile) error {
	for _, f := range files {
		_, err := os.Lstat(filepath.Join(o.dir, f.Name))
		if err == nil && !o.ours[f.Name] && f.Name != madeName {
			return fmt.Errorf("%s exists and was not made by sideport; it is left alone and nothing is written", filepath.Join(o.dir, f.Name))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("looking at output folder: %w", err)
		}
	}
	// What a killed build had put in place stays known until a build ends: as it
	// stands now, beside what this build will put there.
	for n := range o.ours {
		if o.old.sum(n) != "" {
			continue
		}
		if sum, err := fileSum(filepath.Join(o.dir, n)); err == nil {
			files = append(files, madeFile{Name: n, SHA256: sum})
		}
	}
	slices.SortFunc(files, func(a, b madeFile) int { return strings.Compare(a.Name, b.Name) })
	return o.put(claimName, marshal(made{Files: files}))
}

// keep lets files of an earlier build stay named in made.json.
func (o *outDir) keep(names []string) {
	for _, n := range names {
		o.now.Files = append(o.now.Files, madeFile{Name: n, SHA256: o.old.sum(n)})
	}
}

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func fileSum(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", fmt.Errorf("reading %s: %w", filepath.Base(path), err)
	}
	defer func() { _ = f.Close() }()
	sum, _, err := hashOf(f)
	return sum, err
}

func marshal(v any) []byte {
	var b bytes.Buffer
	if err := report.Encode(&b, v); err != nil {
		panic("cmd: " + err.Error())
	}
	return b.Bytes()
}

// writeAll puts the files of the case in place, in order. They are written and
// synced side by side under names of their own first, since waiting for the disk is
// most of what a build does; a file that already holds the same bytes is left as it
// is.
func (o *outDir) writeAll(files []export.File) error {
	parts := make([]string, len(files)) // empty where nothing has to be written
	errs := make([]error, len(files))
	var wait sync.WaitGroup
	for i, f := range files {
		sum := sumOf(f.Data)
		o.now.Files = append(o.now.Files, madeFile{Name: f.Name, SHA256: sum})
		if same(filepath.Join(o.dir, f.Name), sum, int64(len(f.Data))) {
			continue
		}
		wait.Go(func() {
			parts[i], _, errs[i] = o.part(f.Name, func(w io.Writer) error {
				_, err := w.Write(f.Data)
				return err
			})
		})
	}
	wait.Wait()
	err := errors.Join(errs...)
	for i, part := range parts {
		switch {
		case part == "":
		case err != nil:
			_ = os.Remove(part)
		default:
			err = o.place(part, files[i].Name)
		}
	}
	return err
}

// put writes data beside its target, syncs it and renames it.
func (o *outDir) put(name string, data []byte) error {
	_, err := o.stream(name, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	return err
}

// stream is put for content that does not lie in memory; it returns its SHA-256.
func (o *outDir) stream(name string, fill func(io.Writer) error) (sum string, err error) {
	part, sum, err := o.part(name, fill)
	if err != nil {
		return "", err
	}
	return sum, o.place(part, name)
}

// place puts a part written in place of what stood there.
func (o *outDir) place(part, name string) error {
	if err := os.Rename(part, filepath.Join(o.dir, name)); err != nil {
		_ = os.Remove(part)
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return nil
}

// part writes and syncs a file under a name of its own and returns that name and
// the content's SHA-256. Nothing is left behind on an error.
func (o *outDir) part(name string, fill func(io.Writer) error) (part, sum string, err error) {
	f, err := o.fresh()
	if err != nil {
		return "", "", fmt.Errorf("writing %s: %w", name, err)
	}
	defer func() {
		if err != nil {
			_ = f.Close()
			_ = os.Remove(f.Name())
			part, err = "", fmt.Errorf("writing %s: %w", name, err)
		}
	}()
	hash := sha256.New()
	if err = fill(io.MultiWriter(f, hash)); err != nil {
		return "", "", err
	}
	if info, old := os.Lstat(filepath.Join(o.dir, name)); old == nil && info.Mode().IsRegular() {
		if err = f.Chmod(info.Mode().Perm()); err != nil { // who may read it stays as it was
			return "", "", err
		}
	}
	if err = f.Sync(); err != nil {
		return "", "", err
	}
	return f.Name(), hex.EncodeToString(hash.Sum(nil)), f.Close()
}

// fresh opens a new file for a part. os.CreateTemp would do, but for the mode: what
// others may read is for the umask to say.
func (o *outDir) fresh() (f *os.File, err error) {
	for n := 0; ; n++ {
		name := filepath.Join(o.dir, strings.Replace(partName, "*", strconv.Itoa(n), 1))
		f, err = os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

// link makes name a second name of the file from, in place of whatever ours stood
// there.
func (o *outDir) link(from, name, sum string) error {
	if info, err := os.Lstat(from); err != nil || !info.Mode().IsRegular() {
		return fmt.Errorf("linking %s: it is no plain file of the case folder", name)
	}
	part := filepath.Join(o.dir, strings.Replace(partName, "*", "link", 1))
	if err := os.Link(from, part); err != nil {
		return fmt.Errorf("linking %s: %w", name, err)
	}
	if err := os.Rename(part, filepath.Join(o.dir, name)); err != nil {
		_ = os.Remove(part)
		return fmt.Errorf("linking %s: %w", name, err)
	}
	o.now.Files = append(o.now.Files, madeFile{Name: name, SHA256: sum})
	return nil
}

// drop removes every file of earlier builds but those kept, and returns the names
// removed, sorted.
func (o *outDir) drop(keep ...string) (removed []string, err error) {
	for n := range o.ours {
		if slices.Contains(keep, n) || n == madeName {
			continue
		}
		switch err := os.Remove(filepath.Join(o.dir, n)); {
		case err == nil:
			removed = append(removed, n)
		case !errors.Is(err, fs.ErrNotExist):
			return nil, fmt.Errorf("removing a file of an earlier build: %w", err)
		}
	}
	slices.Sort(removed)
	return removed, nil
}

// finish removes what earlier builds made and this one did not, writes made.json
// and returns the names removed, sorted.
func (o *outDir) finish() (removed []string, err error) {
	if removed, err = o.drop(o.now.names()...); err != nil {
		return nil, err
	}
	slices.SortFunc(o.now.Files, func(a, b madeFile) int { return strings.Compare(a.Name, b.Name) })
	if err := o.put(madeName, marshal(o.now)); err != nil {
		return nil, err
	}
	if err := os.Remove(filepath.Join(o.dir, claimName)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("ending the build: %w", err)
	}
	return removed, nil
}

// replaceFile writes a file the user named, whole or not at all.
func replaceFile(path string, data []byte) error {
	o := &outDir{dir: filepath.Dir(path)}
	return o.put(filepath.Base(path), data)
}

// output writes what a command prints to the file named, whole or not at all, or to
// standard output where none is.
func (a *app) output(name string, write func(io.Writer) error) error {
	if name == "" {
		return write(a.out)
	}
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	return replaceFile(name, b.Bytes())
}

// outside refuses a file inside a case folder: those are the user's own.
func outside(name string, dirs []string) error {
	if name == "" {
		return nil
	}
	target, err := resolved(name)
	if err != nil {
		return err
	}
	for _, dir := range dirs {
		from, err := resolved(dir)
		if err != nil {
			return err
		}
		if within(target, from) {
			return usagef("%s lies in the case folder %s", name, dir)
		}
	}
	return nil
}
