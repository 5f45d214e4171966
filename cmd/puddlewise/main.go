// Puddlewise trains the eye and the judgement of apprentices of manual TIG welding.
package main

import (
	"os"

	"puddlewise/trainer/cli"
)

func main() {
	streams := cli.Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}
	os.Exit(cli.Main(os.Args[1:], streams, cli.System()))
}
