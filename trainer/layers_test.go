// Package trainer_test holds the arrows of the house: which part may know
// which. It reads the import graph, so that no layer can be skipped by accident.
package trainer_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "puddlewise"

// mayImport says what each folder, with those below it, may import of the
// project; a more specific row wins. Everything points down this table.
var mayImport = []struct {
	folder string
	use    string
	why    string
}{
	{"cmd", "trainer/cli", "the program is one call: whatever it did itself could not be tested"},
	{"trainer/cli", "trainer scenarios scoring", "the commands put the parts together and know no screen of their own"},
	{"trainer/tui", "trainer/tui trainer/arc trainer/session trainer/practice trainer/drill trainer/precert trainer/learner trainer/record scenarios scoring", "a front end shows; it knows neither the commands nor another front end"},
	{"trainer/plain", "trainer/plain trainer/session trainer/arc trainer/practice trainer/drill trainer/precert trainer/learner trainer/record scenarios scoring", "a front end shows; it knows neither the commands nor another front end"},
	{"trainer/report", "trainer/report trainer/session trainer/drill trainer/precert trainer/learner trainer/record scenarios scoring", "a report reads what was recorded and judges nothing"},
	{"trainer/practice", "trainer/session trainer/learner trainer/record scenarios scoring", "a mode knows no screen"},
	{"trainer/drill", "trainer/session trainer/arc trainer/learner trainer/record scenarios scoring", "a mode knows no screen"},
	{"trainer/precert", "trainer/session trainer/learner trainer/record scenarios scoring", "a mode knows no screen"},
	{"trainer/record", "trainer/record trainer/session trainer/arc scenarios/strict scoring", "the record keeps attempts; how they came about is not its business"},
	{"trainer/learner", "trainer/learner trainer/session scenarios scoring", "the skill estimate is pure: it reads attempts and scenarios"},
	{"trainer/arc", "scenarios scoring", "a live run is inputs and the model; a screen feeds it, it knows none"},
	{"trainer/verify", "scenarios/strict scoring", "whoever doubts the model must see it alone, with no session around it"},
	{"trainer/session", "trainer/session trainer/arc scenarios scoring", "the flow knows no screen and no file; it is handed a recorder"},
	{"scenarios", "scenarios scoring/weld", "a scenario is data; if it knew the judge, the two could not be read apart"},
	{"scoring/puddle", "scoring/puddle scoring/metal scoring/weld scoring/detmath", "the model stands on properties and words alone"},
	{"scoring/shield", "scoring/shield scoring/metal scoring/weld scoring/detmath", "the model stands on properties and words alone"},
	{"scoring/visual", "scoring/visual scoring/weld", "published limits stand by themselves"},
	{"scoring/metal", "scoring/metal scoring/weld scoring/detmath", "a property table needs only the words"},
	{"scoring/detmath", "scoring/detmath", "arithmetic needs nothing of the trade"},
	{"scoring/weld", "scoring/weld scoring/detmath", "the words of the trade are the floor: everything stands on them; the way around a tube needs a sine"},
	{"scoring", "scoring", "judging never reaches up to scenarios or the trainer"},
}

// thirdParty says which folders alone may use a library, and why.
var thirdParty = []struct {
	library string
	folders string
	why     string
}{
	{"github.com/rivo/tview", "trainer/tui", "one package draws on the terminal, so that all else runs without one"},
	{"github.com/gdamore/tcell", "trainer/tui", "one package draws on the terminal, so that all else runs without one"},
	{"github.com/rivo/uniseg", "trainer/tui", "the width of text is a screen's concern"},
	{"gopkg.in/yaml.v3", "scenarios", "one strict loader reads YAML, so that every file gets the same checks and messages"},
	{"github.com/spf13", "trainer/cli", "commands and flags are read in one place"},
	{"golang.org/x/term", "trainer/cli", "the terminal is asked about in one place"},
	{"modernc.org/sqlite", "trainer/record", "one package writes the database, so that one package can promise it is safe"},
	{"github.com/stretchr/testify", "trainer/tui/tuitest trainer/session/sessiontest", "only what serves tests asserts; see TestTheProgramCarriesNoTests"},
	{"codeberg.org/go-pdf/fpdf", "trainer/report", "one package makes papers"},
	{"gonum.org/v1/gonum", "scoring trainer/learner", "numerics belong to the models"},
}

