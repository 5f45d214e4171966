package cli

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
)

func newVersion(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Long: `Print the version of the program and of its puddle model. A verdict can only
differ between two programs whose model versions differ.` + exitCodes(exitDone, exitUsage),
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error {
			fmt.Fprintln(a.Out, versionLine())
			return nil
		},
	}
}

func versionLine() string {
	return fmt.Sprintf("puddlewise %s, model %s", version(), scoring.ModelVersion)
}

// version is what the build knows of itself.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" {
		v = "development"
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 {
			v += " " + s.Value[:12]
		}
	}
	return v
}
