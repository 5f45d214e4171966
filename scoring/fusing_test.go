//go:build !race

// It reads the source, which is no other when it races.

package scoring_test

import (
	"fmt"
	"go/ast"
	"go/build"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A verdict must be the same on every processor. Go may fuse a product with a
// sum that follows, x*y + z, into one operation that rounds once, on processors
// that have it, even across statements; only a conversion to a floating-point
// type forbids it. So every product here stands in a conversion, or goes where no
// sum can reach it: into a division or a comparison.
func TestNoProductCanFuse(t *testing.T) {
	for dir, p := range scoringPackages(t) {
		for _, file := range p.files {
			var parents []ast.Node
			ast.Inspect(file, func(n ast.Node) bool {
				if n == nil {
					parents = parents[:len(parents)-1]
					return true
				}
				if why := p.canFuse(n, parents); why != "" {
					assert.Fail(t, "a product may be fused with a sum", "%s: %s", p.at(n), why)
				}
				parents = append(parents, n)
				return true
			})
		}
		require.NotEmpty(t, p.files, dir)
	}
}

// rounding are the functions of package math that give the same bits everywhere,
// because they are exact or, as a square root is, correctly rounded.
var rounding = []string{
	"Abs", "Ceil", "Copysign", "Floor", "Frexp", "Inf", "IsInf", "IsNaN", "Ldexp", "Max", "Min", "Mod", "Modf",
	"NaN", "Round", "RoundToEven", "Signbit", "Sqrt", "Trunc", "Float64bits", "Float64frombits", "Nextafter",
}

func TestOnlyFunctionsThatRoundAlikeEverywhere(t *testing.T) {
	for _, p := range scoringPackages(t) {
		for _, file := range p.files {
			ast.Inspect(file, func(n ast.Node) bool {
				sel, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				f, ok := p.info.Uses[sel.Sel].(*types.Func)
				if ok && f.Pkg() != nil && f.Pkg().Path() == "math" {
					assert.Contains(t, rounding, f.Name(), "%s: math.%s may differ in its last bits between processors; detmath has what the model needs", p.at(n), f.Name())
				}
				return true
			})
		}
	}
}

// checked is a package's files without its tests, type-checked.
type checked struct {
	fset  *token.FileSet
	files []*ast.File
	info  types.Info
}

func (p *checked) at(n ast.Node) string {
	pos := p.fset.Position(n.Pos())
	return fmt.Sprintf("%s:%d", filepath.ToSlash(pos.Filename), pos.Line)
}

// scoringPackages type-checks every package of this folder and those below it.
func scoringPackages(t *testing.T) map[string]*checked {
	t.Helper()
	fset := token.NewFileSet()
	from := importer.ForCompiler(fset, "source", nil)
	out := map[string]*checked{}
	require.NoError(t, filepath.WalkDir(".", func(dir string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		names, err := build.ImportDir(dir, 0)
		if _, none := err.(*build.NoGoError); none {
			return nil
		}
		if err != nil {
			return err
		}
		p := &checked{fset: fset, info: types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}}
		for _, name := range names.GoFiles {
			f, err := parser.ParseFile(fset, filepath.Join(dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			p.files = append(p.files, f)
		}
		config := types.Config{Importer: from}
		if _, err := config.Check(dir, fset, p.files, &p.info); err != nil {
			return err
		}
		out[dir] = p
		return nil
	}))
	require.NotEmpty(t, out)
	return out
}

// canFuse says how the node is a product that a sum may take in, or "".
func (p *checked) canFuse(n ast.Node, parents []ast.Node) string {
	switch n := n.(type) {
	case *ast.AssignStmt:
		if n.Tok == token.MUL_ASSIGN && p.float(n.Lhs[0]) && !p.exact(n.Rhs[0]) {
			return "write x = float64(x*y), not x *= y"
		}
	case *ast.BinaryExpr:
		if n.Op != token.MUL || !p.float(n) || p.exact(n.X) || p.exact(n.Y) {
			return ""
		}
		for i := len(parents) - 1; i >= 0; i-- {
			switch parent := parents[i].(type) {
			case *ast.ParenExpr:
				continue
			case *ast.UnaryExpr:
				continue // a negative product fuses as well
			case *ast.CallExpr:
				if p.info.Types[parent.Fun].IsType() || p.boxed(parent, n) {
					return "" // to an integer or an interface is as good: no sum in between
				}
			case *ast.BinaryExpr:
				switch parent.Op {
				case token.MUL:
					if !p.exact(parent.X) && !p.exact(parent.Y) {
						return "" // the outer product is looked at by itself
					}
					continue // twice a product is still a product
				case token.QUO, token.EQL, token.NEQ, token.LSS, token.LEQ, token.GTR, token.GEQ:
					return ""
				}
			}
			return "write float64(x*y): the conversion rounds, so that no sum takes the product in"
		}
	}
	return ""
}

// boxed says whether the product is handed to a parameter of an interface type, such as those of Sprintf.
func (p *checked) boxed(call *ast.CallExpr, n ast.Node) bool {
	f, ok := p.info.Types[call.Fun].Type.(*types.Signature)
	if !ok {
		return false
	}
	for i, arg := range call.Args {
		if ast.Unparen(arg) != n {
			continue
		}
		last := f.Params().Len() - 1
		param := f.Params().At(min(i, last)).Type()
		if slice, ok := param.(*types.Slice); ok && f.Variadic() && i >= last {
			param = slice.Elem()
		}
		return types.IsInterface(param)
	}
	return false
}

// float says whether the expression is computed in floating point when the program runs.
func (p *checked) float(e ast.Expr) bool {
	tv := p.info.Types[e]
	if tv.Value != nil || tv.Type == nil {
		return false
	}
	basic, ok := tv.Type.Underlying().(*types.Basic)
	if ok {
		return basic.Info()&types.IsFloat != 0
	}
	// Of a type parameter one floating-point type is enough.
	union, ok := tv.Type.Underlying().(*types.Interface)
	return ok && slices.ContainsFunc(floats, func(f types.Type) bool { return types.Satisfies(f, union) })
}

var floats = []types.Type{types.Typ[types.Float32], types.Typ[types.Float64]}

// exact says whether a product with the expression has nothing to round: it is a power of two.
func (p *checked) exact(e ast.Expr) bool {
	v := p.info.Types[e].Value
	if v == nil || v.Kind() != constant.Int && v.Kind() != constant.Float {
		return false
	}
	f, _ := constant.Float64Val(v)
	frac, _ := math.Frexp(math.Abs(f))
	return frac == 0.5
}
