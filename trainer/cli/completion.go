package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
)

func newCompletion(a *app) *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:   "completion bash|zsh|fish|powershell",
		Short: "Print a script that completes commands in a shell",
		Long: "Print a script that completes commands, flags and joints as they are typed." +
			exitCodes(exitDone, exitUsage),
		Example: `  source <(puddlewise completion bash)
  puddlewise completion zsh > "${fpath[1]}/_puddlewise"
  puddlewise completion fish > ~/.config/fish/completions/puddlewise.fish
  puddlewise completion powershell | Out-String | Invoke-Expression`,
		ValidArgs: shells,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usageError("completion needs one shell: bash, zsh, fish or powershell")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			script := map[string]func(io.Writer) error{
				"bash":       func(w io.Writer) error { return root.GenBashCompletionV2(w, true) },
				"zsh":        root.GenZshCompletion,
				"fish":       func(w io.Writer) error { return root.GenFishCompletion(w, true) },
				"powershell": root.GenPowerShellCompletionWithDesc,
			}[args[0]]
			if script == nil {
				return usageError("no completion for %.40q, only for bash, zsh, fish and powershell%s", args[0], nearest(args[0], shells))
			}
			return script(a.Out)
		},
	}
}

// offer completes a flag with fixed words, which may be found when asked for.
func offer(cmd *cobra.Command, flag string, words func() []string) {
	err := cmd.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
		return words(), cobra.ShellCompDirectiveDefault
	})
	if err != nil {
		panic(fmt.Sprintf("cli: completion of --%s: %v", flag, err)) // no such flag
	}
}

// jointIDs completes the ids of the bank.
func jointIDs() []string {
	all, err := scenarios.Bank()
	if err != nil {
		return nil
	}
	var ids []string
	for _, s := range all {
		ids = append(ids, s.ID+"\t"+s.Title)
	}
	return ids
}