// impure are standard packages that would let a verdict depend on anything
// but the task and the answer.
var impure = map[string]string{
	"time": "a verdict must not depend on the clock", "math/rand": "the same weld gives the same verdict",
	"math/rand/v2": "the same weld gives the same verdict", "crypto/rand": "the same weld gives the same verdict",
	"hash/maphash": "its seed differs from run to run",
	"os":           "scoring reads no files and no environment", "os/exec": "scoring runs nothing", "io/ioutil": "scoring reads no files",
	"path/filepath": "scoring reads no files", "syscall": "scoring asks the system nothing", "runtime": "a verdict must not depend on the machine",
	"log": "scoring prints nothing: what is worth saying is a finding", "log/slog": "scoring prints nothing: what is worth saying is a finding",
	"net": "nothing leaves the machine", "net/http": "nothing leaves the machine", "unsafe": "nothing here needs it",
}

type goPackage struct {
	ImportPath string
	Dir        string
	GoFiles    []string
	Imports    []string
	Standard   bool
	Deps       []string
}

// graph reads every package of the project, and those they stand on.
func graph(t *testing.T) (ours []goPackage, all map[string]goPackage) {
	t.Helper()
	cmd := exec.Command("go", "list", "-deps", "-json=ImportPath,Dir,GoFiles,Imports,Standard,Deps", "./...")
	cmd.Dir = ".."
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	all = map[string]goPackage{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p goPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		all[p.ImportPath] = p
		if within(p.ImportPath, module) && len(p.GoFiles) > 0 { // this folder holds a test alone
			ours = append(ours, p)
		}
	}
	require.NotEmpty(t, ours)
	return ours, all
}

// within says whether the path is the folder or lies below it.
func within(path, folder string) bool { return path == folder || strings.HasPrefix(path, folder+"/") }

func withinAny(path, folders string) bool {
	return slices.ContainsFunc(strings.Fields(folders), func(f string) bool { return within(path, f) })
}

func folderOf(p string) string { return strings.TrimPrefix(strings.TrimPrefix(p, module), "/") }

func TestNothingPointsUp(t *testing.T) {
	ours, _ := graph(t)
	for _, p := range ours {
		folder := folderOf(p.ImportPath)
		row := -1
		for i, r := range mayImport {
			if within(folder, r.folder) && (row < 0 || len(r.folder) > len(mayImport[row].folder)) {
				row = i
			}
		}
		if !assert.GreaterOrEqual(t, row, 0, "%s has no place in the house: give it a row here and in DEVELOPERS.md", folder) {
			continue
		}
		for _, imp := range p.Imports {
			if within(imp, module) {
				assert.True(t, withinAny(folderOf(imp), mayImport[row].use), "%s imports %s: %s", folder, folderOf(imp), mayImport[row].why)
			}
		}
	}
}

func TestLibrariesStayWhereTheyBelong(t *testing.T) {
	ours, all := graph(t)
	for _, p := range ours {
		folder := folderOf(p.ImportPath)
		for _, imp := range p.Imports {
			if all[imp].Standard || within(imp, module) {
				continue
			}
			known := false
			for _, l := range thirdParty {
				if within(imp, l.library) {
					known = true
					assert.True(t, withinAny(folder, l.folders), "%s imports %s: %s", folder, imp, l.why)
				}
			}
			assert.True(t, known, "%s imports %s, which has no place yet: say here where it belongs and why", folder, imp)
		}
	}
}

