package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/trainer/record"
)

func TestFlagsWinOverWhatIsRemembered(t *testing.T) {
	remembered := record.Settings{Theme: "light", ASCII: true, Still: true}
	for _, c := range []struct {
		args []string
		want record.Settings
	}{
		{nil, remembered},
		{[]string{"--theme", "dark"}, record.Settings{Theme: "dark", ASCII: true, Still: true}},
		{[]string{"--ascii=false", "--still=false"}, record.Settings{Theme: "light"}},
	} {
		cmd := newPractice(&app{})
		require.NoError(t, cmd.ParseFlags(c.args))
		theme, err := cmd.Flags().GetString("theme")
		require.NoError(t, err)
		o := &practiceOptions{Theme: theme}
		o.ASCII, _ = cmd.Flags().GetBool("ascii")
		o.Still, _ = cmd.Flags().GetBool("still")
		got := remembered
		o.override(&got, cmd.Flags())
		assert.Equal(t, c.want, got, "%v", c.args)
	}
}