// What a package stands on counts as much as what it names.
func TestTheModelStandsOnNothingElse(t *testing.T) {
	ours, all := graph(t)
	for _, p := range ours {
		folder := folderOf(p.ImportPath)
		for _, dep := range p.Deps {
			if all[dep].Standard {
				continue
			}
			switch {
			case within(folder, "scoring"):
				assert.True(t, within(dep, module+"/scoring") || within(dep, "gonum.org/v1/gonum"), "%s stands on %s: the model is arithmetic and words", folder, dep)
			case withinAny(folder, "trainer/plain trainer/session trainer/record scenarios"):
				assert.False(t, within(dep, "github.com/rivo/tview") || within(dep, "github.com/gdamore/tcell"), "%s stands on %s: it must run without a terminal", folder, dep)
			}
		}
	}
}

func TestScoringIsPure(t *testing.T) {
	ours, _ := graph(t)
	for _, p := range ours {
		if !within(folderOf(p.ImportPath), "scoring") {
			continue
		}
		for _, imp := range p.Imports {
			assert.Empty(t, impure[imp], "%s imports %s", p.ImportPath, imp)
		}
		silent := withinAny(folderOf(p.ImportPath), "scoring/puddle scoring/shield scoring/metal scoring/detmath")
		eachUse(t, p, func(pos token.Position, pkg, name string) {
			prints := pkg == "fmt" && (strings.HasPrefix(name, "Print") || strings.HasPrefix(name, "Fprint") || strings.HasPrefix(name, "Scan") || strings.HasPrefix(name, "Fscan")) ||
				pkg == "" && (name == "print" || name == "println")
			assert.False(t, prints, "%s: %s: scoring prints nothing: what is worth saying is a finding", pos, name)
			assert.False(t, silent && pkg == "fmt" && strings.HasPrefix(name, "Sprint"), "%s: fmt.%s: the model makes numbers; words are the rules' business", pos, name)
		})
	}
}

func TestOnlyTheCommandsReadArgumentsAndEnvironment(t *testing.T) {
	reserved := regexp.MustCompile(`^(Args|Exit|Getenv|LookupEnv|Environ|Setenv|Stdin|Stdout|Stderr|UserConfigDir|UserHomeDir|UserCacheDir)$`)
	ours, _ := graph(t)
	for _, p := range ours {
		folder := folderOf(p.ImportPath)
		if within(folder, "trainer/cli") || strings.HasSuffix(folder, "test") {
			continue
		}
		assert.NotContains(t, p.Imports, "flag", "%s: flags are read in trainer/cli", folder)
		eachUse(t, p, func(pos token.Position, pkg, name string) {
			if within(folder, "cmd") {
				return // hands them to trainer/cli
			}
			assert.False(t, pkg == "os" && reserved.MatchString(name), "%s: os.%s: only trainer/cli reads arguments and environment, and holds the streams", pos, name)
		})
	}
}

func TestTheProgramCarriesNoTests(t *testing.T) {
	_, all := graph(t)
	for _, dep := range all[module+"/cmd/puddlewise"].Deps {
		ours := within(dep, module) && strings.HasSuffix(dep, "test")
		assert.False(t, ours || dep == "testing" || within(dep, "github.com/stretchr/testify"), "the program stands on %s, which serves tests", dep)
	}
}

func TestMainIsOneCall(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "cmd", "puddlewise", "main.go"))
	require.NoError(t, err)
	assert.Less(t, bytes.Count(b, []byte("\n")), 20, "main.go holds no logic: none of it could be tested")
}

// eachUse calls f for every name used from another package, and with pkg ""
// for every function called by its bare name.
func eachUse(t *testing.T, p goPackage, f func(pos token.Position, pkg, name string)) {
	t.Helper()
	for _, name := range p.GoFiles {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		imported := map[string]string{}
		for _, imp := range file.Imports {
			path, err := strconv.Unquote(imp.Path.Value)
			require.NoError(t, err)
			as := path
			if imp.Name != nil {
				as = imp.Name.Name
			}
			imported[as] = path
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && imported[x.Name] != "" {
					f(fset.Position(n.Pos()), imported[x.Name], n.Sel.Name)
				}
			case *ast.CallExpr:
				if x, ok := n.Fun.(*ast.Ident); ok {
					f(fset.Position(n.Pos()), "", x.Name)
				}
			}
			return true
		})
	}
}
